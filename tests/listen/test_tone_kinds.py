"""The points that tell a crow from a note, on values by hand."""

import numpy as np
import pytest

from annotate.listen import tone_kinds


def test_a_line_is_read_between_its_values_and_held_beyond_them() -> None:
    line = tone_kinds.Line((1.0, 3.0), (0.0, 2.0))
    assert [line.read(value) for value in (0.0, 1.0, 2.0, 9.0)] == [0.0, 0.0, 1.0, 2.0]
    assert tone_kinds.Line((1.0, 4.0), (0.0, 2.0), by_ratio=True).read(2.0) == pytest.approx(1.0)


def test_held_pitches_come_one_after_the_other() -> None:
    c4, d4 = np.full(6, 4800.0), np.full(6, 5000.0)
    glide = np.linspace(4800, 5000, 5)
    assert tone_kinds.held_pitches(np.concatenate([c4, glide, d4, c4]).astype(np.float32)) == [4800.0, 5000.0, 4800.0]
    assert tone_kinds.held_pitches(np.linspace(4000, 6000, 12).astype(np.float32)) == []


def test_the_company_of_a_burst() -> None:
    bursts = [np.arange(10), np.arange(20, 35), np.arange(50, 90)]
    held = [[4800.0], [5000.0, 5110.0], [5610.0]]
    middle = tone_kinds.company_of(bursts, held, 1)
    assert middle == tone_kinds.Company(2, (110.0,), (200.0, 500.0))
    assert tone_kinds.company_measures(middle) == {
        "alike": 2.0, "step_semitones": 2.0, "off_scale_cents": (10 + 0 + 0 + 25) / 4,
    }  # fmt: skip
    assert tone_kinds.company_of(bursts[:1], held[:1], 0) == tone_kinds.Company(1, (), ())


CLEAR_PEEP = {
    "length_s": 1.0, "still": 1.0, "clear_db": 24.0, "beats": 0.01, "foot_db": -45.0, "weakest_db": 0.0,
    "pitch_hz": 500.0, "alike": 2.0, "step_semitones": 0.3, "off_scale_cents": 25.0,
}  # fmt: skip


@pytest.mark.parametrize(
    ("change", "is_crow"),
    [
        ({}, True),
        ({"length_s": 6.0}, False),  # a long tone
        ({"length_s": 3.0, "clear_db": 27.0, "step_semitones": 7.0, "off_scale_cents": 13.0}, False),  # A4, then D4
        ({"length_s": 0.2, "alike": 12.0}, False),  # tongued notes
        ({"still": 0.75, "length_s": 2.5, "step_semitones": 2.0, "off_scale_cents": 5.0}, False),  # a slurred scale
        ({"pitch_hz": 180.0, "foot_db": -5.0}, False),  # a bassoon's low note
        ({"clear_db": 8.0, "beats": 0.5}, True),  # several pitches at once
        ({"clear_db": 8.0, "beats": 0.5, "weakest_db": -50.0, "length_s": 4.0}, True),  # and held long
    ],
)
def test_what_speaks_for_a_crow(change: dict[str, float], is_crow: bool) -> None:
    assert (tone_kinds.crow_points(CLEAR_PEEP | change) > 0) == is_crow


def test_one_doubtful_burst_follows_its_neighbours() -> None:
    assert tone_kinds.together([-3.0, 0.5, -3.0]) == [False, False, False]
    assert tone_kinds.together([-3.0, 3.5, 3.0]) == [False, True, True]
    assert tone_kinds.together([]) == []
