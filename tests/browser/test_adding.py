"""Adding recordings on the page: chosen, dropped, refused, recognised, stopped."""

from __future__ import annotations

import base64
import shutil
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, Route, expect

from annotate.model import Session
from tests import media
from tests.browser.conftest import Site


def said(page: Page) -> list[tuple[str, str]]:
    """Name and sentence of each file."""
    rows = page.locator(".adder-file")
    return [
        (rows.nth(n).locator("p").first.inner_text(), rows.nth(n).locator(".adder-said").inner_text())
        for n in range(rows.count())
    ]


def wait_until(page: Page, is_so: Callable[[], bool], seconds: int = 20) -> None:
    """Let the page go on until something is so."""
    for _ in range(20 * seconds):
        if is_so():
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"not so within {seconds} s")


def test_a_batch_goes_on_past_what_is_refused(page: Page, site: Site, tmp_path: Path) -> None:
    good, copy = tmp_path / "bench “B14” 1.mp4", tmp_path / "the same again.mp4"
    shutil.copy(media.base(), good)
    shutil.copy(media.base(), copy)
    text = tmp_path / "notes.mp4"
    text.write_text("not media at all\n" * 50, "utf-8")
    page.goto(site.at("/"))
    page.locator("[data-adder-files]").set_input_files([good, text, copy, media.click()])
    expect(page.locator(".adder-file.is-added")).to_have_count(2, timeout=30_000)
    expect(page.locator(".adder-file.is-refused")).to_have_count(1)
    expect(page.locator(".adder-file.is-known")).to_have_count(1)
    sentences = dict(said(page))
    assert sentences["bench “B14” 1.mp4"] == "bench “B14” 1.mp4 is added: 0:06, 320 × 240."
    assert "notes.mp4" in sentences["notes.mp4"] and sentences["notes.mp4"].endswith(".")
    assert "is already in the library" in sentences["the same again.mp4"]
    assert "bench “B14” 1.mp4" in sentences["the same again.mp4"]
    assert page.get_by_role("link", name="Open it").get_attribute("href") == "/sessions/1?recording=1"
    assert len(site.library.sessions.all()) == 1
    assert [one.name for one in site.library.recordings.all()] == ["bench “B14” 1.mp4", "click.mp4"]
    page.get_by_role("link", name="Open the session").click()
    page.wait_for_url("**/sessions/1")


def test_a_session_that_got_nothing_does_not_stay(page: Page, site: Site, tmp_path: Path) -> None:
    empty = tmp_path / "empty.mp4"
    empty.touch()
    page.goto(site.at("/"))
    page.locator("[data-adder-files]").set_input_files(empty)
    expect(page.locator(".adder-file.is-refused")).to_have_count(1)
    assert said(page) == [("empty.mp4", "“empty.mp4” is empty. Choose a recording.")]
    wait_until(page, lambda: site.library.sessions.all() == [])


def test_a_file_is_dropped_into_a_session(page: Page, site: Site) -> None:
    site.library.sessions.add(Session("2026-03-02", "First"))
    page.goto(site.at("/sessions/1/about"))
    content = base64.b64encode(media.only_sound("wav").read_bytes()).decode()
    page.evaluate(
        """(content) => {
          const bytes = Uint8Array.from(atob(content), (one) => one.charCodeAt(0));
          const data = new DataTransfer();
          data.items.add(new File([bytes], 'crow.wav', { type: 'audio/wav' }));
          const field = document.querySelector('[data-adder-drop]');
          field.dispatchEvent(new DragEvent('drop', { dataTransfer: data, bubbles: true, cancelable: true }));
        }""",
        content,
    )
    expect(page.locator(".adder-file.is-added")).to_have_count(1, timeout=20_000)
    assert said(page) == [("crow.wav", "crow.wav is added: 0:03, sound only.")]
    assert site.library.recordings.all()[0].session_id == 1


def test_a_file_in_place(page: Page, site: Site) -> None:
    site.library.sessions.add(Session("2026-03-02", "First"))
    page.goto(site.at("/sessions/1/about"))
    page.get_by_text("A file that stays where it is").click()
    page.get_by_role("button", name="Add in place").click()
    expect(page.get_by_role("alert").filter(has_text="No file is named")).to_be_visible()
    expect(page.get_by_label("Path of a file on this computer")).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".adder-file")).to_have_count(0)
    page.get_by_label("Path of a file on this computer").fill(str(media.base()))
    page.get_by_role("button", name="Add in place").click()
    expect(page.locator(".adder-file.is-added")).to_have_count(1, timeout=20_000)
    recording = site.library.recordings.all()[0]
    assert (recording.is_kept, recording.path) == (False, str(media.base()))


def test_sending_in_pieces_shows_progress_and_can_be_stopped(page: Page, site: Site, tmp_path: Path) -> None:
    """A 60 MB file goes in eight pieces; stopped after the first, nothing of it stays."""
    big = tmp_path / "big.mp4"
    with big.open("wb") as out:
        out.truncate(60 * 1024 * 1024)
    site.library.sessions.add(Session("2026-03-02", "First"))
    page.goto(site.at("/sessions/1/about"))
    pieces: list[str] = []
    held: list[Route] = []

    def hold(route: Route) -> None:
        pieces.append(route.request.url)
        if len(pieces) == 1:
            route.continue_()
        else:
            held.append(route)

    page.route("**/api/uploads/*?offset=*", hold)
    page.locator("[data-adder-files]").set_input_files(big)
    expect(page.locator(".adder-said")).to_have_text("Sending")
    page.wait_for_function("() => document.querySelector('.adder-file progress').value > 0.1")
    wait_until(page, lambda: bool(held))
    page.get_by_role("button", name="Stop sending big.mp4").click()
    expect(page.locator(".adder-said")).to_have_text("Stopped. Nothing of it was kept.")
    assert [url.split("=")[1] for url in pieces] == ["0", str(8 * 1024 * 1024)]
    for route in held:
        route.abort()
    page.unroute("**/api/uploads/*?offset=*")
    folder = site.library.folder / "cache" / "uploads"
    wait_until(page, lambda: not list(folder.glob("*")))
    assert site.library.recordings.all() == []


def test_the_list_shows_the_new_session_at_once(page: Page, site: Site) -> None:
    page.goto(site.at("/"))
    expect(page.get_by_text("No session yet.")).to_be_visible()
    page.locator("[data-adder-files]").set_input_files(media.base())
    expect(page.locator(".adder-file.is-added")).to_have_count(1)
    expect(page.locator(".entry-title")).to_have_count(1)
    expect(page.locator(".entry")).to_contain_text("1 recording, 0:06")
    expect(page.locator("#adder-into option")).to_have_count(2)
    page.goto(site.at("/sessions/1/about"))
    page.locator("[data-adder-files]").set_input_files(media.only_sound())
    expect(page.locator("[data-kept-fresh=recordings] .entry")).to_have_count(2)
