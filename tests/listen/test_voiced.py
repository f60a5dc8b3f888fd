"""Stretches of speech are packed full, in order, and every sample knows where it came from."""

import numpy as np
import pytest

from annotate.listen.voiced import Joint, pack, voiced, within

RATE = 16_000


def seconds(*stretches: tuple[float, float]) -> list[tuple[int, int]]:
    return [(int(start * RATE), int(end * RATE)) for start, end in stretches]


def test_near_stretches_keep_the_sound_between_them_far_ones_do_not() -> None:
    sound = np.arange(20 * RATE, dtype=np.float32)
    (piece,) = pack(sound, seconds((1, 2), (2.5, 3), (10, 11)))
    assert piece.joints == (Joint(0, RATE, 2 * RATE), Joint(2 * RATE, 10 * RATE, RATE))
    assert piece.samples.tolist() == [*range(RATE, 3 * RATE), *range(10 * RATE, 11 * RATE)]
    assert piece.joint(2 * RATE - 1).source == RATE
    assert piece.joint(2 * RATE).source == 10 * RATE
    assert piece.joint(99 * RATE).source == 10 * RATE


def test_pieces_are_as_full_as_they_go() -> None:
    """Twelve stretches of 7 s, one after the other: four to a piece of 30 s."""
    sound = np.zeros(100 * RATE, np.float32)
    pieces = pack(sound, seconds(*((7.2 * n, 7.2 * n + 7) for n in range(12))))
    assert [len(piece.samples) / RATE for piece in pieces] == pytest.approx([28.6, 28.6, 28.6])


def test_a_stretch_that_is_too_long_is_parted_evenly() -> None:
    pieces = pack(np.zeros(70 * RATE, np.float32), seconds((1, 66)))
    assert [len(piece.samples) / RATE for piece in pieces] == pytest.approx([65 / 3] * 3, abs=0.001)
    assert [piece.joints[0].source / RATE for piece in pieces] == pytest.approx([1, 1 + 65 / 3, 1 + 130 / 3], abs=0.001)


def test_within_keeps_what_is_long_enough_for_a_word() -> None:
    assert within(seconds((1, 3), (5, 6)), seconds((0, 2), (5.95, 9))) == seconds((1, 2))


def test_speech_is_found_and_silence_is_not(short: np.ndarray) -> None:
    sound = np.concatenate([np.zeros(3 * RATE, np.float32), short, np.zeros(3 * RATE, np.float32)])
    ((start, end),) = voiced(sound)
    assert 2.5 < start / RATE < 3.3
    assert 6 < end / RATE < 7.3
    assert voiced(np.zeros(RATE, np.float32)) == []
    assert voiced(np.zeros(10, np.float32)) == []
