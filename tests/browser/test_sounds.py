"""Sounds and doubtful words in a real browser: opened, compared, heard one after the other, accepted by a key."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from annotate.work.doubting import learn
from tests.browser.conftest import Site
from tests.browser.looks import assert_accessible, assert_fits
from tests.browser.seed import Seeded, line, seed
from tests.web.test_sounds import NOTE, hear


@pytest.fixture
def seeded(site: Site) -> Seeded:
    """The library of the test, with measured sounds."""
    made = seed(site.library)
    hear(site.library, made.recording.id)
    hear(site.library, made.later.id, {**NOTE, "hz": 138.59})
    return made


def opened(page: Page, site: Site, path: str) -> None:
    """Open a page and wait until its scripts are there."""
    page.goto(site.at(path))
    page.wait_for_selector("html[data-ready]")


def test_the_numbers_of_a_sound_open_beside_the_lines(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, f"/sessions/{seeded.first.id}")
    page.get_by_text("roughness 38 % deep at 24.3 Hz").click()
    expect(page.get_by_text("C♯5 −45 cents (540 Hz)")).to_be_visible()
    expect(page.get_by_text("A phone that suppresses noise can ruin a crow.")).to_be_visible()
    assert page.evaluate("document.querySelector('#player').paused")  # opening the numbers plays nothing
    page.get_by_text("C♯3 −12 cents, steadiness").click()
    expect(page.get_by_role("cell", name="42 ms")).to_be_visible()
    assert_accessible(page)
    page.set_viewport_size({"width": 360, "height": 740})
    assert_fits(page)


def test_two_sounds_play_one_after_the_other(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, f"/reeds/{seeded.bassoon.id}/sounds")
    expect(page.get_by_role("heading", name="C♯3 in numbers")).to_be_visible()
    assert_accessible(page)
    page.get_by_role("button", name="Play both, one after the other").click()
    expect(page.locator('[data-side="first"].is-playing')).to_be_visible()
    expect(page.locator('[data-side="second"].is-playing')).to_be_visible()
    expect(page.locator('[data-side="first"].is-playing')).to_have_count(0)
    page.get_by_role("button", name="Stop").click()
    expect(page.locator(".is-playing")).to_have_count(0)
    page.set_viewport_size({"width": 360, "height": 740})
    assert_fits(page)


TEXTS = ("I put the vocal on the reed.", "The vocal is loose.", "Take the vocal off.")


@pytest.fixture
def misheard(site: Site, seeded: Seeded) -> Seeded:
    """Three lines with a word that the maker has corrected before."""
    made = [line(seeded.recording, 2000 * number, text) for number, text in enumerate(TEXTS)]
    site.library.lines.hear(seeded.recording.id, made)
    learn(site.library, "the vocal", "the bocal")
    return seeded


def texts(site: Site, seeded: Seeded) -> list[str]:
    return [one.text for one in site.library.lines.of_recording(seeded.recording.id)]


def test_doubtful_words_by_keys(site: Site, misheard: Seeded, page: Page) -> None:
    opened(page, site, f"/sessions/{misheard.first.id}")
    bar = page.locator("[data-doubts]")
    expect(bar).to_contain_text("3 doubtful words")
    assert texts(site, misheard) == list(TEXTS)  # nothing is changed silently
    page.locator(".diary-time").first.focus()
    page.keyboard.press("y")
    expect(bar).to_contain_text("2 doubtful words")
    assert texts(site, misheard) == ["I put the bocal on the reed.", *TEXTS[1:]]
    expect(page.locator(".diary-text").first).to_have_text("I put the bocal on the reed.")
    page.keyboard.press("x")  # the next one is in hand
    expect(bar).to_contain_text("1 doubtful word")
    page.reload()
    expect(bar).to_contain_text("1 doubtful word")  # what was left stays left
    page.keyboard.press("w")
    page.keyboard.press("Shift+Y")
    expect(bar).to_be_hidden()
    assert texts(site, misheard) == ["I put the bocal on the reed.", TEXTS[1], "Take the bocal off."]


def test_all_alike_and_undo(site: Site, misheard: Seeded, page: Page) -> None:
    opened(page, site, f"/sessions/{misheard.first.id}")
    expect(page.locator(".diary-doubt").first).to_contain_text("You wrote “bocal” for “vocal” before.")
    assert_accessible(page)
    page.get_by_role("button", name=re.compile("^Accept all 3")).first.click()
    expect(page.locator("#say")).to_contain_text("on 3 lines")
    assert texts(site, misheard) == [text.replace("vocal", "bocal") for text in TEXTS]
    page.locator("#say").get_by_role("button", name="Undo").click()
    expect(page.locator("[data-doubts]")).to_contain_text("3 doubtful words")
    assert texts(site, misheard) == list(TEXTS)


def test_a_correction_by_hand_is_offered_on_other_lines(site: Site, seeded: Seeded, page: Page) -> None:
    said = ("This is bee twelve.", "Now bee twelve again.")
    site.library.lines.hear(
        seeded.recording.id, [line(seeded.recording, 2000 * n, text) for n, text in enumerate(said)]
    )
    opened(page, site, f"/sessions/{seeded.first.id}")
    page.locator(".diary-time").first.focus()
    page.keyboard.press("l")
    page.keyboard.press("Control+a")
    page.keyboard.type("This is B-12.")
    page.keyboard.press("Enter")
    expect(page.locator(".diary-doubt")).to_have_count(1)
    expect(page.locator(".diary-doubt")).to_contain_text("You wrote “B-12” for “bee twelve” before.")
    assert texts(site, seeded) == ["This is B-12.", "Now bee twelve again."]


def test_find_and_replace_and_a_transcript_from_elsewhere(site: Site, seeded: Seeded, page: Page) -> None:
    opened(page, site, f"/sessions/{seeded.first.id}")
    page.get_by_text("Find and replace in the lines").click()
    page.get_by_label("Find", exact=True).fill("rails")
    page.get_by_label("Replace by").fill("channels")
    page.get_by_role("button", name="Look").click()
    expect(page.locator("[data-replace-told]")).to_have_text("Found 1 time on 1 line.")
    page.get_by_role("button", name="Replace", exact=True).click()
    expect(page.get_by_text("So I take a little off the channels.")).to_be_visible()
    page.get_by_text("Words: 3 lines").click()
    assert_accessible(page)
    file = {"name": "lines.txt", "mimeType": "text/plain", "buffer": b"0:00.2 Quite another line.\n0:05 And its end."}
    page.locator("[data-bring]").set_input_files([file])
    expect(page.locator("#say")).to_contain_text("1 line that you changed stayed.")
    expect(page.locator(".diary-text").first).to_have_text("Quite another line.")
    page.locator("#say").get_by_role("button", name="Undo").click()
    expect(page.locator(".diary-text").first).to_have_text("The low notes sound flat today.")
    page.get_by_text("Words: 3 lines").click()
    page.get_by_label("Language").select_option("German")
    expect(page.locator("#say")).to_contain_text("The language is saved.")
    page.get_by_role("button", name="Listen again").click()
    expect(page.locator(".diary-work-line")).to_contain_text("Listening")
    page.set_viewport_size({"width": 360, "height": 740})
    assert_fits(page)
