"""The page used while filming, by touch and by pedal."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.conftest import Site
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
