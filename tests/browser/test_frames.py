"""The picture a player is sent to is the one meant, and the one the server cuts (W3C media issue 4 asks for it)."""

from __future__ import annotations

from fractions import Fraction

import av
import numpy as np
import pytest
from playwright.sync_api import Page

from annotate.library.store import Library
from annotate.model import Session
from annotate.timecode import from_seconds
from tests import media
from tests.browser.conftest import Site
from tests.browser.seed import store

# Sends a player to each time with the pages' own function and reads the number off the picture's blocks.
READ = """async ([address, times, rate]) => {
  const { seekTo } = await import('/static/js/ui/seek.js');
  const video = Object.assign(document.createElement('video'), { muted: true, preload: 'auto', src: address });
  await new Promise((done, failed) => { video.onloadeddata = done; video.onerror = failed; });
  const { videoWidth: width, videoHeight: height } = video;
  const canvas = Object.assign(document.createElement('canvas'), { width, height });
  const drawing = canvas.getContext('2d', { willReadFrequently: true });
  const found = [];
  for (const ms of times) {
    await seekTo(video, ms, rate);
    drawing.drawImage(video, 0, 0);
    let number = 0;
    for (let bit = 0; bit < 12; bit += 1) {
      const [red] = drawing.getImageData(20 * bit + 10, 10, 1, 1).data;
      if (red > 128) number |= 1 << bit;
    }
    found.push(number);
  }
  return found;
}"""


def server_numbers(library: Library, recording_id: int, times: list[int]) -> list[int]:
    """The numbers of the pictures that the lesson room cuts at these times."""
    from annotate.lesson.cutting.frames import picture_at

    recording = library.recordings.get(recording_id)
    path = library.recordings.file(recording)
    return [media.read_number(np.asarray(picture_at(path, recording.probe, ms))) for ms in times]


def decoded_numbers(path: str, times: list[int]) -> list[int]:
    """The numbers of the pictures that are shown at these times, by decoding all (PyAV)."""
    with av.open(path) as source:
        shown = [
            (from_seconds(Fraction(frame.pts) * frame.time_base), media.read_number(frame.to_ndarray(format="rgb24")))
            for frame in source.decode(video=0)
        ]
    return [[number for start, number in shown if start <= ms][-1] for ms in times]


@pytest.mark.parametrize(
    "rate", [Fraction(25), Fraction(30), Fraction(30000, 1001), Fraction(24000, 1001), Fraction(60)]
)
def test_every_picture_of_a_constant_rate(page: Page, site: Site, rate: Fraction) -> None:
    """k / rate for k = 0..50, rounded to whole milliseconds as the library keeps them."""
    name = f"rate-{rate.numerator}-{rate.denominator}.mp4"
    path = media.numbered(name, range(60), [k / rate for k in range(60)], last=1 / rate)
    recording = store(site.library, path, site.library.sessions.add(Session("2026-03-02")), name)
    page.goto(site.at("/settings"))
    times = [from_seconds(k / rate) for k in range(51)]
    assert page.evaluate(READ, [f"/media/recordings/{recording.id}/play", times, float(rate)]) == list(range(51))
    assert decoded_numbers(str(path), times) == list(range(51))
    assert server_numbers(site.library, recording.id, times) == list(range(51))


def test_a_time_inside_a_picture_shows_that_picture(page: Page, site: Site) -> None:
    path = media.numbered("rate-25-1.mp4", range(60), [Fraction(k, 25) for k in range(60)], last=Fraction(1, 25))
    recording = store(site.library, path, site.library.sessions.add(Session("2026-03-02")), "inside.mp4")
    page.goto(site.at("/settings"))
    times = [0, 1, 39, 40, 41, 79, 80, 999, 1000, 1001]
    expected = [0, 0, 0, 1, 1, 1, 2, 24, 25, 25]
    assert page.evaluate(READ, [f"/media/recordings/{recording.id}/play", times, 25.0]) == expected
    assert server_numbers(site.library, recording.id, times) == expected
