"""Memory of the whole of listening: the most that is resident while ``benchreel listen`` hears a file of hours.

    python -m tests.bench.listen_memory [--hours 4]

The file is made here as Opus: a scene of invented bench sounds (maker A) and a
spoken sentence, over and over. The program runs as a process of its own, so
that only its memory is counted: looked at five times a second together with
whatever processes it starts, and the most of itself as the system noted it. The
larger of the two counts. The bar is 1.5 GB.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import threading
import time
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import psutil

from annotate.listen.audio import read_sound
from tests.bench.makers import desk

RATE = 48_000
LOOK_S = 0.2
SPEECH = Path(__file__).parents[1] / "listen" / "speech" / "short.ogg"


def write_long(path: Path, hours: float) -> None:
    """Packets of one round of sounds, repeated until the file is long enough: encoding hours would take longer."""
    bench = desk.scene(desk.cast_of("A"), 31_000, "room", 120).samples
    sound = np.concatenate([np.repeat(bench, RATE // desk.RATE_HZ), read_sound(SPEECH, 0, rate_hz=RATE)])
    with av.open(str(path), "w") as out:
        stream = out.add_stream("libopus", rate=RATE, layout="mono")
        stream.bit_rate = 32_000
        frame = av.AudioFrame.from_ndarray((sound * 32767).astype(np.int16)[None], format="s16", layout="mono")
        frame.sample_rate, frame.pts, frame.time_base = RATE, 0, Fraction(1, RATE)
        packets = stream.encode(frame) + stream.encode(None)
        round_of = [(bytes(one), one.duration) for one in packets if one.duration]
        at = 0
        while at < hours * 3600 * RATE:
            for content, duration in round_of:
                packet = av.Packet(content)
                packet.stream, packet.pts, packet.dts = stream, at, at
                packet.duration, packet.time_base = duration, Fraction(1, RATE)
                out.mux(packet)
                at += duration


class Watched:
    """The most that a process and all that it started had resident together, and when (seconds from the start)."""

    def __init__(self, process_id: int) -> None:
        self.most, self.at_s = 0, 0.0
        self._process, self._started = psutil.Process(process_id), time.perf_counter()
        threading.Thread(target=self._watch, daemon=True).start()

    def _watch(self) -> None:
        while self._process.is_running():
            try:
                family = [self._process, *self._process.children(recursive=True)]
                now = sum(one.memory_info().rss for one in family)
            except psutil.NoSuchProcess:  # one of them has just ended
                now = 0
            if now > self.most:
                self.most, self.at_s = now, time.perf_counter() - self._started
            time.sleep(LOOK_S)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=4)
    hours = parser.parse_args().hours
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "long.ogg"
        write_long(path, hours)
        started = time.perf_counter()
        command = [sys.executable, "-m", "annotate.cli", "listen", str(path), "--json", "--language", "en"]
        with subprocess.Popen(command, stdout=subprocess.PIPE) as program:
            watched = Watched(program.pid)
            told, _ = program.communicate()
        if program.returncode:
            sys.exit(f"the program ended with {program.returncode}")
        seconds = time.perf_counter() - started
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    found = json.loads(told)
    print(", ".join(f"{len(found[name])} {name}" for name in ("sounds", "notes", "crows", "lines")))
    most = max(watched.most, used.ru_maxrss * 1024)
    print(f"most seen of it and its children: {watched.most / 1e9:.2f} GB after {watched.at_s:.0f} s of {seconds:.0f}")
    print(
        f"{hours:g} hours: {most / 1e9:.2f} GB resident at most (bar 1.5), "
        f"{hours * 3600 / seconds:.0f} times real time by the clock, "
        f"{hours * 3600 / (used.ru_utime + used.ru_stime):.0f} per processor second"
    )


if __name__ == "__main__":
    main()
