"""Word times made true: moved to where the sound begins, in order, inside the recording.

The recogniser tends to begin a word where the one before it ended, in the
pause. Times here are integer milliseconds, half-open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from annotate.model import Word

FRAME_MS = 10
# Quieter than the word's loudest frame by this much is pause, not word. Unvoiced
# beginnings (f, th) lie some 20-30 dB below the vowel (common phonetics, from memory).
QUIET_BELOW_PEAK_DB = 30.0
# And at least this much over the quietest tenth of the sound around, so that room noise is pause.
OVER_FLOOR_DB = 6.0
# A start is moved only when the pause before it is longer than a stop's closure.
LEAST_PAUSE_MS = 60
SHORTEST_MS = 20
LONGEST_INSIDE_MS = 300
# A word in a pause belongs to what follows it, if that is no further away.
LONGEST_MOVE_MS = 1_500


def levels_db(samples: NDArray[np.float32], rate_hz: int = 16_000) -> NDArray[np.float64]:
    """Level of each 10 ms frame in dB re full scale, shape (frames,); silence is -120 dB."""
    size = rate_hz * FRAME_MS // 1000
    frames = samples[: len(samples) // size * size].reshape(-1, size).astype(np.float64)
    power = np.mean(frames**2, axis=1)
    result: NDArray[np.float64] = 10 * np.log10(np.maximum(power, 1e-12))
    return result


def moved_to_sound(words: Sequence[Word], levels: NDArray[np.float64]) -> list[Word]:
    """Each word cut to where it sounds: pause before and after it taken off.

    Parameters
    ----------
    words
        Times on the clock of ``levels`` (frame 0 is 0 ms).
    levels : float64, shape (frames,), dB
        As from :func:`levels_db`.
    """
    if not len(levels):
        return list(words)
    floor = float(np.percentile(levels, 10)) + OVER_FLOOR_DB
    out: list[Word] = []
    for word in reversed(words):
        cut = _cut(word, levels, floor)
        out.append(cut or _up_to(word, out[-1].start_ms if out else None))
    return out[::-1]


def _up_to(word: Word, next_ms: int | None) -> Word:
    """A word that was put wholly into a pause, moved up to the word after it, where there is one near."""
    if next_ms is None or not 0 < next_ms - word.end_ms <= LONGEST_MOVE_MS:
        return word
    length = max(word.end_ms - word.start_ms, LEAST_PAUSE_MS)
    return replace(word, start_ms=max(next_ms - length, word.start_ms), end_ms=next_ms)


def _cut(word: Word, levels: NDArray[np.float64], floor: float) -> Word | None:
    """The word without the pause before and after it; None if it does not sound at all."""
    first, last = word.start_ms // FRAME_MS, -(-word.end_ms // FRAME_MS)
    own = levels[first:last]
    if not len(own):
        return word
    loud = np.flatnonzero(own >= max(floor, float(own.max()) - QUIET_BELOW_PEAK_DB))
    if not len(loud):
        return None
    # A word has no long pause inside: of two sounding sides the longer one is the word.
    sides = np.split(loud, np.flatnonzero(np.diff(loud) * FRAME_MS > LONGEST_INSIDE_MS) + 1)
    loud = max(sides, key=len)
    lead = (first + int(loud[0])) * FRAME_MS - word.start_ms
    tail = word.end_ms - (first + int(loud[-1]) + 1) * FRAME_MS
    start = word.start_ms + (lead if lead >= LEAST_PAUSE_MS else 0)
    end = word.end_ms - (tail if tail >= LEAST_PAUSE_MS else 0)
    return replace(word, start_ms=start, end_ms=end) if end - start >= SHORTEST_MS else word


def in_order(words: Sequence[Word], duration_ms: int) -> list[Word]:
    """Words with strictly increasing starts, none empty, none overlapping, all within ``[0, duration_ms]``.

    Where there is no room for a word before the end it is squeezed down to a
    millisecond; words for which not even that is left are dropped.
    """
    out: list[Word] = []
    at = 0
    for word in words:
        start = max(word.start_ms, at)
        end = max(word.end_ms, start + SHORTEST_MS)
        out.append(replace(word, start_ms=start, end_ms=end))
        at = end
    kept: list[Word] = []
    limit = duration_ms
    for word in reversed(out):
        end = min(word.end_ms, limit)
        start = min(word.start_ms, end - 1)
        if start < 0:
            continue
        kept.append(replace(word, start_ms=start, end_ms=end))
        limit = start
    return kept[::-1]
