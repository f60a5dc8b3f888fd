"""Fits the weights of ``annotate.listen.misheard`` to narrations: logistic regression, printed as Python.

    python -m tests.bench.speech_doubt_weights tuning.json practising.json

Every candidate in the sentences as heard is a case; it is true where the words
of the candidate were said at its place; what is proposed by name is left out.
Only sets that are called seen may be given. The weights in use were fitted to
"tuning", "practising" and "hard" before the words of [heard_for] were entered;
with ``--by-ear`` to "practising" and "hard", narrated with ``LEAST_SCORE`` -4.5
and up to 14 stretches of 3 candidates in a piece, so that more were asked.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from dataclasses import astuple, fields
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

import numpy as np
from scipy.optimize import minimize

from annotate.listen.doubtful import NEIGHBOURS, Doubt, doubtful_by_name, plain, what_sounds_say
from annotate.listen.misheard import ByEar, Evidence, Misheard, misheard
from tests.bench.speech_doubtful import as_words, heard_words, is_right, said_words

# Strength of the pull of every weight (per standard deviation) to zero.
PULL = 1.0


def cases(path: Path) -> Iterator[tuple[Misheard, bool]]:
    spoken = json.loads(path.read_text("utf-8"))
    for number, one in enumerate(spoken):
        near = [
            other["heard"]
            for other in spoken[max(number - NEIGHBOURS, 0) : number + NEIGHBOURS + 1]
            if other is not one and other["voice"] == one["voice"]
        ]
        words, _ = said_words(one["said"])
        written = heard_words(one["heard"])
        changed = [
            (slice_said, slice_heard)
            for kind, *edges in SequenceMatcher(None, words, written, False).get_opcodes()
            for slice_said, slice_heard in [((edges[0], edges[1]), (edges[2], edges[3]))]
            if kind != "equal"
        ]
        around = " ".join(near)
        spoken_words = as_words(one)
        named = doubtful_by_name(one["heard"], spoken_words, around)
        taken = {at for doubt in named for at in range(doubt.first, doubt.last)}
        ear = what_sounds_say(spoken_words)
        for guess in misheard(written, one.get("likely", ()), [plain(word) for word in around.split()], ear):
            if not taken.isdisjoint(range(guess.first, guess.last)):
                continue
            doubt = Doubt(guess.first, guess.last, "", " ".join(guess.right), "", 0.0)
            yield (
                guess,
                any(
                    guess.first < heard[1] and guess.last > heard[0] and is_right(doubt, words, said, heard)
                    for said, heard in changed
                ),
            )


def fitted(rows: np.ndarray, truth: np.ndarray) -> tuple[float, np.ndarray]:
    """Bias and weights; rows (n, k), truth (n,) of 0 and 1."""
    middle, spread = rows.mean(axis=0), rows.std(axis=0) + 1e-9
    scaled = (rows - middle) / spread

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        odds = weights[0] + scaled @ weights[1:]
        chance = 1 / (1 + np.exp(-odds))
        wrong = truth - chance
        value = np.sum(np.logaddexp(0, odds) - truth * odds) + PULL * np.sum(weights[1:] ** 2)
        return float(value), -np.concatenate([[wrong.sum()], scaled.T @ wrong - 2 * PULL * weights[1:]])

    best = minimize(loss, np.zeros(rows.shape[1] + 1), jac=True, method="L-BFGS-B").x
    weights = best[1:] / spread
    return float(best[0] - weights @ middle), weights


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("heard", nargs="+", type=Path)
    parser.add_argument("--by-ear", action="store_true", help="fit what the sound counts for, with the text's score")
    given = parser.parse_args()
    found = [case for path in given.heard for case in cases(path)]
    if given.by_ear:
        found = [(guess, good) for guess, good in found if guess.nats is not None]
        show("EAR_", ByEar, found, [astuple(guess.by_ear()) for guess, _ in found])
    else:
        found = [(guess, good) for guess, good in found if not guess.is_for_trade]
        show("", Evidence, found, [astuple(guess.evidence) for guess, _ in found])


def show(name: str, kind: type[Any], found: list[tuple[Misheard, bool]], rows: list[tuple[float, ...]]) -> None:
    bias, weights = fitted(np.array(rows), np.array([float(good) for _, good in found]))
    print(f"# {len(found)} candidates, {sum(good for _, good in found)} of them right")
    print(f"{name}BIAS = {bias:.2f}")
    named = (f"    {field.name}={weight:.2f}," for field, weight in zip(fields(kind), weights, strict=True))
    print(f"{name}WEIGHTS = {kind.__name__}(", *named, ")", sep="\n")


if __name__ == "__main__":
    main()
