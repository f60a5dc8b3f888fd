"""Play or crow: each stretch of tone judged once more as a whole, by its bursts.

Many short bursts are a figure on the instrument; a few that are rough, or lone
clear pitches in the range of crows (peeps), are a reed blown alone. A peep is a
clear tone like a note: only range, length and company tell them apart, so a
single short note between E4 and E5 is taken for a crow.
"""

from __future__ import annotations

import numpy as np
from scipy import ndimage

from annotate.listen.evidence import LOW_NOTE_HZ, NO_FOOT_DB, Evidence, Frames, groups
from annotate.listen.features import HOP_MS, Features

# A peep is a crow of one clear pitch: only its surroundings tell it from a note.
PEEP_HZ = (290.0, 640.0)  # crows reported from C4-C#4 (on the bocal) to C5 (oboe), with a third to spare
PEEP_LONGEST_MS = 2400  # one breath into a bare reed; long tones are held longer
PEEP_SHORTEST_MS = 250  # shorter ones are notes of a quick figure
PLAIN_CROW_MS = 350  # a rough burst this long is a crow ...
MOSTLY_CROW = 0.45  # ... and takes the rest of its stretch along, if so much of it may be one too
CROW_BURSTS = 4  # more than this at a stretch is tonguing practice
FIGURE_BURSTS = 4  # this many bursts ...
FIGURE_MS = 300  # ... no longer than this are notes: nobody crows so fast
PEEP_WOBBLE_CENTS = 60.0  # within one burst; the next note of a scale is 100 away
# What seems a held note below 130 Hz may be two high pitches that beat: a note has all its partials, and is clear.
SEEMING_NOTE_MS = 480
GAP_DB = -32.0  # weakest partial at 130-400 Hz: -29 or more in held notes, -33 and less in most crows
UNCLEAR = 0.9  # upper quarter of the periodicity: 0.98 in held notes
BURST_FRAMES = 13  # 0.4 s: a dip ...
BURST_DIP_DB = 12.0  # ... this deep below the loudest moment within it parts two bursts


def _is_crowing(bursts: list[Frames], measured: Features, found: Evidence) -> bool:
    """All bursts may be crows; or most may, and one plainly is."""
    may = [_may_crow(burst, measured, found) for burst in bursts]
    share = sum(b.size for b, yes in zip(bursts, may, strict=True) if yes) / sum(b.size for b in bursts)
    plain = any(np.median(found.rough[b]) > 0.5 and b.size * HOP_MS >= PLAIN_CROW_MS for b in bursts)
    return all(may) or (plain and share >= MOSTLY_CROW)


def _may_crow(burst: Frames, measured: Features, found: Evidence) -> bool:
    """Whether one burst is rough, or one clear pitch in the range of crows, not held as long as a long tone."""
    if np.median(found.rough[burst]) > 0 or _is_beating(burst, measured):
        return True
    if not PEEP_SHORTEST_MS <= burst.size * HOP_MS <= PEEP_LONGEST_MS:
        return False
    pitch_hz = measured.pitch_hz[burst]
    middle = float(np.median(pitch_hz))
    while middle < PEEP_HZ[0] and np.median(measured.foot_db[burst]) < NO_FOOT_DB:
        pitch_hz, middle = 2 * pitch_hz, 2 * middle
    steady = np.abs(1200 * np.log2(np.maximum(pitch_hz, 1) / middle)) < PEEP_WOBBLE_CENTS
    return PEEP_HZ[0] <= middle <= PEEP_HZ[1] and bool(steady.mean() > 0.8)


def _is_beating(burst: Frames, measured: Features) -> bool:
    """Whether what seems a low note lacks partials that a note has, or never becomes clear."""
    if burst.size * HOP_MS < SEEMING_NOTE_MS or np.median(measured.pitch_hz[burst]) >= LOW_NOTE_HZ:
        return False
    gap_db, clear = np.median(measured.gap_db[burst]), np.percentile(measured.periodicity[burst], 75)
    return bool(gap_db < GAP_DB or clear < UNCLEAR)


def bursts_of(start: int, end: int, measured: Features, found: Evidence) -> list[Frames]:
    """The frames of each stretch of tone between dips of the level; bits under a tenth of a second left out."""
    tonal = np.nonzero(found.tonal[start:end] & (measured.pitch_hz[start:end] > 0))[0] + start
    if not tonal.size:
        return []
    level = measured.level_db[tonal]
    loud = tonal[level > ndimage.maximum_filter1d(level, BURST_FRAMES, mode="nearest") - BURST_DIP_DB]
    return [group for group in groups(loud, 1) if group.size >= 3]


def name_tone(start: int, end: int, measured: Features, found: Evidence) -> str | None:
    """``play`` or ``crow`` for the tonal frames ``start`` to ``end``; None where the bursts do not tell."""
    bursts = bursts_of(start, end, measured, found)
    if len(bursts) >= FIGURE_BURSTS and np.percentile([b.size for b in bursts], 80) * HOP_MS <= FIGURE_MS:
        return "play"
    if bursts and len(bursts) <= CROW_BURSTS and _is_crowing(bursts, measured, found):
        return "crow"
    return None
