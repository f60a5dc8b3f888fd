"""A long recording is gone through without its sound being held in memory."""

import wave
from pathlib import Path

import numpy as np
import psutil

from annotate.intake.probe import probe
from annotate.listen.marks import Tops
from annotate.listen.sounds import hear
from annotate.listen.stored import StoredSound
from annotate.model import Sound
from annotate.work.hearing import BLOCK, decoded, measured

MINUTES = 25


def test_slices_of_a_stored_sound_are_those_of_the_array(tmp_path: Path) -> None:
    array = np.arange(10, dtype="<f4") / 10
    array.tofile(tmp_path / "sound.f32")
    stored = StoredSound(tmp_path / "sound.f32")
    assert stored.size == 10
    for part in (slice(0, 4), slice(3, 99), slice(8, None), slice(None, -7), slice(10, 20), slice(6, 2)):
        assert stored[part].tolist() == array[part].tolist()


def test_a_long_sound_leaves_no_pages_behind(tmp_path: Path) -> None:
    path = tmp_path / "quiet.wav"
    with wave.open(str(path), "wb") as file:
        file.setparams((1, 1, 8000, 0, "NONE", ""))
        file.writeframes(b"\x80" * 8000 * 60 * MINUTES)
    process, seen = psutil.Process(), []

    def look(_: float = 0.0) -> None:
        seen.append(process.memory_info().rss)

    with decoded(path, probe(path), tmp_path, lambda done: None) as samples:
        assert samples.size == MINUTES * 60 * 16_000
        look()
        hear(samples, voice=np.zeros(samples.size // 512 + 1, np.float32), progress=look)
        crows = [Sound(at * 60_000, (at + 1) * 60_000, "crow") for at in range(MINUTES)]
        measured(samples, crows, 440.0, look, Tops())
        for at in range(0, samples.size, BLOCK):
            assert not samples[at : at + BLOCK].any()
            look()
    # The sound itself is 96 MB, all of which stays resident when it is mapped; 40 MB are worked with.
    assert max(seen) - seen[0] < 80e6
