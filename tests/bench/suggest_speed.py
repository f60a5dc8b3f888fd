"""Prints how long an hour of lines takes from a cold start: ``python -m tests.bench.suggest_speed``.

An hour at the bench is taken as 9,000 words (150 a minute) in lines as the
labelled sets hold them; every sentence of the sets is used before one comes
again. The program is started anew for each run, so that building the rules
counts.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

WORDS_AN_HOUR = 9_000
DATA = Path(__file__).parent.parent / "tagging" / "data"


def lines() -> list[str]:
    """An hour of lines."""
    rows = [row for path in sorted(DATA.glob("*.jsonl")) for row in path.read_text("utf-8").splitlines()]
    texts = [json.loads(row)["text"] for row in rows]
    out: list[str] = []
    words = 0
    while words < WORDS_AN_HOUR:
        out.append(texts[len(out) % len(texts)])
        words += len(out[-1].split())
    return out


def once() -> None:
    """Read the lines and print the seconds, rules built included."""
    hour = lines()
    start, busy = time.perf_counter(), time.process_time()
    from annotate.tagging import understand

    labels = sum(len(understand(text).labels) for text in hour)
    seconds, cpu = time.perf_counter() - start, time.process_time() - busy
    print(f"{seconds:.2f} s ({cpu:.2f} s of one core) for {len(hour)} lines, {labels} labels")


def main() -> None:
    """Three cold runs."""
    for _ in range(3):
        subprocess.run([sys.executable, "-c", "from tests.bench.suggest_speed import once; once()"], check=True)


if __name__ == "__main__":
    main()
