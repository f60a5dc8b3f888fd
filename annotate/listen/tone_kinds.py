"""Play or crow: each burst of a stretch of tone is weighed by ten measures, in the company of its neighbours.

Every measure gives points for a crow (above 0) or for a note (below 0), read
off the lines in ``POINTS``; the sum, with ``START_POINTS``, is the logarithm of
the odds. The bursts of a stretch are then named together, where a change from
one to the other costs ``CHANGE_POINTS``: who plays goes on playing.

A peep is a clear tone like a note: only length, pitch and company tell them
apart, so a single short clear note in the range of crows may be taken for one.

The points come from a logistic regression on the bursts of seven makers of
invented recordings (tests/bench/sounds_points.py), blurred so that no maker's
habits are learned by heart. Left out of the fit in turn, each maker had
96-99 % of the time of its tones named right.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from annotate.listen.evidence import HELD_CENTS, SEMITONE_CENTS, Evidence, Frames, groups
from annotate.listen.features import HOP_MS, Features, Track

BURST_FRAMES = 13  # 0.4 s: a dip ...
BURST_DIP_DB = 12.0  # ... this deep below the loudest moment within it parts two bursts
BURST_LEAST_FRAMES = 3  # bits under a tenth of a second say nothing
PITCH_CENTS = 40.0  # a held pitch stays this near its middle ...
PITCH_FRAMES = 3  # ... for a tenth of a second
STEP_CENTS = (50.0, 1250.0)  # smaller is the same pitch, larger a leap of the pitch tracker as often as of a melody
ANY_OFF_CENTS = 25.0  # how far any two pitches lie from whole semitones, on average
WITHIN_CENTS = 1150.0  # a leap of an octave within a crow is mostly the pitch tracker's
NO_STEP = 0.5  # semitones: where no step is known, neither the same pitch again nor a step of a scale
ALIKE_TIMES = 2  # of the length of a burst and its neighbour: no more, then they are of one kind of music
CLEAREST_PERCENT = 90  # a note is clear between its changes, a crow nowhere: its clearest frames count ...
SMOOTHEST_PERCENT = 30  # ... and, of beats and of missing partials, what the better or worse third shows
# Below this pitch neighbouring partials lie so close that they beat; the foot shows that there is such a note.
LOW_NOTE_HZ, NO_FOOT_DB = 130.0, -32.0
LEAST_DEPTH = 0.003  # of beats: below the noise of every microphone


@dataclass(frozen=True)
class Line:
    """Points for a crow at some values of a measure; between them on a line, by ratio where ratios count."""

    at: tuple[float, ...]
    points: tuple[float, ...]
    by_ratio: bool = False

    def read(self, value: float) -> float:
        if self.by_ratio:
            return float(np.interp(np.log(value), np.log(self.at), self.points))
        return float(np.interp(value, self.at, self.points))


@dataclass(frozen=True)
class Company:
    """How many bursts of the stretch are of like length; the steps (cents) within a burst and to its neighbours."""

    alike: float
    within_cents: tuple[float, ...]
    between_cents: tuple[float, ...]


POINTS = {
    # A crow is one breath into a bare reed: shorter bursts are notes of a figure, longer ones are held notes.
    "length_s": Line(
        (0.1, 0.2, 0.35, 0.6, 1.0, 2.0, 3.5, 6.0), (-3.7, -1.2, 0.9, 2.4, 3.0, 2.9, -0.3, -4.0), by_ratio=True
    ),
    # Share of frames that stay within HELD_CENTS: vibrato and quick notes move, a peep does not.
    "still": Line((0.4, 0.7, 1.0), (-4.0, 0.3, 3.7)),
    # Harmonicity (dB) of the clearest tenth: breath and several pitches at once spoil it.
    "clear_db": Line((6, 10, 15, 18, 21, 25, 30), (4.7, 2.5, 0.9, -0.1, -1.2, -2.8, -4.1)),
    # Depth of beats at 18-125 Hz in the smoothest third, not counting those of a low note's own partials.
    "beats": Line((0.02, 0.05, 0.1, 0.2, 0.35), (-0.5, -0.4, -0.9, -0.1, 1.9), by_ratio=True),
    # Strongest partial below 260 Hz against the strongest of all (dB): the bassoon has one, crows hardly.
    "foot_db": Line((-40, -20, -10, -3), (2.1, 1.6, -0.3, -3.4)),
    # The weakest partial up to the strongest one, against that (dB): pitches that beat leave most of them out.
    "weakest_db": Line((-60, -45, -30, -15), (0.7, 1.5, 0.2, -2.4)),
    # Pitch (Hz): crows are reported from C4 to C5 (262-523 Hz).
    "pitch_hz": Line((141, 264, 325, 566, 985), (-1.0, -0.6, 0.4, 1.1, 0.1), by_ratio=True),
    # Bursts of like length in the stretch: crows come one to four at a time, tongued notes many.
    "alike": Line((1, 2, 4, 8, 16), (1.4, 2.3, 1.4, -1.8, -3.3), by_ratio=True),
    # The middle one of the steps within the burst and to its neighbours (semitones): notes repeat exactly, peeps about.
    "step_semitones": Line(
        (0.03, 0.08, 0.2, 0.5, 1, 3, 11, 13, 20), (-0.8, -0.2, 0.7, -0.1, 0.0, 0.1, -0.3, -0.1, 0.7)
    ),
    # How far these steps are from whole semitones (cents): a melody keeps to a scale, crows do not.
    "off_scale_cents": Line((8, 13, 20, 30), (-2.7, -1.0, 1.0, 2.8)),
}
START_POINTS = -3.7  # what a burst has before anything is measured
MOST_POINTS = 4.0  # no single burst is surer than this: odds of about 50 to 1
CHANGE_POINTS = 1.0  # between two bursts of one stretch


def bursts_of(start: int, end: int, measured: Features, found: Evidence) -> list[Frames]:
    """The frames of each stretch of tone between dips of the level; bits under a tenth of a second left out."""
    tonal = np.nonzero(found.tonal[start:end] & (measured.pitch_hz[start:end] > 0))[0] + start
    if not tonal.size:
        return []
    level = measured.level_db[tonal]
    loud = tonal[level > ndimage.maximum_filter1d(level, BURST_FRAMES, mode="nearest") - BURST_DIP_DB]
    return [group for group in groups(loud, 1) if group.size >= BURST_LEAST_FRAMES]


def measures_of(burst: Frames, company: Company, measured: Features, found: Evidence) -> dict[str, float]:
    """The value of each measure of ``POINTS`` for one burst in the company of its neighbours."""
    pitch_hz, foot_db = measured.pitch_hz[burst], measured.foot_db[burst]
    cents = 1200 * np.log2(pitch_hz)
    fast = np.where((pitch_hz < LOW_NOTE_HZ) & (foot_db > NO_FOOT_DB), 0, measured.fast_beats[burst])
    beats = np.hypot(measured.slow_beats[burst], fast) + LEAST_DEPTH
    return {
        "length_s": burst.size * HOP_MS / 1000,
        "still": float((np.abs(np.diff(cents, prepend=cents[:1])) < HELD_CENTS).mean()),
        "clear_db": float(np.percentile(found.clear_db[burst], CLEAREST_PERCENT)),
        "beats": float(np.percentile(beats, SMOOTHEST_PERCENT)),
        "foot_db": float(np.median(foot_db)),
        "weakest_db": float(np.percentile(measured.weakest_db[burst], SMOOTHEST_PERCENT)),
        "pitch_hz": float(np.median(pitch_hz)),
    } | company_measures(company)


def company_of(bursts: list[Frames], held: list[list[float]], place: int) -> Company:
    """What is around the burst at ``place``, from the ``held`` pitches (cents) of every burst of its stretch."""
    own = bursts[place].size
    alike = sum(own <= ALIKE_TIMES * other.size and other.size <= ALIKE_TIMES * own for other in bursts)
    before = held[place - 1][-1:] if place else []
    after = held[place + 1][:1] if place + 1 < len(bursts) else []
    within = [step for step in np.abs(np.diff(held[place])).tolist() if step < WITHIN_CENTS]
    between = np.abs(np.diff(before + held[place][:1])).tolist() + np.abs(np.diff(held[place][-1:] + after)).tolist()
    return Company(alike, tuple(within), tuple(between))


def company_measures(company: Company) -> dict[str, float]:
    """The three measures that come from the company; how far steps are from a scale is counted with one of chance."""
    every = company.within_cents + company.between_cents
    steps = np.array([step for step in every if STEP_CENTS[0] < step < STEP_CENTS[1]])
    off = np.abs(steps - SEMITONE_CENTS * np.round(steps / SEMITONE_CENTS))
    return {
        "alike": float(company.alike),
        "step_semitones": float(np.median(every)) / SEMITONE_CENTS if every else NO_STEP,
        "off_scale_cents": float((off.sum() + ANY_OFF_CENTS) / (off.size + 1)),
    }


def held_pitches(cents: Track) -> list[float]:
    """The pitches (cents) that are held one after the other among consecutive frames."""
    smooth = ndimage.median_filter(cents, 3, mode="nearest").astype(float).tolist()
    held: list[float] = []
    start, total = 0, 0.0
    for stop, value in enumerate([*smooth, np.inf]):
        if stop > start and abs(value - total / (stop - start)) >= PITCH_CENTS:
            if stop - start >= PITCH_FRAMES:
                held.append(total / (stop - start))
            start, total = stop, 0.0
        total += value
    return held


def crow_points(measures: dict[str, float]) -> float:
    """Logarithm of the odds that a burst is a crow and not a note, at most ``MOST_POINTS`` either way."""
    total = START_POINTS + sum(line.read(measures[name]) for name, line in POINTS.items())
    return min(max(total, -MOST_POINTS), MOST_POINTS)


def name_bursts(start: int, end: int, measured: Features, found: Evidence) -> list[tuple[Frames, str, float]]:
    """Each burst of the tonal frames ``start`` to ``end``, its kind (play or crow) and its points for a crow."""
    bursts = bursts_of(start, end, measured, found)
    held = [held_pitches(1200 * np.log2(measured.pitch_hz[burst])) for burst in bursts]
    points = [
        crow_points(measures_of(burst, company_of(bursts, held, place), measured, found))
        for place, burst in enumerate(bursts)
    ]
    return list(zip(bursts, ("crow" if yes else "play" for yes in together(points)), points, strict=True))


def together(points: list[float]) -> list[bool]:
    """Which bursts are crows, so that the points less the costs of the changes are most."""
    totals, came_from = [0.0, 0.0], []
    for one in points:
        best = [max((0, 1), key=lambda before: totals[before] - CHANGE_POINTS * (before != kind)) for kind in (0, 1)]
        came_from.append(best)
        totals = [
            totals[before] - CHANGE_POINTS * (before != kind) + (one if kind else -one) / 2
            for kind, before in enumerate(best)
        ]
    kind, named = int(totals[1] > totals[0]), []
    for best in reversed(came_from):
        named.append(bool(kind))
        kind = best[kind]
    return named[::-1]
