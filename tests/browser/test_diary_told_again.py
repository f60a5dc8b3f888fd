"""Work told again: linked to its tag by one press, told on both cards, taken back by undo."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from annotate.model import Recording, Suggestion, Tag
from tests.browser.conftest import Site
from tests.browser.seed import Seeded, seed
from tests.browser.test_diary import violations


@pytest.fixture
def seeded(site: Site) -> Seeded:
    """The library of the test, filled."""
    return seed(site.library)


def recap(recording: Recording, start_ms: int, zone: str) -> Suggestion:
    content: dict[str, Any] = {"step": "scrape", "zones": [zone], "blade": None, "side": None, "symptoms": []}
    content |= {"reed": "B14", "reed_id": recording.reed_id}
    return Suggestion(recording.id, start_ms, start_ms + 500, "recap", content, "Last week, the rails.", "told", 0.9)


def opened(page: Page, site: Site, session_id: int) -> None:
    page.goto(site.at(f"/sessions/{session_id}"))
    page.wait_for_selector("html[data-ready]")


def test_a_recap_is_linked_to_the_earlier_tag_and_undone(site: Site, seeded: Seeded, page: Page) -> None:
    site.library.suggestions.propose(seeded.later.id, [recap(seeded.later, 300, "rails")])
    opened(page, site, seeded.second.id)
    suggested = page.locator(".is-suggestion")
    expect(suggested).to_contain_text("It tells of: Scrape, 2 March 2026, 0:02")
    page.keyboard.press("a")
    card = page.locator(".diary-card.is-recap")
    expect(card).to_contain_text("Told again: Scrape, 2 March 2026, 0:02")
    assert violations(page) == []
    card.get_by_role("link").click()
    page.wait_for_url(f"**/sessions/{seeded.first.id}?recording={seeded.recording.id}&at=2000")
    tag = page.locator(".diary-card.is-tag", has_text="Told again")
    expect(tag.get_by_role("link")).to_have_text("9 March 2026, 0:00")
    tag.get_by_role("link").click()
    page.wait_for_url(f"**/sessions/{seeded.second.id}?recording={seeded.later.id}&at=300")
    page.wait_for_selector("html[data-ready]")
    page.keyboard.press("Control+z")
    expect(card).to_have_count(0)
    expect(suggested).to_have_count(1)


def test_the_tag_on_the_same_page_says_so_at_once(site: Site, seeded: Seeded, page: Page) -> None:
    library = site.library
    library.tags.add(Tag(seeded.recording.id, 100, 200, "scrape", ("heart",)))
    long = replace(seeded.recording.probe, duration_ms=600_000)
    library.recordings.change(replace(seeded.recording, probe=long))
    library.suggestions.propose(seeded.recording.id, [recap(seeded.recording, 400_000, "heart")])
    opened(page, site, seeded.first.id)
    page.get_by_role("button", name="Link it").click()
    told = page.locator(".diary-card.is-tag", has_text="Told again: 2 March 2026, 6:40")
    expect(told).to_have_count(1)
    page.locator("body").press("Control+z")
    expect(told).to_have_count(0)


def test_a_recap_of_nothing_known_is_tagged_as_work(site: Site, seeded: Seeded, page: Page) -> None:
    site.library.suggestions.propose(seeded.recording.id, [recap(seeded.recording, 300, "back")])
    opened(page, site, seeded.first.id)
    suggested = page.locator(".is-suggestion")
    expect(suggested).to_contain_text("Scrape: no earlier tag of this work was found.")
    expect(suggested.get_by_role("button", name="Link it")).to_have_count(0)
    page.keyboard.press("a")
    expect(page.locator("#warn")).to_contain_text("No earlier tag of this work was found")
    suggested.get_by_role("button", name="Tag it as work").click()
    page.locator("#tag-step").press("Control+Enter")
    expect(suggested).to_have_count(0)
    assert ("scrape", ("back",)) in {
        (tag.step, tag.zones) for tag in site.library.tags.of_recording(seeded.recording.id)
    }
