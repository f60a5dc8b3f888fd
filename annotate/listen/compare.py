"""Two sounds of a reed side by side: made equally loud, and their differences in numbers.

Loudness is that of ITU-R BS.1770-4 for one channel: K-weighting (a shelf and
a high-pass as biquads), mean square in blocks of 400 ms overlapping by three
quarters, blocks below -70 LUFS and 10 LU under the mean left out. Only
turning down is proposed, so nothing clips.

Conventions: mono samples, full scale 1.0.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import signal

from annotate.listen import spectrum
from annotate.listen.crow import Crow
from annotate.listen.notes import Note
from annotate.measure import tuning

BLOCK_S = 0.4
OVERLAP = 0.75
ABSOLUTE_GATE_LUFS = -70.0
RELATIVE_GATE_LU = -10.0
OFFSET_LUFS = -0.691  # BS.1770: makes a 997 Hz full-scale sine read -3.01
# The two filters of BS.1770 as analogue prototypes, so that they fit any sample rate
# (at 48 kHz they give the coefficients printed in the recommendation).
SHELF_HZ, SHELF_DB, SHELF_Q = 1681.974450955533, 3.999843853973347, 0.7071752369554196
PASS_HZ, PASS_Q = 38.13547087602444, 0.5003270373238773


@dataclass(frozen=True)
class Matched:
    """Loudness of two sounds (LUFS), and the gain (dB, never above 0) at which each is as loud as the softer."""

    first_lufs: float
    second_lufs: float
    first_gain_db: float
    second_gain_db: float


@dataclass(frozen=True)
class Difference:
    """Second less first. ``what`` was compared, in ``unit``; ``first`` and ``second`` are the values themselves."""

    what: str
    unit: str
    first: float
    second: float

    @property
    def change(self) -> float:
        return self.second - self.first


def _k_filters(rate_hz: int) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Second-order sections of the shelf and the high-pass of BS.1770 at a sample rate."""
    k = np.tan(np.pi * SHELF_HZ / rate_hz)
    high, middle = 10 ** (SHELF_DB / 20), 10 ** (SHELF_DB / 20 * 0.4996667741545416)
    under = 1 + k / SHELF_Q + k * k
    shelf = np.array([
        (high + middle * k / SHELF_Q + k * k) / under,
        2 * (k * k - high) / under,
        (high - middle * k / SHELF_Q + k * k) / under,
        1.0,
        2 * (k * k - 1) / under,
        (1 - k / SHELF_Q + k * k) / under,
    ])  # fmt: skip
    k = np.tan(np.pi * PASS_HZ / rate_hz)
    under = 1 + k / PASS_Q + k * k
    high_pass = np.array([1.0, -2.0, 1.0, 1.0, 2 * (k * k - 1) / under, (1 - k / PASS_Q + k * k) / under])
    return shelf, high_pass


def loudness_lufs(samples: npt.NDArray[np.floating], rate_hz: int) -> float:
    """Integrated loudness (LUFS) of one channel; -70 for silence; a sound under 400 ms is one block."""
    if samples.size < 2:
        return ABSOLUTE_GATE_LUFS
    weighted = signal.sosfilt(np.stack(_k_filters(rate_hz)), np.asarray(samples, dtype=np.float64))
    size = min(round(BLOCK_S * rate_hz), weighted.size)
    step = max(round(size * (1 - OVERLAP)), 1)
    blocks = np.lib.stride_tricks.sliding_window_view(weighted, size)[::step]
    power = (blocks**2).mean(axis=1)
    level = OFFSET_LUFS + 10 * np.log10(power + 1e-15)
    power = power[level > ABSOLUTE_GATE_LUFS]
    if not power.size:
        return ABSOLUTE_GATE_LUFS
    gate = OFFSET_LUFS + 10 * np.log10(power.mean()) + RELATIVE_GATE_LU
    kept = power[OFFSET_LUFS + 10 * np.log10(power) > gate]
    return float(OFFSET_LUFS + 10 * np.log10(kept.mean()))


def match(
    first: npt.NDArray[np.floating], second: npt.NDArray[np.floating], first_rate_hz: int, second_rate_hz: int
) -> Matched:
    """Gains at which two sounds are equally loud."""
    one, two = loudness_lufs(first, first_rate_hz), loudness_lufs(second, second_rate_hz)
    softer = min(one, two)
    return Matched(one, two, softer - one, softer - two)


def notes_differ(first: Note, second: Note) -> tuple[Difference, ...]:
    """Two notes in numbers; their attacks only where both have one."""
    attacks = (first.attack_ms, second.attack_ms)
    attack = () if None in attacks else (Difference("attack", "ms", attacks[0] or 0.0, attacks[1] or 0.0),)
    return (
        Difference("pitch", "cents", 0.0, tuning.cents_between(second.hz, first.hz)),
        Difference("steadiness", "cents", first.steadiness_cents, second.steadiness_cents),
        Difference("sag", "cents", first.sag_cents, second.sag_cents),
        *attack,
        Difference("level", "dBFS", first.level_dbfs, second.level_dbfs),
        Difference("brightness", "Hz", first.brightness_hz, second.brightness_hz),
        Difference("brightness", "partials", first.brightness_harmonic, second.brightness_harmonic),
        Difference("harmonics to noise", "dB", first.hnr_db, second.hnr_db),
    )


def crows_differ(first: Crow, second: Crow) -> tuple[Difference, ...]:
    """Two crows in numbers; their roughness only where both were long enough for it."""
    depths, rates = (first.roughness_depth, second.roughness_depth), (first.roughness_rate_hz, second.roughness_rate_hz)
    rough = (
        ()
        if None in depths or None in rates
        else (
            Difference("roughness depth", "%", 100 * (depths[0] or 0.0), 100 * (depths[1] or 0.0)),
            Difference("roughness rate", "Hz", rates[0] or 0.0, rates[1] or 0.0),
        )
    )
    return (
        Difference("lowest pitch", "cents", 0.0, tuning.cents_between(second.lowest.hz, first.lowest.hz)),
        Difference("strongest partial", "Hz", first.partials[0].hz, second.partials[0].hz),
        *rough,
        Difference("level", "dBFS", first.level_dbfs, second.level_dbfs),
        Difference("brightness", "Hz", first.brightness_hz, second.brightness_hz),
    )


@dataclass(frozen=True)
class Picture:
    """Average spectra of two sounds at matched loudness, on the same frequencies (float64 arrays)."""

    hz: npt.NDArray[np.float64]
    first_db: npt.NDArray[np.float64]
    second_db: npt.NDArray[np.float64]


def picture(
    first: npt.NDArray[np.floating], second: npt.NDArray[np.floating], first_rate_hz: int, second_rate_hz: int
) -> Picture:
    """Both average spectra, turned down as ``match`` says, up to the lower of the two half rates."""
    gains = match(first, second, first_rate_hz, second_rate_hz)
    one, two = spectrum.average(first, first_rate_hz), spectrum.average(second, second_rate_hz)
    count = min(one.hz.size, two.hz.size)
    return Picture(
        one.hz[:count], one.level_db[:count] + gains.first_gain_db, two.level_db[:count] + gains.second_gain_db
    )
