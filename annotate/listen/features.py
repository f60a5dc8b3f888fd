"""What the ear measures of a recording, frame by frame, before it decides anything.

Conventions: mono float32 samples at 16 kHz, full scale 1.0; one frame every
512 samples (32 ms, the step of the voice detector); levels in dB below full
scale; frequencies in Hz. Sound comes in blocks, so a recording of hours needs
the memory of one block and about 40 bytes per frame.

Periodicity follows P. Boersma, "Accurate short-term analysis of the
fundamental frequency and the harmonics-to-noise ratio of a sampled sound",
IFA Proceedings 17 (1993): the autocorrelation of a windowed frame divided by
that of the window. Voice is the detector that faster-whisper carries.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import cache

import numpy as np
import numpy.typing as npt
from scipy import fft, signal

from annotate.errors import BadInput
from annotate.listen.stored import Whole

Samples = npt.NDArray[np.float32]
Track = npt.NDArray[np.float32]

RATE_HZ = 16_000
HOP = 512  # samples; the voice detector's own step
HOP_MS = 32
LONG = 2048  # samples (128 ms): tells partials 16 Hz apart, long enough for B♭1 (58 Hz)
MARGIN = 4096  # samples of sound before and after a block that its edge frames look at
BLOCK = 60 * RATE_HZ // HOP * HOP  # samples handled at once
# The voice detector remembers what it heard: after a loud crow or a note it takes
# the first second or two of talk for more of the same. So it starts afresh often.
AFRESH_FRAMES = 94  # 3 s
LEAD_FRAMES = 47  # 1.5 s heard before each new start, to settle
FLOOR_DB = -100.0  # where levels stop; digital silence has no logarithm

LOW_BAND_HZ = (100.0, 1000.0)  # hum and handling rumble lie below
MIDDLE_BAND_HZ = (1000.0, 3000.0)
HIGH_BAND_HZ = (3000.0, 7500.0)  # where knife and file hiss
TONE_BAND_HZ = (70.0, 2500.0)  # where fundamentals and the strong partials of reeds lie
MOST_PARTIALS = 16  # looked at below the strongest: Bb1 at 58 Hz with its strongest partial near 900 Hz
FOOT_BAND_HZ = (50.0, 260.0)  # crows have next to nothing here, the bassoon's low notes do
LONGEST_PERIOD = 290  # samples (18 ms): just below B♭1 at 58 Hz, flat
SHORTEST_PERIOD = 12  # samples (0.75 ms): 1330 Hz, above the oboe's range in a bench scale
REPEATING_PERIOD = 64  # samples (4 ms): noise through a resonance has forgotten itself by then
ENVELOPE_STEP = 32  # samples (2 ms)
ENVELOPE_WINDOW = 128  # samples (8 ms Hann): smooths partials away, keeps beats up to 125 Hz
BEAT_SPAN = 128  # envelope values (256 ms) in which beats are counted
SAME_PERIOD = 0.97  # a shorter period counts as the period if its likeness comes this near the best
ROUGH_BAND_HZ = (250.0, 900.0)  # the one or two strongest partials of a crow; higher ones beat out of step
SLOW_BEATS_HZ = (18.0, 52.0)  # no note of a bassoon beats by itself as slowly as this
FAST_BEATS_HZ = (52.0, 125.0)  # neighbouring partials of the bassoon's low notes beat here too


@dataclass(frozen=True)
class Features:
    """One value per frame; every field is float32 of the same length.

    ``level_db`` above 100 Hz and in three bands; ``voice`` 0..1 from the voice
    detector; ``periodicity`` 0..1, the likeness of the sound to itself 4-18 ms
    later; ``pitch_hz``, 0 where nothing repeats; ``foot_db``, the strongest partial
    below 260 Hz against the strongest of all; ``weakest_db``, the weakest partial
    of the pitch, up to the strongest, against that one (0 without a pitch): a note
    has all its partials, while the beat of two higher pitches seems a note without;
    ``slow_beats`` and ``fast_beats``, the depth of beats at 18-52 and 52-125 Hz.
    """

    level_db: Track
    low_db: Track
    middle_db: Track
    high_db: Track
    voice: Track
    periodicity: Track
    pitch_hz: Track
    foot_db: Track
    weakest_db: Track
    slow_beats: Track
    fast_beats: Track

    def __len__(self) -> int:
        return int(self.level_db.size)


def validate(samples: Whole, rate_hz: int) -> None:
    """Raise BadInput unless these are mono samples at 16 kHz."""
    if samples.ndim != 1:
        raise BadInput(f"has {samples.ndim} dimensions", "The sound", "Mix it to one channel first.")
    if rate_hz != RATE_HZ:
        raise BadInput(f"has {rate_hz} samples a second", "The sound", f"Bring it to {RATE_HZ} first.")


def measure(samples: Whole, voice: Track | None = None, block: int = BLOCK) -> Features:
    """Features of a whole recording (float32, mono, 16 kHz), worked through in blocks.

    Parameters
    ----------
    samples
        The recording; what is stored in a file is read block by block.
    voice
        Speech probability per frame, if it is known already; else the voice detector is asked.
    block
        Samples handled at once, a multiple of 512.
    """
    return joined(list(blocks(samples, voice, block)))


def joined(parts: list[Features]) -> Features:
    """The features of consecutive blocks as one."""
    if not parts:
        return Features(*(np.zeros(0, np.float32) for _ in fields(Features)))
    return Features(*(np.concatenate([getattr(part, field.name) for part in parts]) for field in fields(Features)))


def blocks(samples: Whole, voice: Track | None = None, block: int = BLOCK) -> Iterator[Features]:
    """Features of one minute after the other."""
    for start in range(0, samples.size, block):
        stop = min(start + block, samples.size)
        frames = -(-(stop - start) // HOP)
        padded = _cut(samples, start - MARGIN, start + frames * HOP + MARGIN)
        heard = voice[start // HOP : start // HOP + frames] if voice is not None else None
        yield block_features(padded, heard if heard is not None else voice_of(samples, start, frames))


def _cut(samples: Whole, start: int, stop: int) -> Samples:
    """Samples ``[start, stop)`` with zeros where the recording has none."""
    inside = np.asarray(samples[max(start, 0) : min(stop, samples.size)], dtype=np.float32)
    inside = np.nan_to_num(inside, nan=0.0, posinf=1.0, neginf=-1.0)
    return np.pad(inside, (max(-start, 0), max(stop - samples.size, 0)))


def voice_of(samples: Whole, start: int, frames: int) -> Track:
    """Speech probability (0..1) of ``frames`` frames from sample ``start``."""
    from faster_whisper.vad import get_vad_model

    detector = get_vad_model()
    voice = np.empty(frames, dtype=np.float32)
    for first in range(0, frames, AFRESH_FRAMES):
        last = min(first + AFRESH_FRAMES, frames)
        lead = min(LEAD_FRAMES, start // HOP + first)
        heard = detector(_cut(samples, start + (first - lead) * HOP, start + last * HOP))
        voice[first:last] = np.asarray(heard).reshape(-1)[lead:]
    return voice


def block_features(padded: Samples, voice: Track) -> Features:
    """Features of one block that carries ``MARGIN`` samples of context on both sides."""
    frames = voice.size
    short = np.lib.stride_tricks.sliding_window_view(padded[MARGIN:], HOP)[::HOP][:frames]
    lead = MARGIN + HOP // 2 - LONG // 2
    long = np.lib.stride_tricks.sliding_window_view(padded[lead:], LONG)[::HOP][:frames]
    return Features(*_band_levels(short), voice, *_tone(long), *_roughness(padded, frames))


@cache
def _hann(size: int) -> Track:
    return np.hanning(size + 1)[:-1].astype(np.float32)


def _band_levels(frames: npt.NDArray[np.float32]) -> tuple[Track, Track, Track, Track]:
    """Level (dB of full scale) of each frame above 100 Hz, and in the low, middle and high band."""
    window = _hann(HOP)
    power = np.abs(fft.rfft(frames * window, axis=1)) ** 2
    power *= 2 / (HOP * float((window**2).sum()))
    bin_hz = RATE_HZ / HOP
    levels = []
    for low, high in ((LOW_BAND_HZ[0], HIGH_BAND_HZ[1]), LOW_BAND_HZ, MIDDLE_BAND_HZ, HIGH_BAND_HZ):
        share = power[:, round(low / bin_hz) : round(high / bin_hz)].sum(axis=1)
        levels.append((10 * np.log10(share + 10 ** (FLOOR_DB / 10))).astype(np.float32))
    return levels[0], levels[1], levels[2], levels[3]


@cache
def _window_likeness() -> Track:
    """Autocorrelation of the long window over the lags in use, 1 at lag 0."""
    power = np.abs(fft.rfft(_hann(LONG), 2 * LONG)) ** 2
    likeness = fft.irfft(power)[: LONGEST_PERIOD + 2]
    return np.asarray(likeness / likeness[0], dtype=np.float32)


def _tone(frames: npt.NDArray[np.float32]) -> tuple[Track, Track, Track, Track]:
    """Periodicity, pitch (Hz), foot (dB) and weakest partial (dB) of each 128 ms frame."""
    power = np.abs(fft.rfft(frames * _hann(LONG), axis=1)) ** 2 + 1e-12
    bin_hz = RATE_HZ / LONG
    low, high = round(TONE_BAND_HZ[0] / bin_hz), round(TONE_BAND_HZ[1] / bin_hz)
    foot = power[:, round(FOOT_BAND_HZ[0] / bin_hz) : round(FOOT_BAND_HZ[1] / bin_hz)].max(axis=1)
    foot_db = 10 * np.log10(foot / power[:, low:high].max(axis=1))
    kept = np.zeros_like(power)
    kept[:, low - 3 : high] = power[:, low - 3 : high]
    likeness = fft.irfft(kept, axis=1)[:, : LONGEST_PERIOD + 2]
    likeness = likeness / (likeness[:, :1] * _window_likeness())
    periodicity = likeness[:, REPEATING_PERIOD : LONGEST_PERIOD + 1].max(axis=1).clip(0, 1)
    pitch_hz = _first_peak(likeness)
    weakest_db = _weakest(power, low, high, pitch_hz)
    return periodicity.astype(np.float32), pitch_hz, foot_db.astype(np.float32), weakest_db


def _weakest(power: npt.NDArray[np.float32], low: int, high: int, pitch_hz: Track) -> Track:
    """The weakest partial of each pitch from the first up to the strongest one, against that (dB); 0 without one."""
    bin_hz = RATE_HZ / LONG
    found = np.zeros(pitch_hz.size, dtype=np.float32)
    rows = np.nonzero(pitch_hz > 0)[0]
    inside = power[rows, low:high]
    strongest, pitch = inside.max(axis=1), pitch_hz[rows]
    last = np.rint((inside.argmax(axis=1) + low) * bin_hz / pitch).clip(1, MOST_PARTIALS)
    weakest = strongest.copy()
    for partial in range(1, int(last.max(initial=0)) + 1):
        middle = np.rint(partial * pitch / bin_hz).astype(np.intp).clip(1, power.shape[1] - 2)
        around = np.maximum(power[rows, middle], np.maximum(power[rows, middle - 1], power[rows, middle + 1]))
        weakest = np.where(partial <= last, np.minimum(weakest, around), weakest)
    found[rows] = 10 * np.log10(weakest / strongest)
    return found


def _first_peak(likeness: npt.NDArray[np.float32]) -> Track:
    """Pitch (Hz) of the shortest period whose likeness comes within 3 % of the best, by a parabola; else 0."""
    inner = likeness[:, SHORTEST_PERIOD:-1]
    is_peak = (inner >= likeness[:, SHORTEST_PERIOD - 1 : -2]) & (inner > likeness[:, SHORTEST_PERIOD + 1 :])
    best = np.where(is_peak, inner, 0).max(axis=1)
    good = is_peak & (inner >= SAME_PERIOD * best[:, None]) & (best[:, None] > 0.2)
    lag = np.argmax(good, axis=1) + SHORTEST_PERIOD
    rows = np.arange(lag.size)
    before, at, after = likeness[rows, lag - 1], likeness[rows, lag], likeness[rows, lag + 1]
    bend = before - 2 * at + after
    shift = np.where(np.abs(bend) > 1e-9, 0.5 * (before - after) / np.where(np.abs(bend) > 1e-9, bend, 1), 0)
    return np.where(good.any(axis=1), RATE_HZ / (lag + shift.clip(-0.5, 0.5)), 0).astype(np.float32)


@cache
def _rough_filter() -> npt.NDArray[np.float64]:
    made: npt.NDArray[np.float64] = signal.butter(2, ROUGH_BAND_HZ, "bandpass", fs=RATE_HZ, output="sos")
    return made


def _roughness(padded: Samples, frames: int) -> tuple[Track, Track]:
    """Depth of the slow and the fast beats in the 256 ms around each frame (0 none, about 1 full)."""
    window = _hann(ENVELOPE_WINDOW) / float(_hann(ENVELOPE_WINDOW).sum())
    heard = signal.sosfilt(_rough_filter(), padded).astype(np.float32)
    pieces = np.lib.stride_tricks.sliding_window_view(heard**2, ENVELOPE_WINDOW)[::ENVELOPE_STEP]
    envelope = np.sqrt(np.maximum(pieces @ window, 1e-14))
    first = (MARGIN + HOP // 2 - ENVELOPE_WINDOW // 2) // ENVELOPE_STEP - BEAT_SPAN // 2
    step = HOP // ENVELOPE_STEP
    spans = np.lib.stride_tricks.sliding_window_view(envelope[first:], BEAT_SPAN)[::step][:frames]
    shape = _hann(BEAT_SPAN)
    mean = (spans * shape).sum(axis=1) / shape.sum()
    beats = np.abs(fft.rfft((spans - mean[:, None]) * shape, axis=1)) ** 2
    bin_hz = RATE_HZ / ENVELOPE_STEP / BEAT_SPAN
    scale = BEAT_SPAN * float((shape**2).sum())
    depths = []
    for low, high in (SLOW_BEATS_HZ, FAST_BEATS_HZ):
        power = 2 * beats[:, round(low / bin_hz) : round(high / bin_hz)].sum(axis=1) / scale
        depths.append((np.sqrt(2 * power) / mean).clip(0, 2).astype(np.float32))
    return depths[0], depths[1]
