"""A recording that a browser cannot show gets a copy that it can, and until then the page says so."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from annotate.model import Clip, Lesson, Session
from annotate.work.adding import add_file, jobs_for
from annotate.work.engine import run_jobs
from tests import media
from tests.browser.conftest import Site

WIDTH = """async (address) => {
  const video = Object.assign(document.createElement('video'), { muted: true, preload: 'auto', src: address });
  await new Promise((done) => { video.onloadeddata = done; video.onerror = done; });
  return video.videoWidth;
}"""


def test_a_phones_hevc_is_shown_through_its_copy(page: Page, site: Site) -> None:
    library = site.library
    session = library.sessions.add(Session("2026-03-02"))
    recording = add_file(library, media.hdr(), session.id)
    lesson = library.lessons.add(Lesson("From a phone", clips=(Clip(recording.id, 0, 1500),)))
    page.goto(site.at(f"/sessions/{session.id}/about"))
    expect(page.get_by_text("A copy that the browser can play is being made")).to_be_visible()
    before = page.evaluate(WIDTH, f"/media/recordings/{recording.id}/play")
    if before == 0:
        page.goto(site.at(f"/lessons/{lesson.id}"))
        page.get_by_role("button", name="Play all").click()
        expect(page.locator("[data-preview-said]")).to_contain_text("Work")
    prepare = jobs_for(library, recording)[0]
    library.jobs.cancel(jobs_for(library, recording)[1].id)
    assert [job.state for job in run_jobs(library, [prepare.id], lambda _: None)] == ["done"]
    page.goto(site.at(f"/lessons/{lesson.id}"))
    assert page.evaluate(WIDTH, f"/media/recordings/{recording.id}/play") == 320
    page.get_by_role("button", name="Play all").click()
    expect(page.locator("[data-preview-said]")).to_have_text("Clip 1 of 1")
    original = page.request.get(site.at(f"/media/recordings/{recording.id}/original"))
    assert original.body() == media.hdr().read_bytes()


def test_matroska_is_shown_through_its_copy(page: Page, site: Site) -> None:
    library = site.library
    session = library.sessions.add(Session("2026-03-02"))
    recording = add_file(library, media.mkv(), session.id)
    assert recording.probe.needs_playable
    prepare, listen = jobs_for(library, recording)
    library.jobs.cancel(listen.id)
    assert [job.state for job in run_jobs(library, [prepare.id], lambda _: None)] == ["done"]
    page.goto(site.at("/settings"))
    assert page.evaluate(WIDTH, f"/media/recordings/{recording.id}/play") == 320
    answer = page.request.get(site.at(f"/media/recordings/{recording.id}/play"), headers={"Range": "bytes=0-99"})
    assert (answer.status, answer.headers["content-type"]) == (206, "video/mp4")
