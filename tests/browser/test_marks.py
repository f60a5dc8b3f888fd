"""The page used while filming, by touch and by pedal."""

from __future__ import annotations

from dataclasses import replace

from playwright.sync_api import Page, expect

from annotate.model import Mark
from tests.browser.conftest import Site
from tests.browser.seed import seed
from tests.browser.test_diary import phone, violations  # noqa: F401  (a fixture)


def test_presses_leave_marks_with_their_places(site: Site, phone: Page) -> None:  # noqa: F811
    phone.goto(site.at("/bench"))
    phone.get_by_role("button", name="Scrape", exact=True).tap()
    expect(phone.locator("[data-last]")).to_contain_text("Scrape")
    phone.get_by_role("button", name="Rails", exact=True).tap()
    phone.get_by_role("button", name="Left", exact=True).tap()
    expect(phone.locator("[data-last]")).to_contain_text("Scrape · Rails · Left")
    phone.locator("body").press("PageDown")  # the pedal repeats the step
    expect(phone.locator("[data-marks] li")).to_have_count(2)
    found = [(mark.step, mark.zones, mark.side) for mark in site.library.marks.all()]
    assert found == [("scrape", ("rails",), "left"), ("scrape", (), None)]
    assert phone.evaluate("document.documentElement.scrollWidth") == 360
    assert violations(phone) == []


def test_a_clap_is_marked_by_the_button_and_by_the_pedal(site: Site, phone: Page) -> None:  # noqa: F811
    phone.goto(site.at("/bench"))
    phone.wait_for_load_state("networkidle")
    phone.locator("body").press("PageDown")  # before the first step the pedal marks the clap
    expect(phone.locator("[data-last]")).to_contain_text("Clap")
    phone.get_by_role("button", name="Scrape", exact=True).tap()
    expect(phone.locator("[data-last]")).to_contain_text("Scrape")
    phone.get_by_role("button", name="Clap", exact=True).tap()
    expect(phone.locator("[data-last]")).to_contain_text("Clap")
    phone.get_by_role("button", name="Rails", exact=True).tap()
    expect(phone.locator("#warn")).to_contain_text("A place belongs to a step.")
    phone.locator("body").press("PageDown")
    expect(phone.locator("[data-marks] li")).to_have_count(4)
    assert [mark.step for mark in site.library.marks.all()] == ["clap", "scrape", "clap", "scrape"]


def test_tags_cannot_be_made_of_no_mark_and_the_page_says_why(site: Site, phone: Page) -> None:  # noqa: F811
    seed(site.library)
    recording = site.library.recordings.all()[0]
    site.library.recordings.change(
        replace(recording, probe=replace(recording.probe, recorded_at="2026-03-14T18:00:00Z"))
    )
    phone.goto(site.at("/bench"))
    told = phone.locator("[data-lay-told]")
    expect(told).to_have_text("No mark falls in this recording, so there is nothing to make tags of.")
    make = phone.get_by_role("button", name="Make tags of them")
    expect(make).to_be_disabled()
    site.library.marks.add(Mark("2026-03-14T18:00:02+00:00", "scrape"))
    phone.reload()
    expect(told).to_have_text("1 mark falls in this recording:")
    expect(phone.locator("[data-lay-by]")).to_have_text("Laid by the clock of the camera.")
    expect(make).to_be_enabled()
    make.tap()
    phone.wait_for_url("**/sessions/**")
    expect(phone.locator("#say")).to_contain_text("1 mark laid")
