"""Signs that a microphone or an encoder has bent a sound: clipped peaks, and hush cut to nothing.

Numbers from such a sound are shown with this mark beside them. Absence of a
mark is no promise: gentle noise suppression and gain control leave no trace
that can be told from a quiet room.

Conventions: mono samples, full scale 1.0.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FLAT_SAMPLES = 3  # this many neighbours at the very top, and of a faster stream
FLAT_S = 1 / 8000  # as many as this lasts: a wave has one or two, the lowest note at 96 kHz a few more
FLAT_WITHIN = 4e-5  # of full scale: a step of 16-bit sound is 3.05e-5, and what was cut is flat but for that
NEAR_TOP = 0.999  # of the largest value
LEAST_TOP = 0.25  # of full scale: clipping before a later gain may lie below 1
CLIPPED_PER_S = 2.0  # flat tops a second; a loud click may have one
FRAME_MS = 10
SILENT_DBFS = -84.0  # below the noise of any microphone and of 16-bit dither
DROP_DB = 30.0  # from sounding to silent ...
DROP_FRAMES = 4  # ... within 40 ms; rooms take longer to die away
GATED_DROPS = 2  # one may be the end of a file that was put together
AROUND_MS = 1000  # of what surrounds a sound is looked at for the gate
BIN_MS = 100  # cut tops are counted in
FULL_SCALE = 1.01  # a lossy codec gives back more where tops were cut before it; of a whole wave a shade more


@dataclass(frozen=True)
class Marks:
    """``is_clipped``: tops are cut flat. ``is_gated``: hush is cut to nothing. With what they rest on."""

    is_clipped: bool
    is_gated: bool
    flat_tops_per_s: float
    drops_to_silence: int


class Tops:
    """Counts cut tops while a stream is decoded, at its own rate and channel by channel.

    Afterwards is too late: a resampled or mixed wave has ripples where it was flat.
    """

    def __init__(self) -> None:
        self._counts: Counter[int] = Counter()

    def add(self, channels: npt.NDArray[np.floating], rate_hz: int, first: int) -> None:
        """Count in some samples, shape (channels, n); ``first`` is the place of the first on the recording's clock."""
        tops = max((flat_tops(channel, rate_hz) for channel in channels), default=0)
        if tops:
            self._counts[first * 1000 // rate_hz // BIN_MS] += tops

    def per_s(self, start_ms: int, end_ms: int) -> float:
        """Cut tops a second between two moments."""
        bins = range(start_ms // BIN_MS, max(-(-end_ms // BIN_MS), start_ms // BIN_MS + 1))
        return sum(self._counts[one] for one in bins) * 1000 / (len(bins) * BIN_MS)


def find_marks(samples: npt.NDArray[np.floating], rate_hz: int, tops_per_s: float | None = None) -> Marks:
    """Look for both signs in one sound.

    Parameters
    ----------
    samples
        Mono, with a second or so of what surrounds the sound, for the gate.
    tops_per_s
        Cut tops as ``Tops`` counted them in the stream; without, they are looked for in ``samples``, which finds
        them only if these were neither resampled nor mixed.
    """
    if samples.size < rate_hz * FRAME_MS // 1000:
        return Marks(False, False, 0.0, 0)
    tops = flat_tops(samples, rate_hz) * rate_hz / samples.size if tops_per_s is None else tops_per_s
    drops = _drops(samples, rate_hz)
    return Marks(tops > CLIPPED_PER_S, drops >= GATED_DROPS, float(tops), drops)


def flat_tops(samples: npt.NDArray[np.floating], rate_hz: int) -> int:
    """How often neighbours lie flat at the largest or the smallest value of one channel, or beyond full scale."""
    least = max(FLAT_SAMPLES, round(FLAT_S * rate_hz))
    count = 0
    for side in (samples, -samples):
        top = float(side.max(initial=0.0))
        if top < LEAST_TOP:
            continue
        if top > FULL_SCALE:
            count += len(_runs(side > FULL_SCALE))
            continue
        # A slow wave lingers at its top: a cut one is also flat, sample for sample.
        found = [run for run in _runs(side >= top * NEAR_TOP) if run[1] - run[0] >= least]
        count += sum(bool(np.ptp(side[start : start + least]) < FLAT_WITHIN) for start, _ in found)
    return count


def _runs(flags: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    edges = np.diff(np.concatenate([[0], flags.astype(np.int8), [0]]))
    return list(zip(np.nonzero(edges == 1)[0].tolist(), np.nonzero(edges == -1)[0].tolist(), strict=True))


def _drops(samples: npt.NDArray[np.floating], rate_hz: int) -> int:
    """How often the level falls within 40 ms by 30 dB or more to below -84 dBFS, or rises so from there."""
    size = rate_hz * FRAME_MS // 1000
    frames = samples[: samples.size // size * size].reshape(-1, size)
    level = 10 * np.log10(np.einsum("ij,ij->i", frames, frames) / size + 1e-12)
    silent = level < SILENT_DBFS
    begins = np.nonzero(silent[1:] & ~silent[:-1])[0] + 1
    ends = np.nonzero(silent[:-1] & ~silent[1:])[0] + 1
    falls = sum(level[max(at - DROP_FRAMES, 0) : at].max() > SILENT_DBFS + DROP_DB for at in begins)
    rises = sum(level[at : at + DROP_FRAMES].max() > SILENT_DBFS + DROP_DB for at in ends)
    return int(falls + rises)
