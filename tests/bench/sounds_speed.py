"""How fast and with how much memory a long recording is heard and measured.

    python -m tests.bench.sounds_speed [--hours 4] [--scales 15]

A scene of maker A is repeated until it is as long as asked, written to disk as
raw float32 and read from there, as the program does it. Prints the speed in
times real time, by the clock and by processor time (for a machine that is busy
with other things), and the peak resident memory; first of telling the sounds
apart, then of measuring the notes and crows in them, and of measuring as many
minutes of scales without a pause and of one tone as asked, the worst that can
come. The bar: 100 times on two cores; 1.5 GB.
"""

from __future__ import annotations

import argparse
import resource
import tempfile
import time
from pathlib import Path

import numpy as np

from annotate.listen import sounds
from annotate.listen.stored import StoredSound
from annotate.model import Sound
from annotate.work.hearing import measured
from tests.bench.makers import desk


def tone(hz: float, seconds: float) -> np.ndarray:
    at = np.arange(int(seconds * desk.RATE_HZ)) / desk.RATE_HZ
    ends = np.clip(at / 0.03, 0, 1) * np.clip((seconds - at) / 0.03, 0, 1)
    return (0.1 * sum(0.6**k * np.sin(2 * np.pi * hz * (k + 1) * at) for k in range(6)) * ends).astype(np.float32)


def scales(minutes: float) -> np.ndarray:
    """Four notes a second, slurred, one breath."""
    notes = [tone(hz, 0.25) for hz in (98, 110, 123.5, 130.8, 146.8, 164.8, 174.6, 196)]
    return np.concatenate([notes[number % 8] for number in range(int(minutes * 240))])


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--hours", type=float, default=4)
    parser.add_argument("--scales", type=float, default=15, help="minutes of scales and of one tone")
    given = parser.parse_args()
    hours = given.hours
    made = desk.scene(desk.cast_of("A"), 31_000, "room", 120).samples
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "long.raw"
        with path.open("wb") as file:
            for _ in range(round(hours * 3600 * desk.RATE_HZ / made.size)):
                made.tofile(file)
        stored = StoredSound(path)
        begun, worked = time.perf_counter(), time.process_time()
        heard = sounds.hear(stored)
        spent, worked = time.perf_counter() - begun, time.process_time() - worked
        measuring = time.perf_counter()
        told = measured(stored, heard, 440.0)
        measuring = time.perf_counter() - measuring
        seconds = stored.size / desk.RATE_HZ
    print(f"{seconds / 3600:.2f} h in {spent:.0f} s: {seconds / spent:.0f} times real time; {len(heard)} sounds")
    print(f"{worked:.0f} s of processor time: {seconds / worked:.0f} times real time per processor second")
    notes, crows = sum(len(one.get("notes", ())) for one in told), sum("crow" in one for one in told)
    played = sum(one.end_ms - one.start_ms for one in heard if one.kind in ("play", "crow")) / 1000
    print(
        f"measured {notes} notes and {crows} crows in {measuring:.0f} s: {seconds / measuring:.0f} times real time, "
        f"{played / measuring:.0f} times that of the playing and crows"
    )
    for name, samples in (("scales", scales(given.scales)), ("one tone", tone(220, given.scales * 60))):
        begun = time.perf_counter()
        (found,) = measured(samples, [Sound(0, samples.size * 1000 // desk.RATE_HZ, "play")], 440.0)
        spent = time.perf_counter() - begun
        print(f"{given.scales:g} min of {name}: {len(found['notes'])} notes, {given.scales * 60 / spent:.0f} times")
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6:.2f} GB")


if __name__ == "__main__":
    main()
