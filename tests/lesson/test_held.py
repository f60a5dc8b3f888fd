"""A clip's last picture is held where a late correction needs the time."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np

from annotate.lesson.cutting.drawing import pixels
from annotate.lesson.shown.held import held_ms
from annotate.lesson.told.passage import Part
from annotate.model import Before, Clip, Correction
from tests import media
from tests.lesson import films
from tests.lesson.test_choices_film import AS_IT_WAS, a_lesson, a_step, filmed, ticking

FIX = Correction(1, 7000, 7800, "three sixteenths", "One eighth of an inch, no more.")  # 45 characters as a caption


def test_it_is_held_as_long_as_reading_takes_longer_than_the_clip() -> None:
    def held(end_ms: int, *fixes: Correction, parts: tuple[Part, ...] = ()) -> int:
        clip = Clip(1, 4000, end_ms)
        return held_ms(a_step(clip, media.base(), corrections=fixes), parts or (Part(4000, end_ms),))

    assert [held(end_ms, FIX) for end_ms in (20_000, 10_050, 9000, 8000)] == [0, 0, 1050, 2050]
    assert held(8000) == 0
    assert held(8000, FIX, Correction(1, 5000, 5500, "", "Wet.")) == 2050
    assert held(8000, FIX, Correction(1, 7800, 7900, "", "Wet.")) == 3050
    assert held(8000, Correction(1, 7000, 7800, "", "no " * 100)) == 6000
    assert held(8000, FIX, parts=(Part(4000, 6000, 2), Part(6000, 8000))) == 2050


def test_the_last_picture_stands_until_the_correction_is_read_and_then_the_card_comes(tmp_path: Path) -> None:
    first = a_step(Clip(1, 4000, 8000), ticking(), corrections=(FIX,))
    second = a_step(Clip(1, 1000, 2000), ticking(), number=2)
    result, laid, cues = filmed(a_lesson(AS_IT_WAS, first, second), tmp_path / "film.mp4")
    # 3.8 s of the clip, then 2.25 s to read the correction: 2.05 s more than the clip has.
    assert films.numbers(result.path) == [*range(120, 240), *[239] * 62, *range(30, 60)]
    assert [(cue.text.replace("\n", " "), cue.start_ms, cue.end_ms) for cue in cues] == [
        ("[Correction: One eighth of an inch, no more.]", 3800, 6067)
    ]
    (note,) = [(n, one) for n, piece in enumerate(laid.pieces) for one in piece.overlays if n == 1]
    assert note[1].end_ms > 0
    samples = films.stereo(result.path)
    assert np.abs(samples[round(4.1 * 48000) : round(6.0 * 48000)]).max() < 0.001


def test_side_by_side_the_whole_stage_is_held(tmp_path: Path) -> None:
    old = films.numbered("old.mp4", *films.x264(gop=30), sound="aevalsrc='0.1*sin(600*t)':s=48000")
    clip = Clip(1, 6000, 8000, before=Before(2, 1000, 2000))
    step = a_step(clip, ticking(), before=a_step(Clip(2, 1000, 2000), old), corrections=(FIX,))
    result, laid, _ = filmed(a_lesson(AS_IT_WAS, step), tmp_path / "film.mp4")
    assert [placed.pictures for placed in laid.plan.placed] == [30, 60, 62]
    drawn = pixels(laid.pieces[2].picture)  # type: ignore[union-attr]
    for box, number in zip((piece.stage for piece in laid.pieces[:2]), (59, 239), strict=True):  # type: ignore[union-attr]
        assert box is not None
        part = np.ascontiguousarray(drawn[box.y : box.y + box.height, box.x : box.x + box.width])
        whole = av.VideoFrame.from_ndarray(part, "rgb24").reformat(320, 240)
        assert media.read_number(whole.to_ndarray(format="rgb24")) == number
    assert result.plan.duration_ms == 5067
