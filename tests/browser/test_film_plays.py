"""The exported lesson in a real browser: it plays, jumps by chapter, shows its captions and the pictures asked for."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np
import pytest
from playwright.sync_api import Page, expect

from annotate.model import Clip, Lesson, Line, Session, Showing, Sound, Word
from annotate.work.adding import Adding, add_file
from annotate.work.engine import run_jobs
from annotate.work.exporting import put_export
from tests import media
from tests.browser.conftest import Site
from tests.lesson import films

TICKS = "aevalsrc='0.5*sin(2*PI*1000*t)*lt(mod(t,1),0.1)':s=48000"
FIRST, SECOND = (1000, 9000), (12_345, 16_000)

# The film on the page: where it stands, what it shows, and which captions.
SHOWN = """async () => {
  const video = document.querySelector('[data-film]');
  if (video.seeking) await new Promise((done) => video.addEventListener('seeked', done, { once: true }));
  await new Promise((done) => setTimeout(done, 300)); // the picture is drawn a little after it is found
  const { videoWidth: width, videoHeight: height } = video;
  const canvas = Object.assign(document.createElement('canvas'), { width, height });
  const drawing = canvas.getContext('2d', { willReadFrequently: true });
  drawing.drawImage(video, 0, 0);
  const cues = [...video.textTracks].flatMap((track) => [...(track.activeCues ?? [])]).map((cue) => cue.text);
  return { at: video.currentTime, width, height, cues, length: video.duration,
           pixels: [...drawing.getImageData(0, 0, width, height).data] };
}"""


def exported(site: Site) -> int:
    """A lesson of two clips, the first with long scraping that runs four times as fast, exported."""
    library = site.library
    path = films.numbered("long-ticking.mp4", *films.x264(gop=30), count=600, sound=TICKS)
    session = library.sessions.add(Session("2026-03-14", sharing="free"))
    recording = add_file(library, path, session.id, Adding())
    for job in library.jobs.all():
        library.jobs.cancel(job.id)
    library.recordings.hear(recording.id, [(Sound(1000, 9000, "scrape"), None)])
    words = (Word(12_600, 13_000, "Now"), Word(13_000, 13_800, "listen."))
    library.lines.hear(recording.id, [Line(recording.id, 12_600, 13_800, "Now listen.", words)])
    clips = (Clip(recording.id, *FIRST, "Thin the tip"), Clip(recording.id, *SECOND, "Listen again"))
    showing = Showing(scraping_speed=4, scraping_longer_ms=3000)
    lesson = library.lessons.add(Lesson("Ticks", clips=clips, has_title_cards=False, showing=showing))
    (job,) = run_jobs(library, [put_export(library, lesson).id], lambda _: None)
    assert job.state == "done", job.error
    return lesson.id


def opened(page: Page, site: Site) -> None:
    """The page of the exported lesson, its film ready and silent."""
    page.goto(site.at(f"/lessons/{exported(site)}"))
    expect(page.locator("[data-chapter]")).to_have_count(2)
    page.evaluate("document.querySelector('[data-film]').muted = true")
    wait(page, "document.querySelector('[data-film]').readyState >= 2")


def wait(page: Page, expression: str) -> None:
    """Until it is true; the pages forbid what the browser's driver would do for that."""
    for _ in range(400):
        if page.evaluate(expression):
            return
        page.wait_for_timeout(25)
    raise AssertionError(f"never came true: {expression}")


def picture(shown: dict[str, object]) -> np.ndarray:
    pixels = np.array(shown["pixels"], np.uint8).reshape(shown["height"], shown["width"], 4)  # type: ignore[call-overload]
    return np.ascontiguousarray(pixels[..., :3])


def source_picture(path: Path, number: int) -> np.ndarray:
    """The picture of the recording, decoded by PyAV."""
    with av.open(str(path)) as film:
        for n, frame in enumerate(film.decode(video=0)):
            if n == number:
                return frame.to_ndarray(format="rgb24", src_colorspace="ITU709", dst_colorspace="ITU709")
    raise AssertionError("the recording is shorter")


def test_the_film_jumps_by_chapter_and_shows_the_asked_pictures(page: Page, site: Site) -> None:
    opened(page, site)
    path = films.numbered("long-ticking.mp4", *films.x264(gop=30), count=600, sound=TICKS)
    # 1-2 s as it was, 2-8 s in 1.5 s, 8-9 s as it was; then the second clip: 110 pictures.
    for title, at, number in (("2. Listen again", 3.5, 370), ("1. Thin the tip", 0.0, 30)):
        # Stopped in the same breath, so that what is seen is where the chapter begins.
        page.get_by_role("button", name=title).evaluate(
            "(button) => { button.click(); document.querySelector('[data-film]').pause(); }"
        )
        shown = page.evaluate(SHOWN)
        assert shown["at"] == pytest.approx(at, abs=0.01)
        assert shown["length"] == pytest.approx(3.5 + 110 / 30, abs=1 / 30)
        assert media.read_number(picture(shown)) == number
        assert np.abs(picture(shown).astype(int) - source_picture(path, number)).mean() < 4


def test_the_film_plays_through_fast_scraping_to_the_caption(page: Page, site: Site) -> None:
    opened(page, site)
    page.evaluate("document.querySelector('[data-film]').play()")
    wait(page, "document.querySelector('[data-film]').currentTime > 1.6")
    page.evaluate("document.querySelector('[data-film]').pause()")
    assert "[scraping, 4 times as fast]" in page.evaluate(SHOWN)["cues"]
    # In fast scraping the number goes up four times as fast: 60 at 1 s, so 120 at 1.5 s.
    page.evaluate("document.querySelector('[data-film]').currentTime = 1.5 + 0.01")
    assert media.read_number(picture(page.evaluate(SHOWN))) == 120
    page.evaluate("document.querySelector('[data-film]').currentTime = 3.5 + 0.7")
    wait(page, "!document.querySelector('[data-film]').seeking")
    assert "Now listen." in page.evaluate(SHOWN)["cues"]
