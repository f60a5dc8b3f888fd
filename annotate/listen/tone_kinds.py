"""Play or crow: each burst of a stretch of tone is weighed by eleven measures, in the company of its neighbours.

Every measure gives points for a crow (above 0) or for a note (below 0), read
off the lines in ``POINTS``; the sum, with ``START_POINTS``, is the logarithm of
the odds. The bursts of a stretch are then named together, where a change from
one to the other costs ``CHANGE_POINTS``: who plays goes on playing.

A peep is a clear tone like a note: only length, pitch and company tell them
apart, so a single short clear note in the range of crows may be taken for one.

The points come from a logistic regression on the bursts of six makers of
invented recordings (tests/bench/makers, each maker weighing the same), with
length, number and clearness blurred so that no maker's habits are learned by
heart. Left out of the fit in turn, each maker had 94-98 % of the time of its tones named right.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from annotate.listen.evidence import HELD_CENTS, Evidence, Frames, groups
from annotate.listen.features import HOP_MS, Features, Track

BURST_FRAMES = 13  # 0.4 s: a dip ...
BURST_DIP_DB = 12.0  # ... this deep below the loudest moment within it parts two bursts
BURST_LEAST_FRAMES = 3  # bits under a tenth of a second say nothing
PITCH_CENTS = 40.0  # a held pitch stays this near its middle ...
PITCH_FRAMES = 3  # ... for a tenth of a second; two pitches ...
APART_CENTS = 80.0  # ... lie at least this far apart
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


POINTS = {
    # A crow is one breath into a bare reed; shorter bursts are notes of a figure, longer ones are held notes.
    "length_s": Line((0.125, 0.25, 0.5, 1.0, 2.0, 4.0), (-1.6, -1.0, -0.1, 2.0, 2.6, -2.0), by_ratio=True),
    # Different pitches held within the burst: slurred notes.
    "pitches": Line((1, 2, 3), (1.4, 0.3, -1.8)),
    # Share of frames that stay within HELD_CENTS: vibrato and quick notes move, a peep does not.
    "still": Line((0.4, 0.7, 1.0), (-1.0, -0.6, 1.5)),
    # Harmonicity (dB) of the clearest tenth: breath and several pitches at once spoil it.
    "clear_db": Line((10, 15, 18, 21, 25), (2.4, 0.7, -0.2, -1.2, -1.9)),
    # The same of pitches below the range of crows only (else at the left end): a clear one is a note.
    "clear_low_db": Line((12, 18, 20, 22, 25), (0.2, 0.8, 0.8, -0.2, -1.6)),
    # The same of bursts longer than LONGEST_PEEP_S (else at the left end). Set by hand, not fitted: no peep is held so
    # long, and the makers hold few notes of this length in the range of crows.
    "clear_long_db": Line((12, 18, 22), (0.0, 0.0, -2.0)),
    # Depth of beats at 18-125 Hz in the smoothest third, not counting those of a low note's own partials.
    "beats": Line((0.022, 0.097, 0.313), (-0.6, -1.6, 2.1), by_ratio=True),
    # Strongest partial below 260 Hz against the strongest of all (dB): the bassoon has one, crows hardly.
    "foot_db": Line((-40, -20, -10, -3), (0.8, 0.7, 0.0, -1.6)),
    # The weakest partial up to the strongest one, against that (dB): pitches that beat leave most of them out.
    "weakest_db": Line((-60, -45, -30, -15), (1.1, 1.4, -0.1, -2.4)),
    # Pitch (Hz): crows are reported from C4 to C5 (262-523 Hz).
    "pitch_hz": Line((141, 264, 325, 566, 985), (-0.4, -0.1, -0.1, 1.3, -0.9), by_ratio=True),
    # Bursts in the stretch: crows come one to four at a time, tongued notes many.
    "bursts": Line((1, 2, 4, 8, 16), (-0.2, 1.9, 1.4, -1.4, -1.7), by_ratio=True),
}
START_POINTS = -0.2  # what a burst has before anything is measured
LONGEST_PEEP_S = 2.8  # one soft breath into a bare reed; long tones are held longer
LOWEST_CROW_HZ = 270.0  # C4 and half a semitone: below, a clear pitch is a note
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


def measures_of(burst: Frames, company: int, measured: Features, found: Evidence) -> dict[str, float]:
    """The value of each measure of ``POINTS`` for one burst among ``company`` bursts."""
    pitch_hz, foot_db = measured.pitch_hz[burst], measured.foot_db[burst]
    cents = 1200 * np.log2(pitch_hz)
    fast = np.where((pitch_hz < LOW_NOTE_HZ) & (foot_db > NO_FOOT_DB), 0, measured.fast_beats[burst])
    beats = np.hypot(measured.slow_beats[burst], fast) + LEAST_DEPTH
    clear_db = float(np.percentile(found.clear_db[burst], CLEAREST_PERCENT))
    middle_hz = float(np.median(pitch_hz))
    return {
        "length_s": burst.size * HOP_MS / 1000,
        "pitches": float(held_pitches(cents)),
        "still": float((np.abs(np.diff(cents, prepend=cents[:1])) < HELD_CENTS).mean()),
        "clear_db": clear_db,
        "clear_low_db": clear_db if middle_hz < LOWEST_CROW_HZ else POINTS["clear_low_db"].at[0],
        "clear_long_db": clear_db if burst.size * HOP_MS > LONGEST_PEEP_S * 1000 else POINTS["clear_long_db"].at[0],
        "beats": float(np.percentile(beats, SMOOTHEST_PERCENT)),
        "foot_db": float(np.median(foot_db)),
        "weakest_db": float(np.percentile(measured.weakest_db[burst], SMOOTHEST_PERCENT)),
        "pitch_hz": middle_hz,
        "bursts": float(company),
    }


def held_pitches(cents: Track) -> int:
    """How many different pitches are held among consecutive frames (cents)."""
    smooth = ndimage.median_filter(cents, 3, mode="nearest")
    held: list[float] = []
    start = 0
    for stop in range(1, smooth.size + 1):
        if stop < smooth.size and abs(smooth[stop] - np.median(smooth[start:stop])) < PITCH_CENTS:
            continue
        middle = float(np.median(smooth[start:stop]))
        if stop - start >= PITCH_FRAMES and all(abs(middle - other) > APART_CENTS for other in held):
            held.append(middle)
        start = stop
    return len(held)


def crow_points(measures: dict[str, float]) -> float:
    """Logarithm of the odds that a burst is a crow and not a note, at most ``MOST_POINTS`` either way."""
    total = START_POINTS + sum(line.read(measures[name]) for name, line in POINTS.items())
    return min(max(total, -MOST_POINTS), MOST_POINTS)


def name_bursts(start: int, end: int, measured: Features, found: Evidence) -> list[tuple[Frames, str, float]]:
    """Each burst of the tonal frames ``start`` to ``end``, its kind (play or crow) and its points for a crow."""
    bursts = bursts_of(start, end, measured, found)
    points = [crow_points(measures_of(burst, len(bursts), measured, found)) for burst in bursts]
    return list(zip(bursts, ("crow" if yes else "play" for yes in _together(points)), points, strict=True))


def _together(points: list[float]) -> list[bool]:
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
