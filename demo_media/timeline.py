"""Lays the beats of a sitting one after the other: the sound track and every time that follows from it."""

from __future__ import annotations

import zlib
from dataclasses import dataclass

import numpy as np

from demo_media import narration, sounds
from demo_media.beats import Beat, Sitting
from demo_media.sounds import RATE_HZ, Samples


@dataclass(frozen=True)
class Placed:
    """A beat with its time; ``strokes`` are absolute (start, end) in seconds. The gap after it is not in it."""

    beat: Beat
    start_ms: int
    end_ms: int
    strokes: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Laid:
    """A whole sitting: its beats in order, its sound, its length."""

    sitting: Sitting
    beats: tuple[Placed, ...]
    samples: Samples
    duration_ms: int

    def find(self, key: str) -> Placed:
        """The beat of that key."""
        return next(placed for placed in self.beats if placed.beat.key == key)


def _sound(sitting: Sitting, beat: Beat) -> sounds.Made:
    if beat.kind == "speech":
        return sounds.Made(narration.sentence(beat.voice))
    rng = np.random.default_rng(zlib.crc32(f"{sitting.file}/{beat.key}".encode()))
    return sounds.make(rng, beat.kind, beat.recipe, beat.seconds)


def lay(sitting: Sitting) -> Laid:
    """Build the sound of a sitting; each beat starts on a whole millisecond."""
    placed: list[Placed] = []
    pieces: list[tuple[int, Samples]] = []
    now_ms = 0
    for beat in sitting.beats:
        made = _sound(sitting, beat)
        length_ms = -(-made.samples.size * 1000 // RATE_HZ)
        pieces.append((now_ms * RATE_HZ // 1000, made.samples))
        strokes = tuple((now_ms / 1000 + a, now_ms / 1000 + b) for a, b in made.strokes)
        placed.append(Placed(beat, now_ms, now_ms + length_ms, strokes))
        now_ms += length_ms + round(beat.gap_s * 1000)
    frame_ms = 1000 / sitting.rate
    duration_ms = round(np.ceil(now_ms / frame_ms) * frame_ms)
    dry = np.zeros(round(duration_ms * RATE_HZ / 1000))
    for first, samples in pieces:
        dry[first : first + samples.size] += samples[: dry.size - first]
    room = np.random.default_rng(zlib.crc32(sitting.file.encode()))
    return Laid(sitting, tuple(placed), sounds.in_room(room, dry), duration_ms)


def kinds(laid: Laid) -> list[tuple[int, int, str]]:
    """The gap-free timeline of what is heard, equal neighbours joined."""
    found: list[tuple[int, int, str]] = []
    for placed in laid.beats:
        if found and placed.start_ms > found[-1][1]:
            found.append((found[-1][1], placed.start_ms, "quiet"))
        found.append((placed.start_ms, placed.end_ms, placed.beat.kind))
    if found[-1][1] < laid.duration_ms:
        found.append((found[-1][1], laid.duration_ms, "quiet"))
    joined: list[tuple[int, int, str]] = []
    for start, end, kind in found:
        if joined and joined[-1][2] == kind:
            joined[-1] = (joined[-1][0], end, kind)
        else:
            joined.append((start, end, kind))
    return joined
