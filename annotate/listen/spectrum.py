"""The average spectrum of a sound: its picture, its brightness, its partials.

Conventions: mono samples, full scale 1.0; levels in dB of full scale, where a
full-scale sine reads 0 in its own bin. Welch's method (P. D. Welch, IEEE
Trans. Audio Electroacoust. 15, 1967) with Hann windows overlapping by half.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import signal

Floats = npt.NDArray[np.float64]

WINDOW_MS = 93  # tells partials 22 Hz apart (4096 samples at 44.1 kHz)
LOWEST_HZ = 40.0  # below lies the room
HIGHEST_HZ = 10_000.0  # above, phones and codecs differ more than reeds
FLOOR_DB = -120.0
BANDS_PER_OCTAVE = 12  # a semitone each: as fine as a picture shows
PARTIAL_WINDOW_S = 0.37  # tells pitches 11 Hz apart
PARTIAL_RANGE_DB = 36.0  # partials further below the strongest are not named


@dataclass(frozen=True)
class Spectrum:
    """``hz`` and ``level_db``, float64 of the same length, rising in frequency."""

    hz: Floats
    level_db: Floats


@dataclass(frozen=True)
class Peak:
    """One partial: ``hz`` and ``level_db`` of full scale (of a sine)."""

    hz: float
    level_db: float


def _welch(samples: npt.NDArray[np.floating], rate_hz: int, seconds: float) -> tuple[Floats, Floats]:
    """Frequencies (Hz) and mean power per bin, scaled so that a sine of amplitude 1 reads 1."""
    size = min(samples.size, round(seconds * rate_hz))
    hz, power = signal.welch(
        np.asarray(samples, dtype=np.float64), rate_hz, "hann", size, size // 2, detrend="constant", scaling="spectrum"
    )
    return np.asarray(hz), np.asarray(2 * power)


def average(samples: npt.NDArray[np.floating], rate_hz: int) -> Spectrum:
    """The average spectrum in semitone bands from 40 Hz to 10 kHz (or half the rate), for a picture.

    Each band's level is that of the strongest bin in it, so that partials keep their height.
    """
    if samples.size < 16:
        return Spectrum(np.zeros(0), np.zeros(0))
    hz, power = _welch(samples, rate_hz, WINDOW_MS / 1000)
    top = min(HIGHEST_HZ, rate_hz / 2)
    count = int(np.log2(top / LOWEST_HZ) * BANDS_PER_OCTAVE)
    edges = LOWEST_HZ * 2 ** (np.arange(count + 1) / BANDS_PER_OCTAVE)
    level = np.full(count, FLOOR_DB)
    for band in range(count):
        inside = (hz >= edges[band]) & (hz < edges[band + 1])
        held = power[inside].max() if inside.any() else np.interp(np.sqrt(edges[band] * edges[band + 1]), hz, power)
        level[band] = max(10 * np.log10(held + 1e-12), FLOOR_DB)
    return Spectrum(np.sqrt(edges[:-1] * edges[1:]), level)


def centroid_hz(samples: npt.NDArray[np.floating], rate_hz: int) -> float:
    """Amplitude-weighted mean frequency (Hz) from 40 Hz to 10 kHz; 0 for silence.

    ``sum(f a(f)) / sum(a(f))`` over the average amplitude spectrum (the timbre
    descriptor of G. Peeters et al., JASA 130, 2011).
    """
    if samples.size < 16:
        return 0.0
    hz, power = _welch(samples, rate_hz, WINDOW_MS / 1000)
    inside = (hz >= LOWEST_HZ) & (hz <= HIGHEST_HZ)
    amplitude = np.sqrt(power[inside])
    total = float(amplitude.sum())
    return float((hz[inside] * amplitude).sum() / total) if total > 0 else 0.0


def peaks(
    samples: npt.NDArray[np.floating], rate_hz: int, most: int = 8, low_hz: float = 100.0, high_hz: float = 5000.0
) -> tuple[Peak, ...]:
    """The strongest partials, strongest first, each read off a parabola through the logarithm of its bins.

    (J. O. Smith and X. Serra, PARSHL, ICMC 1987.)
    """
    if samples.size < rate_hz // 20:
        return ()
    hz, power = _welch(samples, rate_hz, PARTIAL_WINDOW_S)
    level = 10 * np.log10(power + 1e-15)
    inside = np.nonzero((hz >= low_hz) & (hz <= high_hz))[0]
    inside = inside[(inside > 0) & (inside < hz.size - 1)]
    is_peak = (level[inside] >= level[inside - 1]) & (level[inside] > level[inside + 1])
    found = inside[is_peak]
    if not found.size:
        return ()
    found = found[level[found] > level[found].max() - PARTIAL_RANGE_DB]
    before, at, after = level[found - 1], level[found], level[found + 1]
    shift = 0.5 * (before - after) / (before - 2 * at + after)
    exact_hz = hz[found] + shift * (hz[1] - hz[0])
    height = at - 0.25 * (before - after) * shift
    order = np.argsort(-height)[:most]
    return tuple(Peak(float(exact_hz[i]), float(height[i])) for i in order)
