"""From the diary of a film just added to accepted tags: how many presses it takes.

The film is the demo's; its lines and sounds are put in as the demo says that they are,
so that the test does not wait for a recogniser. Every press counts that the browser
was really sent: keys and touches, on whatever page.
"""

from __future__ import annotations

from collections import Counter

import pytest
from playwright.sync_api import Browser, Page, expect

from annotate.model import Line, Recording, Reed, Session, Sound
from annotate.work.adding import Adding, add_file
from annotate.work.suggesting import open_ones, suggest
from demo_media import media_path, truth
from tests.browser.conftest import Site, opened_page

FILM = "b12-first-sitting.mp4"
MOST_PRESSES = 9  # bar of the project: under ten
LEAST_ACCEPTED = 10
COUNT = """for (const kind of ['keydown', 'touchstart', 'mousedown']) addEventListener(kind, (event) => {
  if (!event.isTrusted || (kind === 'mousedown' && event.sourceCapabilities?.firesTouchEvents)) return;
  if (['Shift', 'Control'].includes(event.key)) return; // held, not pressed for itself
  sessionStorage.setItem('presses', String(Number(sessionStorage.getItem('presses')) + 1));
}, { capture: true });"""


@pytest.fixture
def film(site: Site) -> Recording:
    """The demo's first film, added and heard; nothing is tagged."""
    library, told = site.library, truth()[FILM]
    reed = library.reeds.add(Reed("B-12"))

    def session(_: str | None) -> int:
        return library.sessions.add(Session("2026-03-03", "First finishing of B-12")).id

    recording = add_file(library, media_path(FILM), session, Adding(reed_id=reed.id))
    lines = [Line(recording.id, one["start_ms"], one["end_ms"], one["text"]) for one in told["sentences"]]
    library.lines.hear(recording.id, lines)
    sounds = [Sound(one["start_ms"], one["end_ms"], one["kind"]) for one in told["sounds"]]
    library.recordings.hear(recording.id, [(sound, None) for sound in sounds])
    suggest(library, recording)
    return recording


def kept(site: Site, recording: Recording) -> Counter[str]:
    """What the maker's own statements are by now."""
    library = site.library
    return Counter(
        tags=len(library.tags.of_recording(recording.id)),
        readings=len(library.readings.of_recording(recording.id)),
        plans=len(library.plans.all()),
    )


def presses(page: Page) -> int:
    return int(page.evaluate("sessionStorage.getItem('presses')"))


def accepted(site: Site, recording: Recording, page: Page, offered: int) -> int:
    """How many suggestions were accepted, once the page says so; each of them is a statement of the maker now."""
    expect(page.locator("#say")).to_contain_text("accepted", ignore_case=True)
    taken = offered - len(open_ones(site.library, recording.id))
    states = Counter(one.state for one in site.library.suggestions.of_recording(recording.id))
    assert states["accepted"] == taken == kept(site, recording).total()
    assert kept(site, recording)["tags"] >= LEAST_ACCEPTED // 2
    return taken


def test_by_touch(site: Site, film: Recording, browser: Browser) -> None:
    offered = len(open_ones(site.library, film.id))
    with opened_page(browser, viewport={"width": 360, "height": 740}, has_touch=True) as phone:
        phone.add_init_script(COUNT)
        phone.goto(site.at(f"/sessions/{film.session_id}"))
        phone.wait_for_selector("html[data-ready]")
        least = phone.locator("[data-least]")
        least.tap()
        for key in ("End", "Backspace", "Backspace", "7", "0"):
            phone.keyboard.press(key)
        phone.get_by_role("button", name="Accept all of these").tap()
        taken = accepted(site, film, phone, offered)
        print(f"{presses(phone)} presses, {taken} of {offered} accepted: {dict(kept(site, film))}")
        assert taken >= LEAST_ACCEPTED
        assert presses(phone) <= MOST_PRESSES


def test_by_the_keyboard(site: Site, film: Recording, page: Page) -> None:
    offered = len(open_ones(site.library, film.id))
    page.add_init_script(COUNT)
    page.goto(site.at(f"/sessions/{film.session_id}"))
    page.wait_for_selector("html[data-ready]")
    page.keyboard.press("Shift+A")
    expect(page.locator("#say")).to_contain_text("accepted")
    expect(page.locator(".is-suggestion")).to_have_count(len(open_ones(site.library, film.id)))
    for left in range(page.locator(".is-suggestion").count(), 0, -1):  # the less sure ones, one by one
        page.keyboard.press("a")
        expect(page.locator(".is-suggestion")).to_have_count(left - 1)
    taken = accepted(site, film, page, offered)
    print(f"{presses(page)} presses, {taken} of {offered} accepted: {dict(kept(site, film))}")
    assert taken >= LEAST_ACCEPTED
    assert presses(page) <= MOST_PRESSES
