"""How fast and with how much memory a long recording is heard.

    python -m tests.bench.sounds_speed [--hours 4]

A scene of maker A is repeated until it is as long as asked, written to disk as
raw float32 and mapped, as the program does it. Prints the speed in times real
time, by the clock and by processor time (for a machine that is busy with other
things), and the peak resident memory, which counts the mapped pages. The bar:
100 times on two cores; 1.5 GB.
"""

from __future__ import annotations

import argparse
import resource
import tempfile
import time
from pathlib import Path

import numpy as np

from annotate.listen import sounds
from tests.bench.makers import desk


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--hours", type=float, default=4)
    hours = parser.parse_args().hours
    made = desk.scene(desk.cast_of("A"), 31_000, "room", 120).samples
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "long.raw"
        with path.open("wb") as file:
            for _ in range(round(hours * 3600 * desk.RATE_HZ / made.size)):
                made.tofile(file)
        mapped = np.memmap(path, dtype=np.float32, mode="r")
        begun, worked = time.perf_counter(), time.process_time()
        heard = sounds.hear(mapped)
        spent, worked = time.perf_counter() - begun, time.process_time() - worked
        seconds = mapped.size / desk.RATE_HZ
    print(f"{seconds / 3600:.2f} h in {spent:.0f} s: {seconds / spent:.0f} times real time; {len(heard)} sounds")
    print(f"{worked:.0f} s of processor time: {seconds / worked:.0f} times real time per processor second")
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6:.2f} GB")


if __name__ == "__main__":
    main()
