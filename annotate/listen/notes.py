"""The notes in a stretch of playing or crowing, and how each one holds, speaks and sounds.

Conventions: mono samples, full scale 1.0; times in ms from the recording's
start; cents from equal temperament at the maker's A4. All is computed from the
sound alone. What the numbers cannot tell: a microphone with noise suppression
or automatic gain bends level, attack and brightness (see ``marks``).

The *held part* of a note, from which pitch, steadiness, sag, level, brightness
and noise are taken, runs from the end of the attack to where the level last
lies within 6 dB of its middle value.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from annotate.listen import spectrum
from annotate.listen.pitch import HOP_MS, Floats, PitchTrack, finite, hnr_db, track, validate
from annotate.measure import tuning

STEP_CENTS = 60.0  # a change of pitch by more than this, that stays, is a new note; vibrato is less
DIP_DB = 10.0  # a dip of the level this deep between two louder moments is a new attack; a tremolo has less
QUIETEST_DB = 40.0  # below the loudest moment: softer tone is an echo
SHORTEST_MS = 60  # shorter bits are transitions
HELD_WITHIN_DB = 6.0
FRAME_LEVEL_MS = 20  # the level of a pitch frame is taken over: a few periods of all but the lowest notes
QUIET_SHARE = 0.05  # of the held amplitude (26 dB down): here a note that stands alone begins and ends
LONGEST_HELD_S = 60  # of a longer note (a drone) the first minute gives attack, level and brightness
MOST_HNR_FRAMES = 12  # give a note its noise, spread over it: a middle value needs no more
TRACKED = 0.8  # share of the time that following the pitch takes; the rest is measuring note by note
LEVEL_MS = 5  # the level is taken over whole periods of at least this; attacks of reeds take 10-100 ms
ATTACK_FROM, ATTACK_TO = 0.1, 0.9  # of the way from the lowest to the held amplitude (IEEE Std 181, rise time)
ATTACK_LOW = 0.5  # of the held amplitude: where it falls no lower, the note was slurred to and has no attack
ATTACK_NEAR_MS = 50  # from a note's start within which the amplitude is lowest
SMOOTH_FRAMES = 5  # of the pitch (50 ms), in looking for steps only


@dataclass(frozen=True)
class Note:
    """One note.

    ``start_ms``, ``end_ms``: where it sounds, in the recording.
    ``hz``: median pitch of the held part. ``note``: plain name of the nearest
    equal-tempered note, ``cents``: from it (-50..50), at ``a4_hz``.
    ``steadiness_cents``: standard deviation of the pitch over the held part;
    small is steady. ``sag_cents``: mean pitch of the held part's last third less
    that of its first; negative sags. ``attack_ms``: the amplitude's rise from
    10 to 90 % of its held value; not less than about a period. ``level_dbfs``:
    root mean square, 0 is full scale (a full-scale sine has -3.0).
    ``brightness_hz``: amplitude-weighted mean frequency of the partials, and
    ``brightness_harmonic``: the same in multiples of ``hz``. ``hnr_db``: power
    of what repeats with the pitch over all other power up to half the rate, at most 40.
    """

    start_ms: int
    end_ms: int
    hz: float
    note: str
    cents: float
    a4_hz: float
    steadiness_cents: float
    sag_cents: float
    attack_ms: float | None
    level_dbfs: float
    brightness_hz: float
    brightness_harmonic: float
    hnr_db: float


@dataclass(frozen=True)
class _Stretch:
    """What is being read: the sound, its pitch, and which pitch frames sound at all."""

    samples: npt.NDArray[np.floating]
    rate_hz: int
    followed: PitchTrack
    sounding: npt.NDArray[np.bool_]


def find_notes(
    samples: npt.NDArray[np.floating],
    rate_hz: int,
    offset_ms: int = 0,
    a4_hz: float = tuning.A4_HZ,
    progress: Callable[[float], None] = lambda done: None,
) -> tuple[Note, ...]:
    """The notes of one stretch of tone.

    Parameters
    ----------
    samples
        Mono, of one *play* or *crow* sound; 16 kHz does, more tells more about brightness.
    offset_ms
        Where the stretch starts in the recording.
    a4_hz
        The maker's tuning, 400-480 Hz.
    progress
        Hears how far it is (0..1); what it raises ends the work.
    """
    validate(samples, rate_hz)
    tuning.check_a4(a4_hz)
    samples = finite(samples)
    followed = track(samples, rate_hz, progress=lambda done: progress(TRACKED * done))
    if not followed.hz.size or not (followed.hz > 0).any():
        return ()
    level_db = _level_at(samples, rate_hz, followed)
    sounding = (followed.hz > 0) & (level_db > level_db.max() - QUIETEST_DB)
    stretch = _Stretch(samples, rate_hz, followed, sounding)
    segments = _segments(stretch, level_db)
    found = []
    for number, (first, last) in enumerate(segments):
        progress(TRACKED + (1 - TRACKED) * number / len(segments))
        found.append(_measure(stretch, first, last, offset_ms, a4_hz))
    return tuple(found)


def _amplitude(samples: npt.NDArray[np.floating], span: int) -> Floats:
    """Root mean square over ``span`` samples around each sample."""
    power = ndimage.uniform_filter1d(np.asarray(samples, dtype=np.float64) ** 2, max(span, 1), mode="constant")
    return np.asarray(np.sqrt(np.maximum(power, 0)))


def _level_at(samples: npt.NDArray[np.floating], rate_hz: int, followed: PitchTrack) -> Floats:
    """Level (dB) over 20 ms at the middle of each pitch frame."""
    span = rate_hz * FRAME_LEVEL_MS // 1000
    begins = np.clip((followed.time_ms * rate_hz / 1000).astype(np.intp) - span // 2, 0, samples.size - span)
    # Frame by frame: a copy of a whole hour would take a gigabyte.
    power = [float(np.square(samples[at : at + span], dtype=np.float64).mean()) for at in begins.tolist()]
    return np.asarray(20 * np.log10(np.sqrt(power) + 1e-9))


def _segments(stretch: _Stretch, level_db: Floats) -> list[tuple[int, int]]:
    """(first, end) frames of each note: parted by silence, steps of pitch and dips of level."""
    hz = stretch.followed.hz
    cents = 1200 * np.log2(np.where(hz > 0, hz, 1))
    found = []
    for first, last in _true_runs(stretch.sounding):
        cuts = [first, *_steps(cents, first, last), *_dips(level_db, first, last), last]
        for start, end in pairwise(sorted(set(cuts))):
            if (end - start) * HOP_MS >= SHORTEST_MS:
                found.append((start, end))
    return found


def _true_runs(flags: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    edges = np.diff(np.concatenate([[0], flags.astype(np.int8), [0]]))
    return list(zip(np.nonzero(edges == 1)[0].tolist(), np.nonzero(edges == -1)[0].tolist(), strict=True))


def _steps(cents: Floats, first: int, last: int) -> list[int]:
    """Frames at which the pitch goes to another note and stays there."""
    smooth = ndimage.median_filter(cents[first:last], SMOOTH_FRAMES, mode="nearest")
    ahead = np.lib.stride_tricks.sliding_window_view(np.pad(smooth, (0, SMOOTH_FRAMES - 1), mode="edge"), SMOOTH_FRAMES)
    lowest, highest = ahead.min(axis=1).tolist(), ahead.max(axis=1).tolist()
    cuts: list[int] = []
    held = [float(smooth[0])]  # the frames of the note so far in the order of their pitch: their middle is at hand
    for frame, pitch in enumerate(smooth.tolist()):
        if not frame:
            continue
        middle = (held[(len(held) - 1) // 2] + held[len(held) // 2]) / 2
        is_away = lowest[frame] - middle > STEP_CENTS or middle - highest[frame] > STEP_CENTS
        if is_away and highest[frame] - lowest[frame] < STEP_CENTS:
            # Glides are cut where the new pitch is reached; the frames before go to the old note.
            cuts.append(first + frame)
            held = [pitch]
        else:
            insort(held, pitch)
    return cuts


def _dips(level_db: Floats, first: int, last: int) -> list[int]:
    """Frames at which the level is lowest between two moments that are louder by ``DIP_DB``."""
    level = level_db[first:last]
    cuts: list[int] = []
    peak, low, low_at = level[0], level[0], 0
    for frame, now in enumerate(level.tolist()):
        if now < low:
            low, low_at = now, frame
        if low < peak - DIP_DB and now > low + DIP_DB:
            cuts.append(first + low_at)
            peak = low = now
            low_at = frame
        elif now > peak:
            peak = low = now
            low_at = frame
    return cuts


def _measure(stretch: _Stretch, first: int, last: int, offset_ms: int, a4_hz: float) -> Note:
    """Everything about the note in the frames ``first`` to ``last``."""
    samples, rate_hz, followed = stretch.samples, stretch.rate_hz, stretch.followed
    hz = float(np.median(followed.hz[first:last]))
    begin_ms, end_ms = _extent(stretch, first, last, hz)
    begin, end = int(begin_ms * rate_hz / 1000), int(end_ms * rate_hz / 1000)
    attack_ms, held_from, held_to = _attack(stretch, begin, end, hz)
    own = np.arange(first, last)
    time_ms = followed.time_ms[own]
    inside = own[(time_ms >= begin_ms + held_from) & (time_ms <= begin_ms + held_to)]
    inside = inside if inside.size >= 3 else own
    spread = inside[:: -(-inside.size // MOST_HNR_FRAMES)]
    pitch_hz = followed.hz[inside]
    middle = float(np.median(pitch_hz))
    place = tuning.place(middle, a4_hz)
    cents = 1200 * np.log2(pitch_hz / middle)
    third = max(len(cents) // 3, 1)
    held_end = min(max(int(held_to * rate_hz / 1000), 64), LONGEST_HELD_S * rate_hz)
    held = samples[begin + int(held_from * rate_hz / 1000) : begin + held_end]
    brightness_hz = spectrum.centroid_hz(held, rate_hz)
    return Note(
        start_ms=offset_ms + round(begin_ms),
        end_ms=offset_ms + round(end_ms),
        hz=middle,
        note=place.name,
        cents=place.cents,
        a4_hz=a4_hz,
        steadiness_cents=float(np.std(cents)),
        sag_cents=float(cents[-third:].mean() - cents[:third].mean()),
        attack_ms=attack_ms,
        level_dbfs=float(10 * np.log10(np.mean(np.asarray(held, dtype=np.float64) ** 2) + 1e-12)),
        brightness_hz=brightness_hz,
        brightness_harmonic=brightness_hz / middle,
        hnr_db=float(np.median(hnr_db(samples, rate_hz, followed, spread))),
    )


def _extent(stretch: _Stretch, first: int, last: int, hz: float) -> tuple[float, float]:
    """Start and end (ms): the pitch frames' own, widened at a silence to where the sound begins and ends."""
    samples, rate_hz, followed = stretch.samples, stretch.rate_hz, stretch.followed
    begin_ms = float(followed.time_ms[first]) - HOP_MS / 2
    end_ms = float(followed.time_ms[last - 1]) + HOP_MS / 2
    reach = int(followed.time_ms[0] * rate_hz / 1000) + rate_hz * FRAME_LEVEL_MS // 1000
    begin, end = int(begin_ms * rate_hz / 1000), int(end_ms * rate_hz / 1000)
    # Only the note and its surroundings are read: the stretch may last an hour and hold thousands of notes.
    head_at, tail_at = max(begin - 2 * reach, 0), max(end - 2 * reach, 0)
    head_end = min(end, begin + LONGEST_HELD_S * rate_hz) + 2 * reach
    head = _amplitude(samples[head_at:head_end], round(rate_hz / hz))
    quiet = np.median(head[begin - head_at : head_end - 2 * reach - head_at]) * QUIET_SHARE
    if first == 0 or not stretch.sounding[first - 1]:
        earliest = max(begin - reach, 0)
        before = np.nonzero(head[earliest - head_at : begin - head_at] < quiet)[0]
        begin_ms = (earliest + (int(before[-1]) if before.size else 0)) * 1000 / rate_hz
    if last == followed.hz.size or not stretch.sounding[last]:
        tail = _amplitude(samples[tail_at : end + 2 * reach], round(rate_hz / hz))
        after = np.nonzero(tail[end - tail_at : end - tail_at + reach] < quiet)[0]
        stop = end + (int(after[0]) if after.size else reach)
        end_ms = min(stop, samples.size) * 1000 / rate_hz
    return begin_ms, end_ms


def _attack(stretch: _Stretch, begin: int, end: int, hz: float) -> tuple[float | None, float, float]:
    """Rise from 10 to 90 % (ms, or None), and where the held part starts and ends (ms from the note's start)."""
    rate_hz = stretch.rate_hz
    # Over whole periods the level of a steady tone is steady.
    span = round(max(1, int(np.ceil(LEVEL_MS * hz / 1000))) * rate_hz / hz)
    near = rate_hz * ATTACK_NEAR_MS // 1000
    # What was before belongs to it: cut off at the note's start, every note would seem to rise from nothing.
    from_at = max(begin - near - span, 0)
    whole_ms = (end - begin) * 1000 / rate_hz
    is_long = end - begin > LONGEST_HELD_S * rate_hz
    end = min(end, begin + LONGEST_HELD_S * rate_hz)
    amplitude = _amplitude(stretch.samples[from_at : end + span], span)[: end - from_at]
    start = begin - from_at
    held = float(np.median(amplitude[start + span // 2 : max(end - from_at - span // 2, start + span // 2 + 1)]))
    middle = start + max((end - begin) // 2, 1)
    first = max(start - near, 0)
    lowest_at = first + int(amplitude[first : min(start + near, middle)].argmin())
    lowest = float(amplitude[lowest_at])
    reached = np.nonzero(amplitude[lowest_at:middle] >= lowest + ATTACK_TO * (held - lowest))[0]
    top = lowest_at + (int(reached[0]) if reached.size else 0)
    below = np.nonzero(amplitude[lowest_at : top + 1] <= lowest + ATTACK_FROM * (held - lowest))[0]
    foot = lowest_at + (int(below[-1]) if below.size else 0)
    is_slurred = lowest > ATTACK_LOW * held
    held_from = start if is_slurred else max(top, start)
    loud = np.nonzero(amplitude[start:] >= held * 10 ** (-HELD_WITHIN_DB / 20))[0]
    held_to = max(start + (int(loud[-1]) if loud.size else end - begin) - span // 2, held_from + 1)
    attack_ms = None if is_slurred else (top - foot) * 1000 / rate_hz
    held_to_ms = whole_ms if is_long else (held_to - start) * 1000 / rate_hz
    return attack_ms, (held_from - start) * 1000 / rate_hz, held_to_ms
