"""The average spectrum of a sound: its picture, its brightness, its partials.

Conventions: mono samples, full scale 1.0; levels in dB of full scale, where a
full-scale sine reads 0 in its own bin. Welch's method (P. D. Welch, IEEE
Trans. Audio Electroacoust. 15, 1967) with Hann windows overlapping by half.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import fft, ndimage, signal

Floats = npt.NDArray[np.float64]

WINDOW_MS = 93  # tells partials 22 Hz apart (4096 samples at 44.1 kHz)
LOWEST_HZ = 40.0  # below lies the room
HIGHEST_HZ = 10_000.0  # above, phones and codecs differ more than reeds
FLOOR_DB = -120.0
BANDS_PER_OCTAVE = 12  # a semitone each: as fine as a picture shows
PARTIAL_WINDOW_S = 0.37  # tells pitches 11 Hz apart
PARTIAL_WINDOW = "blackman"  # side lobes 58 dB down: those of a Hann window, 31 dB, would pass for partials
MOST_FRAMES = 1300  # of a sound count for its brightness, spread over it: a minute at half a window each
FLOOR_PERCENT = 20.0  # of the bins around: between partials lies only noise, also between those of B♭1
FLOOR_SPAN_HZ = 1000.0  # over which the noise may change
OVER_FLOOR_DB = 10.0  # a peak nearer to the noise may be one of its own: those reach 9 dB above its mean
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
    """Amplitude-weighted mean frequency (Hz) of the partials from 40 Hz to 10 kHz or half the rate; 0 for silence.

    The spectral centroid ``sum(f a) / sum(a)`` of G. Peeters et al., The Timbre
    Toolbox, JASA 130 (2011), over the partials instead of all of the spectrum:
    else the hiss of a room, spread up to the top, counts for more than the
    reed. A partial is a peak of a windowed frame that lies within 36 dB of the
    frame's strongest and 10 dB above the noise between the partials; all
    frames' partials are taken together, so louder moments count for more.
    """
    size = min(round(WINDOW_MS / 1000 * rate_hz), samples.size)
    if size < 16:
        return 0.0
    step = max(size // 2, (samples.size - size) // MOST_FRAMES)
    frames = np.lib.stride_tricks.sliding_window_view(samples, size)[::step]
    padded = fft.next_fast_len(2 * size, real=True)
    power = np.abs(fft.rfft(frames * signal.get_window(PARTIAL_WINDOW, size), padded, axis=1)) ** 2
    hz = fft.rfftfreq(padded, 1 / rate_hz)
    span = max(round(FLOOR_SPAN_HZ / hz[1]), 1)
    floor = ndimage.percentile_filter(power.mean(axis=0), FLOOR_PERCENT, size=span, mode="nearest")
    inner, inner_hz = power[:, 1:-1], hz[1:-1]
    is_partial = (inner >= power[:, :-2]) & (inner > power[:, 2:]) & (inner_hz >= LOWEST_HZ) & (inner_hz <= HIGHEST_HZ)
    strongest = np.where(is_partial, inner, 0).max(axis=1, keepdims=True)
    is_partial &= inner > strongest * 10 ** (-PARTIAL_RANGE_DB / 10)
    is_partial &= inner > floor[1:-1] * 10 ** (OVER_FLOOR_DB / 10)
    frame, at = np.nonzero(is_partial)
    level = np.log(np.stack([power[frame, at], power[frame, at + 1], power[frame, at + 2]]) + 1e-30)
    shift, height = _vertex(*level)
    amplitude = np.exp(height / 2)
    total = float(amplitude.sum())
    return float(((inner_hz[at] + shift * hz[1]) * amplitude).sum() / total) if total > 0 else 0.0


def _vertex(before: Floats, at: Floats, after: Floats) -> tuple[Floats, Floats]:
    """Place (bins from the middle one) and height of the parabola through three levels, for a window's peak."""
    shift = 0.5 * (before - after) / (before - 2 * at + after)
    return shift, at - 0.25 * (before - after) * shift


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
    shift, height = _vertex(level[found - 1], level[found], level[found + 1])
    exact_hz = hz[found] + shift * (hz[1] - hz[0])
    order = np.argsort(-height)[:most]
    return tuple(Peak(float(exact_hz[i]), float(height[i])) for i in order)
