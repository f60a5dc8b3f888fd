"""The choices of a lesson and of its clips, each made on the page and seen in the library."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from annotate.model import Showing
from tests.browser.conftest import Site
from tests.browser.looks import assert_accessible
from tests.browser.test_lesson import opened


def showing(site: Site) -> Showing:
    """How the seeded lesson is shown, as stored."""
    return site.library.lessons.get(1).showing


def test_every_choice_of_how_a_lesson_is_shown_is_stored_at_once(page: Page, site: Site) -> None:
    opened(page, site)
    assert showing(site) == Showing(1, 10_000, "off", None, True, False)
    said = page.locator("#say")
    page.get_by_label("Long scraping runs").select_option("4 times as fast")
    expect(said).to_contain_text("How it is shown is saved.")
    page.get_by_label("Scraping is long after (seconds)").fill("2.5")
    page.get_by_label("Sound of fast scraping").select_option("low")
    page.get_by_label("Long quiet becomes a short rest").check()
    page.get_by_label("Quiet is long after (seconds)").fill("3")
    page.get_by_label("All clips equally loud").uncheck()
    page.get_by_label("Captions drawn into the picture").check()
    expect(page.locator("[data-version]").first).to_have_value("8")
    assert showing(site) == Showing(4, 2500, "low", 3000, False, True)
    page.get_by_label("Long quiet becomes a short rest").uncheck()
    expect(page.get_by_label("Quiet is long after (seconds)")).to_be_hidden()
    expect(page.locator("[data-version]").first).to_have_value("9")
    assert showing(site).quiet_longer_ms is None
    assert_accessible(page)
    page.reload()
    expect(page.get_by_label("Long scraping runs")).to_have_value("4")
    expect(page.get_by_label("Scraping is long after (seconds)")).to_have_value("2.5")
    page.get_by_role("button", name="Undo").click()
    page.wait_for_load_state()
    expect(page.get_by_label("Long quiet becomes a short rest")).to_be_checked()
    assert showing(site).quiet_longer_ms == 3000


def test_a_length_out_of_bounds_is_refused_in_a_sentence(page: Page, site: Site) -> None:
    opened(page, site)
    page.get_by_label("Scraping is long after (seconds)").fill("1")
    page.get_by_label("Sound of fast scraping").focus()
    expect(page.locator("[data-showing-error]")).to_have_text(
        "Scraping is long after (seconds): Give 2 to 3600 seconds."
    )
    assert showing(site).scraping_longer_ms == 10_000


def test_draft_it_fills_only_what_is_empty_and_says_from_what(page: Page, site: Site) -> None:
    """Tag 4 of clip 2 names flat and stuffy; tip openings 1.6 and 1.4 mm lie in no clip, so nothing is compared."""
    opened(page, site)
    clip = page.locator("[data-clip]").first
    clip.locator("[data-field=title]").fill("")
    clip.locator("[data-field=title]").press("Tab")
    expect(page.locator("#say")).to_contain_text("The title of clip 1 is saved.")
    page.get_by_label("Goal").fill("")
    page.get_by_label("Note for yourself").fill("typed, not saved")
    page.get_by_role("button", name="Draft it").click()
    expect(page.locator("[data-draft-told] li")).to_have_text(
        ["Goal: drafted from the symptoms of tag 4.", "1 title: drafted from the tags of clip 1."]
    )
    expect(page.get_by_label("Goal")).to_have_value("Mend what was found on reed B14: flat, stuffy.")
    expect(clip.locator("[data-field=title]")).to_have_value("Scrape: rails")
    lesson = site.library.lessons.get(1)
    assert lesson.goal == "Mend what was found on reed B14: flat, stuffy."
    assert (lesson.review, lesson.tools, lesson.note) == ("Less is more.", ("knife", "plaque"), "typed, not saved")
    assert lesson.clips[0].title == "Scrape: rails"
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_label("Goal")).to_have_value("Know where to take cane when a new reed is flat.")
    assert site.library.lessons.get(1).clips[0].title == ""
