"""Invented words per minute where nobody speaks: the bar is none.

    python -m tests.bench.speech_nothing_said [--rounds 4]

Each round makes other noises, tones, scrapes and crows (seeded), 20 s each,
with hints given as in the program.
"""

from __future__ import annotations

import argparse

import numpy as np

from annotate.listen.model_files import find_model
from annotate.listen.recognise import Recogniser, Wishes
from annotate.listen.trade_words import hint_words
from annotate.listen.voiced import voiced
from tests.listen import noises


def sounds(seed: int) -> dict[str, np.ndarray]:
    rng = np.random.default_rng(seed)
    level = float(rng.uniform(0.01, 0.2))
    scale = sorted(rng.uniform(58, 660, 10).tolist())
    quiet_room = noises.white(20, 0.002, seed)
    return {
        "silence": noises.silence(20),
        "white noise": noises.white(20, level, seed),
        "brown noise": noises.brown(20, level, seed),
        "scraping": noises.scrapes(20, float(rng.uniform(0.5, 4)), level, seed) + quiet_room,
        "playing": noises.tones(scale, 1.7, level) + quiet_room[0],
        "long tones": noises.tones(scale[::3], 5, level),
        "crow": noises.crows(20, float(rng.uniform(150, 700)), float(rng.uniform(20, 120)), level) + quiet_room,
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=4)
    recogniser = Recogniser(find_model().folder, threads=2)
    wishes = Wishes("en", hint_words(reeds=("B-14",)))
    words = stretches = 0
    minutes = 0.0
    for seed in range(parser.parse_args().rounds):
        for name, sound in sounds(seed).items():
            heard = [word.text for line in recogniser.recognise(sound, wishes).utterances for word in line.words]
            words += len(heard)
            stretches += len(voiced(sound))
            minutes += len(sound) / 16_000 / 60
            if heard:
                print(f"round {seed}, {name}: {' '.join(heard)}")
    print(f"{words} words in {minutes:.1f} minutes without speech ({stretches} stretches taken for a voice)")


if __name__ == "__main__":
    main()
