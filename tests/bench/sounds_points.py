"""How the points of ``annotate/listen/tone_kinds.py`` were found: a regularised logistic regression on bursts.

    python -m tests.bench.sounds_points [--makers ABCDEFG] [--scenes FIRST:COUNT ...]

Prints, for each maker left out of the fit in turn, the share of the time of
its tones that the others' points name right, and then the points fitted to
all makers. The lines keep the values they have in ``POINTS``; only the points
are fitted. Each maker weighs the same, a burst by the root of its length.

So that no maker's habits are learned by heart, every burst counts ``COPIES``
times with its length, clearness and number blurred; the pitches of notes are
blurred as players' are; and in half of the crows the step to the next peep is
made small, as of one reed, where most makers choose each peep's pitch afresh.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy import optimize

from annotate.listen import evidence, sounds, tone_kinds
from annotate.listen.features import HOP_MS, Features
from annotate.listen.tone_kinds import POINTS, Company
from tests.bench import sounds_accuracy

COPIES = 3
BLUR = 0.15  # of the logarithm of length and number
CLEAR_BLUR_DB = 0.9
NOTE_CENTS = 5.0  # deviation of a player's pitches from equal temperament, on a reed under trial
PEEP_CENTS = 20.0  # deviation of one reed's peeps from each other
SIZE_COST, BEND_COST = 0.3, 1.0  # of the points, and of the bends in their lines
LIKELIHOOD = 700.0  # what all bursts of one maker weigh, against these costs


@dataclass(frozen=True)
class Burst:
    """A burst of a maker: its stretch, what it is, its measures and its company."""

    stretch: tuple[str, int, int]
    is_crow: bool
    measures: dict[str, float]
    company: Company


def bursts(measured: Features, truth: tuple[tuple[int, int, str], ...], maker: str, scene: int) -> Iterator[Burst]:
    """The bursts of one scene that are mostly play or crow, cut as ``sounds.decide`` cuts them."""
    found = evidence.weigh(measured)
    path = sounds.path_before_names(sounds.score(found), measured, found)
    true = sounds_accuracy.frames_of(truth, truth[-1][1] // sounds_accuracy.FRAME_MS)
    for start, end in sounds.tones(path):
        cut = tone_kinds.bursts_of(start, end, measured, found)
        held = [tone_kinds.held_pitches(1200 * np.log2(measured.pitch_hz[burst])) for burst in cut]
        for place, burst in enumerate(cut):
            at = np.minimum((burst * HOP_MS + HOP_MS // 2) // sounds_accuracy.FRAME_MS, true.size - 1)
            kind = int(np.bincount(true[at]).argmax())
            if kind not in (sounds.PLAY, sounds.CROW):
                continue
            company = tone_kinds.company_of(cut, held, place)
            measures = tone_kinds.measures_of(burst, company, measured, found)
            yield Burst((maker, scene, start), kind == sounds.CROW, measures, company)


def blurred(burst: Burst, random: np.random.Generator) -> dict[str, float]:
    """The measures of a burst, changed by as much as may be chance."""
    made = dict(burst.measures)
    made["length_s"] *= float(np.exp(BLUR * random.normal()))
    made["alike"] *= float(np.exp(BLUR * random.normal()))
    made["clear_db"] += CLEAR_BLUR_DB * float(random.normal())
    within, between = np.array(burst.company.within_cents), np.array(burst.company.between_cents)
    if not burst.is_crow:
        within = np.abs(within + random.normal(0, np.sqrt(2) * NOTE_CENTS, within.size))
        between = np.abs(between + random.normal(0, np.sqrt(2) * NOTE_CENTS, between.size))
    elif random.random() < 0.5:
        between = np.abs(random.normal(0, np.sqrt(2) * PEEP_CENTS, between.size))
    company = Company(made["alike"], tuple(within.tolist()), tuple(between.tolist()))
    return made | tone_kinds.company_measures(company)


def columns(measures: list[dict[str, float]]) -> np.ndarray:
    """One column for each value of each line, 1 at the value and 0 at its neighbours; before them one of ones."""
    made = [np.ones(len(measures))]
    for name, line in POINTS.items():
        at, read = np.array(line.at, dtype=float), np.array([one[name] for one in measures])
        if line.by_ratio:
            at, read = np.log(at), np.log(read)
        made += [np.interp(read, at, peak) for peak in np.eye(at.size)]
    return np.stack(made, axis=1)


def costs() -> np.ndarray:
    """Quadratic costs of the points and of the bends of their lines; the start is free."""
    size = 1 + sum(len(line.at) for line in POINTS.values())
    made, first = np.diag([0.0] + [SIZE_COST] * (size - 1)), 1
    for line in POINTS.values():
        for middle in range(first + 1, first + len(line.at) - 1):
            bend = np.zeros(size)
            bend[middle - 1 : middle + 2] = 1, -2, 1
            made += BEND_COST * np.outer(bend, bend)
        first += len(line.at)
    return made


def fitted(known: list[Burst]) -> np.ndarray:
    """Start and points (as in ``columns``) that make these bursts likeliest, less the costs."""
    random = np.random.default_rng(1)
    at = np.concatenate([columns([blurred(one, random) for one in known]) for _ in range(COPIES)])
    is_crow = np.tile([one.is_crow for one in known], COPIES)
    weight = np.sqrt(np.clip([one.measures["length_s"] for one in known], 0.15, 2.0))
    makers = np.array([one.stretch[0] for one in known])
    for maker in set(makers):
        weight[makers == maker] *= LIKELIHOOD / weight[makers == maker].sum()
    weight = np.tile(weight, COPIES) / COPIES
    cost = costs()

    def loss(points: np.ndarray) -> tuple[float, np.ndarray]:
        odds = at @ points
        value = weight @ (np.logaddexp(0, odds) - is_crow * odds) + points @ cost @ points / 2
        return float(value), at.T @ (weight * (1 / (1 + np.exp(-odds)) - is_crow)) + cost @ points

    return np.asarray(optimize.minimize(loss, np.zeros(at.shape[1]), jac=True, method="L-BFGS-B").x)


def right(points: np.ndarray, known: list[Burst]) -> float:
    """Share of the time of these bursts that is named right, the bursts of a stretch together."""
    most = tone_kinds.MOST_POINTS
    odds = np.clip(columns([one.measures for one in known]) @ points, -most, most)
    stretches: dict[tuple[str, int, int], list[int]] = {}
    for number, one in enumerate(known):
        stretches.setdefault(one.stretch, []).append(number)
    told = np.zeros(len(known), dtype=bool)
    for numbers in stretches.values():
        told[numbers] = tone_kinds.together(odds[numbers].tolist())
    length = np.array([one.measures["length_s"] for one in known])
    return float(length[told == np.array([one.is_crow for one in known])].sum() / length.sum())


def tell(known: list[Burst]) -> np.ndarray:
    """Print what the points are worth for each maker left out, and the points fitted to all."""
    for maker in sorted({one.stretch[0] for one in known}):
        points = fitted([one for one in known if one.stretch[0] != maker])
        print(f"maker {maker} left out: {right(points, [one for one in known if one.stretch[0] == maker]):.4f}")
    points = fitted(known)
    print(f"all fitted: {right(points, known):.4f}\nSTART_POINTS = {points[0]:.1f}")
    first = 1
    for name, line in POINTS.items():
        print(f"{name}: {line.at} -> ({', '.join(f'{one:.1f}' for one in points[first : first + len(line.at)])})")
        first += len(line.at)
    return points


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--makers", default="ABCDEFG")
    parser.add_argument("--scenes", nargs="+", default=["110000:30", "91000:16", "200000:9"], help="first seed, count")
    given = parser.parse_args()
    known: list[Burst] = []
    for maker in given.makers:
        for first, count in (map(int, one.split(":")) for one in given.scenes):
            for turn in range(count):
                seed = first + 1000 * sounds_accuracy.MAKERS.index(maker) + turn
                made = sounds_accuracy.scene_of(maker, seed, turn, 60.0)
                known += bursts(sounds.measure(made.samples), made.truth, maker, seed)
    tell(known)


if __name__ == "__main__":
    main()
