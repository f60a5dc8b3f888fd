"""Notes and crows of whole recordings: measured in good time, with progress, and stopped when asked."""

import time
import tracemalloc
from pathlib import Path

import numpy as np
import pytest

from annotate.errors import Cancelled
from annotate.listen.notes import find_notes
from annotate.listen.stored import StoredSound
from annotate.model import Sound
from annotate.work.hearing import RATE_HZ, measured


def note(hz: float, seconds: float) -> np.ndarray:
    at = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    ends = np.clip(at / 0.03, 0, 1) * np.clip((seconds - at) / 0.03, 0, 1)
    return 0.1 * sum(0.7**k * np.sin(2 * np.pi * hz * (k + 1) * at + k) for k in range(6)) * ends


def scales(minutes: float) -> np.ndarray:
    return np.concatenate([note(hz, 0.25) for hz in np.resize([196, 220, 246.9, 261.6, 293.7], int(minutes * 240))])


def test_many_notes_in_one_stretch_take_no_longer_each() -> None:
    samples = scales(2.5)
    begun = time.process_time()
    found = find_notes(samples, RATE_HZ)
    assert len(found) == 600
    # It takes 2 s of processor time; reading the whole stretch again for every note took 30.
    assert time.process_time() - begun < 10


def test_measuring_says_how_far_it_is_and_stops_within_a_sound() -> None:
    samples = scales(1.0).astype(np.float32)
    sounds = [Sound(0, 5000, "speech"), Sound(5000, 60_000, "play")]
    told: list[float] = []
    made = measured(samples, sounds, 440.0, told.append)
    assert made[0] == {} and len(made[1]["notes"]) == 220
    assert told == sorted(told) and told[0] == 0.0 and 0.9 < told[-1] <= 1.0

    def stop(done: float) -> None:
        if done > 0.3:
            raise Cancelled("The work was cancelled")

    with pytest.raises(Cancelled):
        measured(samples, sounds, 440.0, stop)


@pytest.mark.parametrize("kind", ["play", "crow"])
def test_a_sound_of_many_minutes_does_not_fill_the_memory(kind: str, tmp_path: Path) -> None:
    # A drone of ten minutes, stored on disk as the program does it.
    second = (0.1 * np.sin(2 * np.pi * 410 * np.arange(RATE_HZ) / RATE_HZ)).astype(np.float32)
    np.tile(second, 600).tofile(tmp_path / "long.f32")
    samples = StoredSound(tmp_path / "long.f32")
    tracemalloc.start()
    try:
        (told,) = measured(samples, [Sound(0, 600_000, kind)], 440.0)
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert told["marks"]["is_clipped"] is False
    # 38 MB of sound; whole copies of it, with its spectrum, took 600 and more.
    assert most < 250e6
