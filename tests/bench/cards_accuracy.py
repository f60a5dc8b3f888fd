"""Whether every card shown for a second is found in a coded film, and whether any is imagined without one.

    python -m tests.bench.cards_accuracy [--lines 720] [--keys 250] [--codec libx264]
    python -m tests.bench.cards_accuracy --none

The first draws a film of 66 cards (``drawn_cards.hard_cases``), each a reed of
its own, at an eighth of the height, shown for exactly one second, drifting a
little, codes it, and counts those that ``find_cards`` names. The second looks
at ten minutes' worth of drawn benches, with print, a chequered cloth and
nested squares but no card: one picture every 450 ms as in a film. The bars: all
66; none.
"""

from __future__ import annotations

import argparse
import os
import tempfile
import time
from pathlib import Path

import numpy as np

from annotate.intake.card_codes import Reader
from annotate.intake.card_frames import STEP_MS
from annotate.intake.card_places import places
from annotate.intake.cards_seen import find_cards
from annotate.intake.probe import probe
from tests.drawn_cards import Coding, Shown, bench, film, hard_cases

APART_S = 1.63  # not a whole number of anything in the film


def shown(lines: int, keys: int, codec: str) -> None:
    cases = hard_cases()
    told = [
        Shown(f"A-{number}", number * APART_S + 0.3, number * APART_S + 1.3, pose, trouble, drift=0.01)
        for number, (_, pose, trouble) in enumerate(cases)
    ]
    coding = Coding(codec, (("preset", "veryfast"), ("crf", "24")), key_every=keys, rate=15)
    ground = bench(lines * 16 // 9, lines)
    with tempfile.TemporaryDirectory() as folder:
        path = film(Path(folder) / "cards.mp4", told, len(cases) * APART_S, coding, lambda _: ground)
        begun = time.process_time()
        found = find_cards(path, probe(path))
        used = time.process_time() - begun
    names = {one.name for one in found}
    missed = [f"{one.name} ({case[0]})" for one, case in zip(told, cases, strict=True) if one.name not in names]
    wrong = [one for one in found if one.name not in {other.name for other in told}]
    print(
        f"{lines} lines, {codec}, key every {keys}: {len(cases) - len(missed)} of {len(cases)} found; {used:.1f} s CPU"
    )
    print(f"missed: {missed}; never shown: {wrong}; load {os.getloadavg()[0]:.1f}")


def none() -> None:
    rng = np.random.default_rng(5)
    reader, count, imagined, tried = Reader(), 600_000 // STEP_MS, [], 0
    for number in range(count):
        still = bench(1280, 720, number // 12, printed=number % 24 < 12)
        turned = np.roll(still, rng.integers(-40, 40, 2), (0, 1)).astype(np.float32)
        picture = np.clip(turned * rng.uniform(0.4, 1.1) + rng.normal(0, rng.uniform(1, 6), still.shape), 0, 255)
        for place in places(picture.astype(np.uint8)):
            tried += 1
            imagined += reader.names(picture.astype(np.uint8), place)
    print(f"{count} pictures, 10 min at one each {STEP_MS} ms: {tried} places looked at, imagined: {imagined}")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--lines", type=int, default=720)
    parser.add_argument("--keys", type=int, default=250)
    parser.add_argument("--codec", default="libx264")
    parser.add_argument("--none", action="store_true")
    told = parser.parse_args()
    if told.none:
        none()
    else:
        shown(told.lines, told.keys, told.codec)


if __name__ == "__main__":
    main()
