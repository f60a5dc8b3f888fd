"""A clap of the hands in the sound: one lone, very sharp, wide-band onset that dies away at once.

Conventions: mono samples, full scale 1.0, float64; times in integer milliseconds
from the first sample; levels in dB. A clap reaches its height within a few
milliseconds, in every band from the low middle to the top, stands far above
everything near it, and is gone in about a tenth of a second. Talk rises slower,
has no such height above itself in all bands, and goes on; scraping comes in rows
of strokes; a fan never stops.

The recognised shape follows the measured claps of B. H. Repp, "The sound of two
hands clapping", JASA 81 (1987): a broad spectrum below about 4 kHz and a few
milliseconds of rise (from memory). The bounds below are our own, set on made sounds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import ndimage, signal

from annotate.errors import BadInput

Floats = npt.NDArray[np.float64]

BANDS_HZ = ((400.0, 1000.0), (1000.0, 2000.0), (2000.0, 4000.0), (4000.0, 7500.0))
LOWEST_RATE_HZ = 16_000  # the highest band needs it
FRAME_MS = 2
RISE_MS = 8  # a clap comes from nothing to its height within this
BEFORE_MS = 250  # what stands before it, for the height of its edge
RISE_DB = 15.0  # least height of the edge, in each band
ABOVE_DB = 9.0  # least height above the loudest thing near it that is no part of it, over all bands
DECAY_MS = (60, 160)  # when it must have died away ...
DECAY_DB = 14.0  # ... by so much
OWN_MS = 350  # the clap with its echo in the room
NEAR_MS = 1500  # how far around it nothing may be nearly as loud
FLOOR = 1e-10  # power below which nothing is heard (-100 dB of full scale)


@dataclass(frozen=True)
class Clap:
    """A clap: ``at_ms`` is its edge, ``above_db`` its height above the loudest thing near it."""

    at_ms: int
    above_db: float


def validate(samples: npt.NDArray[np.floating], rate_hz: int) -> None:
    """Refuse what is not one channel of at least 16 kHz."""
    if samples.ndim != 1:
        raise BadInput(f"The sound has {samples.ndim} dimensions", next_step="Give one channel.")
    if rate_hz < LOWEST_RATE_HZ:
        raise BadInput(f"{rate_hz} Hz is too low a rate to tell a clap", next_step="Give 16,000 Hz or more.")


def find_claps(samples: npt.NDArray[np.floating], rate_hz: int) -> list[Clap]:
    """Every lone clap, in order of time.

    Parameters
    ----------
    samples : float, shape (n,)
        One channel, full scale 1.0.
    rate_hz : int
        Samples a second, 16,000 or more.

    Returns
    -------
    list of Clap
        Empty where nothing is as sharp, wide and lone as a clap.
    """
    validate(samples, rate_hz)
    size = round(rate_hz * FRAME_MS / 1000)
    if samples.size < 2 * size:
        return []
    bands = np.stack([_power(samples, rate_hz, low, high, size) for low, high in BANDS_HZ])
    levels = 10 * np.log10(bands + FLOOR)
    total = 10 * np.log10(bands.sum(axis=0) + FLOOR)
    found = []
    for at in _edges(levels, total):
        above = _above(total, at)
        if above >= ABOVE_DB and _dies_away(total, at):
            found.append(Clap(at * FRAME_MS, round(float(above), 1)))
    return found


def _power(samples: npt.NDArray[np.floating], rate_hz: int, low_hz: float, high_hz: float, size: int) -> Floats:
    """Mean power of a band in frames of ``size`` samples."""
    sections = signal.butter(2, (low_hz, high_hz), "bandpass", fs=rate_hz, output="sos")
    squared = signal.sosfilt(sections, np.asarray(samples, dtype=np.float64)) ** 2
    frames = squared.size // size
    return np.asarray(squared[: frames * size].reshape(frames, size).mean(axis=1))


def _edges(levels: Floats, total: Floats) -> list[int]:
    """Frames at which every band stands ``RISE_DB`` above what came before; of neighbours the first of the highest."""
    rise, before = RISE_MS // FRAME_MS, BEFORE_MS // FRAME_MS
    reached = ndimage.maximum_filter1d(levels, rise, axis=1, origin=-(rise // 2))  # the loudest of the next frames
    # What was usual before: the upper quarter, so that a lull in talk does not make an edge of the next sound.
    usual = ndimage.percentile_filter(levels, 75, (1, before), origin=(0, before // 2 - 1))
    usual = np.concatenate([np.full((levels.shape[0], 1), 10 * np.log10(FLOOR)), usual[:, :-1]], axis=1)
    is_edge = (reached - usual).min(axis=0) >= RISE_DB
    starts, ends = _runs(is_edge)
    return [_sharp(total, int(start), int(end)) for start, end in zip(starts, ends, strict=True)]


def _runs(flags: npt.NDArray[np.bool_]) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp]]:
    padded = np.diff(np.concatenate([[0], flags.astype(np.int8), [0]]))
    return np.nonzero(padded == 1)[0], np.nonzero(padded == -1)[0]


def _sharp(total: Floats, start: int, end: int) -> int:
    """The frame of the steepest rise in a run of edge frames."""
    first, last = max(start - 1, 0), min(end + RISE_MS // FRAME_MS, total.size)
    return first + 1 + int(np.argmax(np.diff(total[first:last]))) if last - first > 1 else start


def _above(total: Floats, at: int) -> float:
    """How far (dB) the clap stands above the loudest thing near it, itself and its echo left out."""
    peak = total[at : at + RISE_MS // FRAME_MS + 1].max()
    near, own = NEAR_MS // FRAME_MS, OWN_MS // FRAME_MS
    around = np.concatenate([total[max(at - near, 0) : max(at - 2, 0)], total[at + own : at + near]])
    return float(peak - around.max()) if around.size else 0.0


def _dies_away(total: Floats, at: int) -> bool:
    """Whether it has fallen by ``DECAY_DB`` soon after."""
    peak = total[at : at + RISE_MS // FRAME_MS + 1].max()
    after = total[at + DECAY_MS[0] // FRAME_MS : at + DECAY_MS[1] // FRAME_MS]
    return bool(after.size) and float(peak - np.median(after)) >= DECAY_DB
