"""Signs that a microphone or an encoder has bent a sound: clipped peaks, and hush cut to nothing.

Numbers from such a sound are shown with this mark beside them. Absence of a
mark is no promise: gentle noise suppression and gain control leave no trace
that can be told from a quiet room.

Conventions: mono samples, full scale 1.0.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FLAT_SAMPLES = 3  # this many neighbours at the very top: a wave has one or two
NEAR_TOP = 0.999  # of the largest value
LEAST_TOP = 0.25  # of full scale: clipping before a later gain may lie below 1
CLIPPED_PER_S = 2.0  # flat tops a second; a loud click may have one
FRAME_MS = 10
SILENT_DBFS = -84.0  # below the noise of any microphone and of 16-bit dither
DROP_DB = 30.0  # from sounding to silent ...
DROP_FRAMES = 4  # ... within 40 ms; rooms take longer to die away
GATED_DROPS = 2  # one may be the end of a file that was put together


@dataclass(frozen=True)
class Marks:
    """``is_clipped``: tops are cut flat. ``is_gated``: hush is cut to nothing. With what they rest on."""

    is_clipped: bool
    is_gated: bool
    flat_tops_per_s: float
    drops_to_silence: int


def find_marks(samples: npt.NDArray[np.floating], rate_hz: int) -> Marks:
    """Look for both signs in one sound (with a second or so of what surrounds it, for the gate)."""
    if samples.size < rate_hz * FRAME_MS // 1000:
        return Marks(False, False, 0.0, 0)
    tops = _flat_tops(np.asarray(samples, dtype=np.float64)) * rate_hz / samples.size
    drops = _drops(samples, rate_hz)
    return Marks(tops > CLIPPED_PER_S, drops >= GATED_DROPS, float(tops), drops)


def _flat_tops(samples: npt.NDArray[np.float64]) -> int:
    """How often three or more neighbours lie at the largest or the smallest value."""
    count = 0
    for side in (samples, -samples):
        top = float(side.max())
        if top < LEAST_TOP:
            continue
        at_top = np.concatenate([[0], (side >= top * NEAR_TOP).astype(np.int8), [0]])
        edges = np.diff(at_top)
        lengths = np.nonzero(edges == -1)[0] - np.nonzero(edges == 1)[0]
        # A slow wave lingers at its top: a cut one is also flat, sample for sample.
        flat = [
            length >= FLAT_SAMPLES and np.ptp(side[start : start + length]) < 1e-4 * top
            for start, length in zip(np.nonzero(edges == 1)[0], lengths, strict=True)
        ]
        count += int(np.sum(flat))
    return count


def _drops(samples: npt.NDArray[np.floating], rate_hz: int) -> int:
    """How often the level falls by 30 dB or more to below -84 dBFS within 40 ms."""
    size = rate_hz * FRAME_MS // 1000
    frames = np.asarray(samples[: samples.size // size * size], dtype=np.float64).reshape(-1, size)
    level = 10 * np.log10((frames**2).mean(axis=1) + 1e-12)
    silent = level < SILENT_DBFS
    begins = np.nonzero(silent[1:] & ~silent[:-1])[0] + 1
    return int(sum(level[max(at - DROP_FRAMES, 0) : at].max() > SILENT_DBFS + DROP_DB for at in begins))
