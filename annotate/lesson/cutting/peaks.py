"""Keeps a sound's peaks under a ceiling, without a delay and without a click.

True peak is that of ITU-R BS.1770-4, annex 2: the largest value between the
samples too, found at four times the sample rate. Where it would pass the
ceiling the gain goes down smoothly before and comes back after; elsewhere the
samples stay as they are. Arrays are float32 (samples, 2), full scale 1.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage, signal

from annotate.lesson.cutting.pieces import SOUND_RATE_HZ

Samples = NDArray[np.float32]

OVERSAMPLING = 4
REACH = round(0.005 * SOUND_RATE_HZ)  # samples over which the gain goes down and comes back: 5 ms each
AROUND = 2 * REACH + 64  # samples on both sides that decide about one, with those of the oversampling filter
# What lies between samples is at most about twice as high, and that only in noise made for it.
SURELY_BELOW = 0.5


def between_samples(samples: Samples) -> NDArray[np.float32]:
    """For each sample the largest value of both channels from half a sample before to half a sample after."""
    fine = np.abs(signal.resample_poly(samples, OVERSAMPLING, 1, axis=0)).max(axis=1)
    around = ndimage.maximum_filter1d(fine, OVERSAMPLING + 1, mode="nearest")
    return np.asarray(around[::OVERSAMPLING], np.float32)


def true_peak_db(samples: Samples) -> float:
    """The highest true peak (dBTP); minus infinity for silence."""
    peak = float(between_samples(samples).max(initial=0.0))
    return 20 * math.log10(peak) if peak > 0 else -math.inf


def held_back(blocks: Iterator[Samples], ceiling_db: float) -> Iterator[Samples]:
    """The blocks with no true peak above the ceiling (dBTP); as many samples come out as go in."""
    ceiling = 10 ** (ceiling_db / 20)
    known = np.zeros((AROUND, 2), np.float32)  # what came before the samples that are still to be given
    for block in blocks:
        known = np.concatenate([known, block])
        if len(known) > 2 * AROUND:
            yield _lowered(known, ceiling)
            known = known[-2 * AROUND :]
    last = np.concatenate([known, np.zeros((AROUND, 2), np.float32)])
    if len(last) > 2 * AROUND:
        yield _lowered(last, ceiling)


def _lowered(known: Samples, ceiling: float) -> Samples:
    """The samples of ``known`` that have enough around them, lowered where they have to be."""
    middle = known[AROUND:-AROUND]
    if float(np.abs(known).max(initial=0.0)) < ceiling * SURELY_BELOW:
        return middle.copy()
    peaks = between_samples(known)
    needed = np.minimum(1.0, ceiling / np.maximum(peaks, 1e-9))
    if needed.min() >= 1.0:
        return middle.copy()
    # The lowest gain within reach, then its mean over the same reach: never above what the sample itself needs.
    lowest = ndimage.minimum_filter1d(needed, 2 * REACH + 1, mode="nearest")
    window = signal.windows.hann(2 * REACH + 3)[1:-1]
    smooth = np.convolve(lowest, window / window.sum(), mode="same")
    return np.asarray(middle * smooth[AROUND:-AROUND, None], np.float32)
