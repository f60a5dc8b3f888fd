"""What speaks for which kind of sound, frame by frame: five statements, each from a measure of ``features``.

Each statement lies between -1 (no) and +1 (yes) and is ``tanh((measure -
middle) / width)``; the constants give middle and width in the unit of the
measure, with what was found on invented recordings (tests/bench/makers).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from annotate.listen.background import STEADY_DB, above_background, bands, unrest
from annotate.listen.features import Features, Track

Frames = npt.NDArray[np.intp]

# Evidence: (middle, width) of the tanh, in the unit of the measure.
VOICE = (0.20, 0.10)  # mean speech probability over 0.3 s; 95 % of other sounds than notes lie below 0.04
VOICE_FRAMES = 9
HELD_NOTE_VOICE = 0.65  # added to the middle for notes, which the detector takes for vowels one time in 10
# Notes and not vowels: the sum of three measures over 1.5 s times these weights is the logarithm of the odds. From a
# logistic regression where the detector hears speech, on six makers for the seventh in turn: 96-98 % of talk and
# 83-100 % of notes named right. Each alone fails: vibrato moves, one tired voice stays, quick notes glide.
STAYING_WEIGHT = 4.2  # times the share of tone that stays on its pitch: 0.6-1 of even notes, 0-0.4 of talk
SCALE_WEIGHT = 12.2  # times how well the pitches lie on one scale of semitones (0..1): 0.4-0.9 of notes, 0.2 of talk
TILT_WEIGHT = -0.4  # times the deviation (dB) of high against low: 10 of talk with its hissing sounds, 3-6 of notes
MOST_TILT_DB = 15.0  # more says no more
NOTES_START = -3.7  # what there is before anything is measured; half a point of doubt against notes
HELD_CENTS = 12.0  # a note moves less than this from frame to frame
SEMITONE_CENTS = 100.0
HELD_PERIODICITY = (0.6, 0.8)  # from where on a frame counts as tone, and as clear enough to stay
HELD_SPAN_FRAMES = 47  # 1.5 s
HELD_LEAST_TONE = 0.2  # of that time; less says nothing
LOUD = (8.0, 4.0)  # dB above the background; a background alone stays within 3 dB
TONE = (0.40, 0.06)  # middle periodicity of 0.2 s; noise stays below 0.3, notes lie above 0.9, crows from 0.35 ...
TONE_FRAMES = 7
CONSTANCY = 0.12  # ... and this is added if the pitch stays within a whole tone, which that of noise does not ...
CONSTANT_BELOW_HZ = 800.0  # ... below this; a narrow hiss can seem to have a pitch above ...
HIGH_DOUBT = 0.20  # ... so there this is taken off: strokes reach 0.5, notes lie above 0.9, crows are lower down
HUM_DB = 4.0  # below this above the background, what hums is the background
# Knife and file hiss above 3 kHz; steps, a chair, a car, water in a cup are heard lower down. So much more (dB above
# the background) must the low, the middle and the high band have to count as strokes.
HISS_DB = (12.0, 6.0, 0.0)  # in the middle less: rain hides the hiss of quiet strokes before that
CLICK_FRAMES = 3  # a tenth of a second: what is over sooner is a click, a tick or a drop; strokes last longer
STROKE_FRAMES = 25  # 0.8 s: noise that comes back within this is one bout of strokes
STEADY_SHARE = 0.15  # what loudness counts for even noise just above the background ...
STEADY_FULL_DB = 25.0  # ... growing to the full weight this far above it: no gain control goes there
ONSET_DB = 6.0  # step of the level within a tenth of a second that makes an onset


@dataclass(frozen=True)
class Evidence:
    """Per frame: what speaks for what, each -1..1; ``onset`` 0..1; ``tonal`` marks frames with a pitch.

    ``clear_db`` is the harmonicity: periodic over other power, less what the background adds to the latter.
    """

    speech: Track
    loud: Track
    stroke: Track
    tone: Track
    onset: Track
    tonal: npt.NDArray[np.bool_]
    clear_db: Track


def weigh(measured: Features) -> Evidence:
    """The statements about each frame."""
    excess_bands = above_background(measured)
    excess = np.asarray(excess_bands.max(axis=0), dtype=np.float32)
    held = _like_notes(measured, excess)
    voice = ndimage.uniform_filter1d(measured.voice, VOICE_FRAMES, mode="nearest")
    speech = np.tanh((voice - VOICE[0] - HELD_NOTE_VOICE * held) / VOICE[1])
    tone = _soft(_tonality(measured, excess), TONE)
    tonal = tone > 0
    hiss = np.max(excess_bands - np.array(HISS_DB)[:, None], axis=0)
    stroke = _stroke(np.where(tonal | (speech > 0), 0, hiss), unrest(measured))
    clear_db = _harmonicity_db(measured, excess_bands[0])
    return Evidence(speech, _soft(excess, LOUD), stroke, tone, _onset(measured), tonal, clear_db)


def _soft(values: Track, scale: tuple[float, float]) -> Track:
    return np.asarray(np.tanh((values - scale[0]) / scale[1]), dtype=np.float32)


def _stroke(noise_db: Track, unrest: Track) -> Track:
    """-1..1: whether noise above the background goes on here, the gaps between strokes filled.

    Even noise just above the background counts little: it may be the
    background itself, turned up by a phone.
    """
    lasting = ndimage.grey_opening(noise_db, CLICK_FRAMES, mode="nearest")
    filled = ndimage.grey_closing(lasting, STROKE_FRAMES, mode="nearest")
    stroke = _soft(filled, LOUD)
    share = np.clip((filled - LOUD[0]) / (STEADY_FULL_DB - LOUD[0]), STEADY_SHARE, 1)
    is_even = ndimage.maximum_filter1d(unrest, STROKE_FRAMES // 2, mode="nearest") < STEADY_DB
    return np.asarray(np.where(is_even & (stroke > 0), stroke * share, stroke), dtype=np.float32)


def _onset(measured: Features) -> Track:
    """0..1: how much louder the next tenth of a second is than the last, in the band where it rises most."""
    rise = []
    for band in bands(measured):
        mean = ndimage.uniform_filter1d(band, 3, mode="nearest")
        padded = np.pad(mean, 2, mode="edge")
        rise.append(padded[4:] - padded[:-4])
    strongest = ndimage.maximum_filter1d(np.max(rise, axis=0), 5, mode="nearest")
    return np.asarray(np.clip(strongest / ONSET_DB, 0, 1), dtype=np.float32)


def _tonality(measured: Features, excess_db: Track) -> Track:
    """Periodicity of what stands out of the background (a fan may hum); more if the pitch stays, less if it is high."""
    heard = np.where(excess_db > HUM_DB, measured.periodicity, 0)
    middle = ndimage.median_filter(heard, TONE_FRAMES, mode="nearest")
    cents = _cents(measured)
    usual = ndimage.median_filter(np.nan_to_num(cents), TONE_FRAMES, mode="nearest")
    near = np.abs(np.nan_to_num(cents) - usual) < 200
    is_high = usual >= 1200 * np.log2(CONSTANT_BELOW_HZ)
    near &= (usual > 0) & ~is_high
    constant = ndimage.uniform_filter1d(near.astype(np.float32), TONE_FRAMES, mode="nearest")
    return np.asarray(middle + CONSTANCY * (constant > 0.8) - HIGH_DOUBT * is_high, dtype=np.float32)


def _cents(measured: Features) -> Track:
    """Pitch in cents above 1 Hz; nan where there is none."""
    return np.asarray(1200 * np.log2(np.where(measured.pitch_hz > 0, measured.pitch_hz, np.nan)), dtype=np.float32)


def _like_notes(measured: Features, excess_db: Track) -> Track:
    """0..1: whether the tones of the moment are notes: they stay, lie on a scale, and keep their colour."""
    cents = _cents(measured)
    is_tone = measured.periodicity > HELD_PERIODICITY[0]
    stays = (measured.periodicity > HELD_PERIODICITY[1]) & (np.abs(np.diff(cents, prepend=np.nan)) < HELD_CENTS)
    tones = np.maximum(_share(is_tone), HELD_LEAST_TONE)
    turn = np.where(is_tone, 2 * np.pi / SEMITONE_CENTS * np.nan_to_num(cents), 0)
    scale = np.hypot(_share(is_tone * np.cos(turn)), _share(is_tone * np.sin(turn))) / tones
    odds = NOTES_START + STAYING_WEIGHT * _share(stays) / tones + SCALE_WEIGHT * scale
    odds += TILT_WEIGHT * np.minimum(_tilt_deviation_db(measured, excess_db > LOUD[0]), MOST_TILT_DB)
    return np.asarray((1 + np.tanh(odds / 2)) / 2, dtype=np.float32)


def _tilt_deviation_db(measured: Features, is_loud: npt.NDArray[np.bool_]) -> Track:
    """Standard deviation (dB) of the high band against the low one, over the loud frames of 1.5 s."""
    tilt = np.where(is_loud, measured.high_db - measured.low_db, 0)
    share = np.maximum(_share(is_loud), 1 / HELD_SPAN_FRAMES)
    return np.sqrt(np.maximum(_share(tilt * tilt) / share - (_share(tilt) / share) ** 2, 0))


def _share(values: npt.NDArray[Any]) -> npt.NDArray[np.float64]:
    """Mean over the 1.5 s around each frame."""
    return np.asarray(ndimage.uniform_filter1d(values.astype(np.float64), HELD_SPAN_FRAMES, mode="nearest"))


def _harmonicity_db(measured: Features, low_excess_db: Track) -> Track:
    """Periodic over other power (dB, -13 to 33); what the background adds is not the tone's own noise."""
    background = np.minimum(10 ** (-low_excess_db / 10), 0.5)
    periodic = np.clip(measured.periodicity / (1 - background), 0.05, 0.9995)
    return np.asarray(10 * np.log10(periodic / (1 - periodic)), dtype=np.float32)


def groups(numbers: Frames, gap: int) -> list[Frames]:
    """Runs of rising numbers, parted where the next is more than ``gap`` further on."""
    if not numbers.size:
        return []
    return [part for part in np.split(numbers, np.nonzero(np.diff(numbers) > gap)[0] + 1) if part.size]
