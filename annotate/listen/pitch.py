"""The pitch of a sound from moment to moment, to a cent or two.

Method: P. Boersma, "Accurate short-term analysis of the fundamental frequency
and the harmonics-to-noise ratio of a sampled sound", IFA Proceedings 17
(1993): autocorrelation of a windowed frame divided by that of the window, a
few candidates per frame, and the cheapest path through them. Own code, since
the well-kept libraries' trackers run at a few times real time or bring a
compiler along.

Conventions: mono float samples, full scale 1.0, at 8 kHz or more; one frame
every 10 ms; times are the frames' middles in ms from the first sample.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import soxr
from scipy import fft

from annotate.errors import BadInput

Floats = npt.NDArray[np.float64]

HOP_MS = 10
LOWEST_HZ = 52.0  # B♭1 is 58.3 Hz at A4 = 440; 54 at A4 = 410, a little flat
HIGHEST_HZ = 1400.0  # F6, the top of the oboe's common range
WINDOW_PERIODS = 4.0  # of the lowest pitch (77 ms): three and a half are enough for the Hann window
WORK_RATE_HZ = 16_000  # faster samples are brought down to this: pitch needs no more
BAND_HZ = 3500.0  # partials above this are left out: they add noise, and peaks too sharp for a parabola
BLOCK_FRAMES = 2000  # 20 s at a time keep memory bounded
FINER = 2  # times finer lags than samples, by padding the spectrum: a parabola does the rest
CANDIDATES = 6
OCTAVE_COST = 0.015  # likeness given up per octave for a higher pitch: every period's double is a period too
JUMP_COST = 0.02  # likeness per octave of jump between frames
UNDERTONE_FRAMES = 17  # 0.17 s: in an attack or a change of note a multiple of the period may repeat better
MIXED_FRAMES = 9  # 0.09 s, about the window: as long as two notes can sound in one frame
UNDERTONE_CENTS = 60.0  # how near an undertone (a half, third ... sixth of the next pitch) must be
UNDERTONE_LIKENESS = 0.15  # how much less the true period may repeat, in an attack
BREAK_CENTS = 300.0  # a jump between frames beyond this is not a glide
HNR_STEP_CENTS = 1.0  # around the period followed, in looking for the top of the autocorrelation: it errs by less
LEAST_R, MOST_R = 1e-4, 0.9999  # -40 and 40 dB: further off lie only the errors of the computing
SILENT = 1e-5  # peak of a frame below which (-100 dBFS) nothing is looked for
LEAST_PEAK = 0.3  # of likeness, to be a candidate at all: well under LEAST_LIKENESS, for the path may need it
VOICING_COST = 0.1  # likeness given up in going from pitch to none or back: a single frame is rarely a note
NEAR_CENTS = 100.0  # a candidate this near a pitch is that pitch, gliding or with vibrato
LEAST_LIKENESS = 0.45  # a frame that repeats itself less has no pitch (the 1993 paper's voicing threshold)
LOWEST_RATE_HZ = 8000


@dataclass(frozen=True)
class PitchTrack:
    """Pitch per frame.

    ``time_ms`` float64, middles of the frames; ``hz`` float64, 0 where there is
    no pitch; ``likeness`` float64 0..1, the normalised autocorrelation at the
    period (0 without a pitch).
    """

    time_ms: Floats
    hz: Floats
    likeness: Floats


def validate(samples: npt.NDArray[np.floating], rate_hz: int) -> None:
    """Raise BadInput unless these are mono samples at 8 kHz or more."""
    if samples.ndim != 1:
        raise BadInput(f"has {samples.ndim} dimensions", "The sound", "Mix it to one channel first.")
    if rate_hz < LOWEST_RATE_HZ:
        raise BadInput(f"has only {rate_hz} samples a second", "The sound", f"Give {LOWEST_RATE_HZ} or more.")


def finite(samples: npt.NDArray[np.floating]) -> npt.NDArray[np.floating]:
    """The samples with silence where one is no number: a single such would spoil every sum it is in."""
    return samples if np.isfinite(samples).all() else np.nan_to_num(samples, nan=0.0, posinf=0.0, neginf=0.0)


def track(
    samples: npt.NDArray[np.floating],
    rate_hz: int,
    low_hz: float = LOWEST_HZ,
    high_hz: float = HIGHEST_HZ,
    progress: Callable[[float], None] = lambda done: None,
) -> PitchTrack:
    """Follow the pitch through a sound.

    Parameters
    ----------
    samples
        Mono, full scale 1.0.
    low_hz, high_hz
        Where pitches are looked for.
    progress
        Hears how far it is (0..1); what it raises ends the work.

    Returns
    -------
    PitchTrack
        One frame every 10 ms, from half a window after the start to half a window before the end.
    """
    validate(samples, rate_hz)
    samples = finite(samples)
    if rate_hz > WORK_RATE_HZ:
        samples, rate_hz = soxr.resample(samples, rate_hz, WORK_RATE_HZ), WORK_RATE_HZ
    size = round(WINDOW_PERIODS / low_hz * rate_hz)
    hop = round(rate_hz * HOP_MS / 1000)
    if samples.size < size:
        return PitchTrack(np.zeros(0), np.zeros(0), np.zeros(0))
    frames = np.lib.stride_tricks.sliding_window_view(samples, size)[::hop]
    # Filled block by block: joined afterwards they would be held twice, and a drone may last for hours.
    hz, strength = np.zeros((len(frames), CANDIDATES)), np.zeros((len(frames), CANDIDATES))
    for first in range(0, len(frames), BLOCK_FRAMES):
        progress(first / len(frames))
        own = slice(first, first + BLOCK_FRAMES)
        hz[own], strength[own] = _candidates(frames[own], rate_hz, low_hz, high_hz)
    chosen = _without_undertones(hz, strength, _cheapest(hz, strength))
    rows = np.arange(len(hz))
    time_ms = (rows * hop + size / 2) * 1000 / rate_hz
    return PitchTrack(time_ms, hz[rows, chosen], strength[rows, chosen])


def hnr_db(samples: npt.NDArray[np.floating], rate_hz: int, followed: PitchTrack, rows: npt.NDArray[np.intp]) -> Floats:
    """Harmonics-to-noise ratio (dB) of some frames of a track, over all of the band up to half the rate.

    ``10 log10(r / (1 - r))`` of Boersma's paper, where ``r`` is the normalised
    autocorrelation at the period that was followed; at most 40. The track itself
    reads a narrower band; what lies above it counts here, so the autocorrelation
    is summed from the whole power spectrum, at the period to a fraction of a sample.

    Parameters
    ----------
    followed
        What :func:`track` found in these samples.
    rows
        Indices of the frames; nan where one has no pitch.
    """
    size = round(WINDOW_PERIODS / LOWEST_HZ * rate_hz)
    found = np.full(rows.size, np.nan)
    if samples.size < size:
        return found
    begins = np.clip(np.round(followed.time_ms * rate_hz / 1000 - size / 2).astype(np.intp), 0, samples.size - size)
    frames = np.lib.stride_tricks.sliding_window_view(samples, size)
    window = np.hanning(size + 2)[1:-1]
    padded = fft.next_fast_len(size + int(rate_hz / LOWEST_HZ) + 2, real=True)
    # Every frequency but zero (and the highest) stands for its negative twin too.
    twice = np.full(padded // 2 + 1, 2.0)
    twice[0] = 1.0
    if padded % 2 == 0:
        twice[-1] = 1.0
    own = twice * np.abs(fft.rfft(window, padded)) ** 2
    steps = 2 ** (np.array([-HNR_STEP_CENTS, 0.0, HNR_STEP_CENTS]) / 1200)
    for at in np.nonzero(followed.hz[rows] > 0)[0]:
        centred = frames[begins[rows[at]]].astype(np.float64)
        power = twice * np.abs(fft.rfft((centred - centred.mean()) * window, padded)) ** 2
        turns = np.outer(rate_hz / followed.hz[rows[at]] * steps / padded, np.arange(power.size))
        waves = np.cos(2 * np.pi * turns)
        r = (waves @ power / power.sum()) / (waves @ own / own.sum())
        bend = r[0] - 2 * r[1] + r[2]
        # The top of a parabola through the three, if it has one near by.
        shift = float(np.clip(0.5 * (r[0] - r[2]) / bend, -2, 2)) if bend < 0 else 0.0
        found[at] = np.clip(r[1] - 0.25 * (r[0] - r[2]) * shift, LEAST_R, MOST_R)
    return np.asarray(10 * np.log10(found / (1 - found)))


def _likeness(frames: npt.NDArray[np.floating], rate_hz: int, longest: int) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """Normalised autocorrelation at lags finer than samples, and which frames are silent."""
    size = frames.shape[1]
    window = np.hanning(size + 2)[1:-1]
    centred = (frames - frames.mean(axis=1, keepdims=True)) * window
    silent = np.abs(centred).max(axis=1) < SILENT
    padded = 2 * (fft.next_fast_len(size + longest, real=True) // 2)
    kept = int(BAND_HZ / rate_hz * padded)
    power = np.abs(fft.rfft(centred, padded, axis=1)[:, :kept]) ** 2
    found = fft.irfft(power, padded * FINER, axis=1)[:, : longest * FINER + 2]
    own = fft.irfft(np.abs(fft.rfft(window, padded)) ** 2, padded * FINER)[: longest * FINER + 2]
    scale = np.where(silent, 1, found[:, 0])
    return np.asarray(found / scale[:, None] / (own / own[0])), silent


def _candidates(frames: npt.NDArray[np.floating], rate_hz: int, low_hz: float, high_hz: float) -> tuple[Floats, Floats]:
    """Pitches (Hz, 0 for none) and likeness of the best candidates of each frame; column 0 is "no pitch"."""
    longest, shortest = int(rate_hz / low_hz) + 2, int(rate_hz / high_hz)
    likeness, silent = _likeness(frames, rate_hz, longest)
    inner = likeness[:, shortest * FINER : longest * FINER]
    left = likeness[:, shortest * FINER - 1 : longest * FINER - 1]
    right = likeness[:, shortest * FINER + 1 : longest * FINER + 1]
    bend = left - 2 * inner + right
    is_peak = (inner >= left) & (inner > right) & (inner > LEAST_PEAK) & ~silent[:, None]
    safe = np.where(np.abs(bend) > 1e-12, bend, -1)
    shift = np.where(is_peak, 0.5 * (left - right) / safe, 0)
    height = np.where(is_peak, inner - 0.25 * (left - right) * shift, 0)
    lag = (np.arange(shortest * FINER, longest * FINER) + shift) / FINER
    # The shorter of two equal periods is the period.
    worth = np.where(is_peak, height - OCTAVE_COST * np.log2(lag * low_hz / rate_hz + 1e-9), -1)
    best = np.argpartition(-worth, CANDIDATES - 1, axis=1)[:, : CANDIDATES - 1]
    hz = np.zeros((len(frames), CANDIDATES))
    strength = np.zeros((len(frames), CANDIDATES))
    found = np.take_along_axis(worth, best, axis=1) > -0.5
    hz[:, 1:] = np.where(found, rate_hz / np.take_along_axis(lag, best, axis=1), 0)
    strength[:, 1:] = np.where(found, np.take_along_axis(height, best, axis=1).clip(0, 1), 0)
    return hz, strength


def _cheapest(hz: Floats, strength: Floats) -> npt.NDArray[np.intp]:
    """The candidate of each frame on the path with the highest likeness and the smallest jumps (Viterbi)."""
    octaves = np.log2(np.maximum(hz, 1))
    # In place: an hour of one tone has 360 000 frames.
    worth = np.maximum(hz, 1) / LOWEST_HZ
    np.log2(worth, out=worth)
    worth *= OCTAVE_COST
    worth += strength
    worth[hz <= 0] = -1.0
    worth[:, 0] = LEAST_LIKENESS
    came_from = np.zeros(hz.shape, dtype=np.int8)
    total = worth[0].copy() if len(hz) else np.zeros(CANDIDATES)
    everyone = np.arange(CANDIDATES)
    for frame in range(1, len(hz)):
        jump = np.abs(octaves[frame - 1][:, None] - octaves[frame][None, :])
        none = (hz[frame - 1] == 0)[:, None] | (hz[frame] == 0)[None, :]
        ways = total[:, None] - np.where(none, VOICING_COST, JUMP_COST * jump)
        came_from[frame] = ways.argmax(axis=0)
        total = ways[came_from[frame], everyone] + worth[frame]
    chosen = np.zeros(len(hz), dtype=np.intp)
    if len(hz):
        chosen[-1] = int(total.argmax())
    for frame in range(len(hz) - 1, 0, -1):
        chosen[frame - 1] = came_from[frame, chosen[frame]]
    return chosen


def _without_undertones(hz: Floats, strength: Floats, chosen: npt.NDArray[np.intp]) -> npt.NDArray[np.intp]:
    """Short stretches on an undertone of the pitch beside them get that pitch, or none."""
    chosen = chosen.copy()
    rows = np.arange(len(chosen))
    octaves = np.log2(np.maximum(hz[rows, chosen], 1))
    edges = np.nonzero(np.abs(np.diff(octaves)) * 1200 > BREAK_CENTS)[0] + 1
    runs = np.split(rows, edges)
    middles = [float(np.median(hz[run, chosen[run]])) if run.size else 0.0 for run in runs]
    for number, run in enumerate(runs):
        if not 0 < run.size <= UNDERTONE_FRAMES or middles[number] == 0:
            continue
        for beside in (number + 1, number - 1):
            if 0 <= beside < len(runs) and _is_undertone(middles[number], middles[beside]):
                near = _nearest(hz[run], middles[beside])
                lost = strength[run, chosen[run]] - strength[run, near]
                if run.size <= MIXED_FRAMES or np.median(lost) < UNDERTONE_LIKENESS:
                    chosen[run] = near
                    middles[number] = middles[beside]
                    break
    return chosen


def _is_undertone(hz: float, of_hz: float) -> bool:
    ratio = of_hz / hz
    whole = round(ratio)
    return 2 <= whole <= 6 and abs(1200 * np.log2(ratio / whole)) < UNDERTONE_CENTS


def _nearest(hz: Floats, wanted_hz: float) -> npt.NDArray[np.intp]:
    """The candidate of each frame within a semitone of a pitch; 0, "no pitch", if there is none."""
    off = np.abs(1200 * np.log2(np.maximum(hz, 1) / wanted_hz))
    best = off.argmin(axis=1)
    return np.where(off[np.arange(len(hz)), best] < NEAR_CENTS, best, 0)
