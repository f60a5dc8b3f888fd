"""A recording without a picture in a film: its sound is drawn, and lights up as it is heard."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np

from annotate.lesson.cutting.drawing import Stage
from annotate.lesson.cutting.sound_picture import GROUND, LIT, UNLIT, drawn, levels, place_of
from annotate.model import Before, Clip
from tests import media
from tests.lesson.test_choices_film import AS_IT_WAS, a_lesson, a_step, filmed


def test_levels_are_the_largest_of_each_part_against_the_largest_of_all() -> None:
    first, second = np.zeros((150, 2), np.float32), np.zeros((250, 2), np.float32)
    first[10, 0], first[120, 1], second[249, 0] = 0.1, -0.4, 0.2
    assert levels([first, second], 400, 4).tolist() == [0.25, 1.0, 0.0, 0.5]
    assert levels([first], 400, 4).tolist() == [0.25, 1.0, 0.0, 0.0]
    assert levels([np.zeros((400, 2), np.float32)], 400, 2).tolist() == [0.0, 0.0]


def test_the_loudest_bar_is_the_highest() -> None:
    picture = drawn(np.array([0.5, 1.0], np.float32), 200, 100, is_lit=True)
    heights = [(picture[:, x] == LIT).all(axis=1).sum() for x in (30, 120)]
    assert (36 <= heights[0] <= 38, 72 <= heights[1] <= 74) == (True, True)
    assert (drawn(np.zeros(2, np.float32), 200, 100, is_lit=False)[50, 30] == UNLIT).all()


def test_what_is_lit_begins_and_ends_with_the_bars() -> None:
    assert [place_of(part, 1000) for part in (-1.0, 0.0, 0.5, 1.0, 2.0)] == [60, 60, 500, 940, 940]


def lit(shot: np.ndarray, box: Stage) -> float:
    """How much of the middle line of a box is lit, of all that is a bar."""
    line = shot[box.y + box.height // 2, box.x : box.x + box.width].astype(int)
    bars = np.abs(line - GROUND).sum(axis=1) > 120
    bright = np.abs(line - LIT).sum(axis=1) < np.abs(line - UNLIT).sum(axis=1)
    return float((bars & bright).sum() / bars.sum())


def test_two_sounds_side_by_side_light_up_one_after_the_other(tmp_path: Path) -> None:
    """The first half of 3 s of sound against the second, each drawn in its box."""
    sound = media.only_sound("wav")
    before = a_step(Clip(2, 0, 1500), sound)
    step = a_step(Clip(1, 1500, 3000, before=Before(2, 0, 1500)), sound, before=before)
    result, laid, _ = filmed(a_lesson(AS_IT_WAS, step), tmp_path / "film.mp4")
    left, right = (piece.stage for piece in laid.pieces)  # type: ignore[union-attr]
    assert left is not None and right is not None
    with av.open(str(result.path)) as film:
        shots = [frame.to_ndarray(format="rgb24") for frame in film.decode(video=0)]
    count = len(shots) // 2
    for number, shot in ((count // 4, 0.25), (count // 2, 0.5), (count * 3 // 4, 0.75)):
        assert abs(lit(shots[number], left) - shot) < 0.04
        assert lit(shots[number], right) == 0.0
        assert lit(shots[count + number], left) == 1.0
        assert abs(lit(shots[count + number], right) - shot) < 0.04
