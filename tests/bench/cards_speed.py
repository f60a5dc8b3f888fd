"""How fast cards are looked for in a long 1080-line recording, and that none is imagined.

    python -m tests.bench.cards_speed [--minutes 20] [--keys second|half|far]

Half a minute of the demo's bench (the card cut away), enlarged to 1920 x 1080
with camera noise, is coded once and repeated without coding until it is long
enough. ``second`` and ``half`` set a key picture that often, as phones do;
``far`` is x264's own habit (every 250 pictures).
Prints wall and CPU seconds, the machine's load, and what was found. The bar:
20 minutes in under 20 s on two cores, so 40 CPU seconds on an idle machine.
"""

from __future__ import annotations

import argparse
import os
import resource
import tempfile
import time
from pathlib import Path

import demo_media
from annotate.intake.cards_seen import find_cards
from annotate.intake.probe import probe
from tests.media import ffmpeg

PIECE_S = 30
CODINGS = {
    "second": ("-preset", "ultrafast", "-crf", "24", "-g", "30", "-sc_threshold", "0"),
    "half": ("-preset", "ultrafast", "-crf", "24", "-g", "15", "-sc_threshold", "0"),
    "far": ("-preset", "veryfast", "-crf", "24", "-g", "250"),
}


def long_film(folder: Path, minutes: float, keys: str) -> Path:
    """The recording, without any card."""
    piece, whole = folder / "piece.mp4", folder / "whole.mp4"
    source = demo_media.media_path("b12-first-sitting.mp4")
    look = ("-vf", "scale=1920:1080,noise=alls=6:allf=t", "-an", "-c:v", "libx264", "-threads", "2")
    ffmpeg("-ss", "8", "-t", str(PIECE_S), "-i", source, *look, *CODINGS[keys], piece)
    loops = round(minutes * 60 / PIECE_S) - 1
    ffmpeg("-stream_loop", str(loops), "-i", piece, "-c", "copy", whole)
    return whole


def cpu_s() -> float:
    """CPU seconds of this process, all threads."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    return used.ru_utime + used.ru_stime


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--minutes", type=float, default=20)
    parser.add_argument("--keys", choices=sorted(CODINGS), default="second")
    told = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = long_film(Path(folder), told.minutes, told.keys)
        told_by_probe = probe(path)
        wall, used = time.perf_counter(), cpu_s()
        found = find_cards(path, told_by_probe)
        wall, used = time.perf_counter() - wall, cpu_s() - used
    minutes = told_by_probe.duration_ms / 60_000
    load, cores = os.getloadavg()[0], os.cpu_count() or 1
    print(f"{minutes:.1f} min of 1920x1080, a key picture each {told.keys}: {wall:.1f} s wall, {used:.1f} s CPU")
    print(f"load {load:.1f} on {cores} cores; {used / 2:.1f} s if two idle cores shared the work evenly")
    print(f"cards imagined: {len(found)} {found[:5]}")


if __name__ == "__main__":
    main()
