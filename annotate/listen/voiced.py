"""Where someone speaks, and how those stretches are packed for the recogniser.

Conventions
-----------
Samples are float32 mono at 16 kHz, shape (n,). Stretches are half-open pairs of
sample numbers, in order, not overlapping. The recogniser hears 30 s at a time
whatever they hold, so stretches of speech are packed into pieces of nearly that
length; a piece knows where each of its samples came from.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float32]
Stretch = tuple[int, int]

RATE_HZ = 16_000
# The voice detector's own default; a bench is noisy but the detector is steady against it.
VOICE_THRESHOLD = 0.5
# Shorter pauses do not part two stretches.
PAUSE_MS = 400
# Room kept around a stretch so that soft beginnings and endings are heard: with 200 ms the
# LibriVox check (tests/outside) has 4.2 % wrong words, from 300 ms on 1.4 %. The library uses 400 too.
ROOM_MS = 400
# A spoken "A" lasts about 100 ms; the detector moves in steps of 32 ms.
SHORTEST_MS = 90
# What the recogniser hears at a time.
PIECE_SECONDS = 30
# Stretches nearer than this are packed with the true sound between them.
NEAR_MS = 600


def voiced(samples: Samples) -> list[Stretch]:
    """Stretches in which the voice detector hears speech, each at most 30 s long."""
    from faster_whisper.vad import VadOptions, get_speech_timestamps

    if len(samples) < RATE_HZ * SHORTEST_MS // 1000:
        return []
    options = VadOptions(
        threshold=VOICE_THRESHOLD,
        min_speech_duration_ms=SHORTEST_MS,
        max_speech_duration_s=PIECE_SECONDS,
        min_silence_duration_ms=PAUSE_MS,
        speech_pad_ms=ROOM_MS,
    )
    found = get_speech_timestamps(samples, options)
    return [(int(one["start"]), int(one["end"])) for one in found if one["end"] > one["start"]]


def within(stretches: Sequence[Stretch], allowed: Sequence[Stretch]) -> list[Stretch]:
    """The parts of ``stretches`` that lie in ``allowed`` and are long enough to be a word."""
    kept = [
        (max(start, low), min(end, high))
        for start, end in stretches
        for low, high in allowed
        if min(end, high) - max(start, low) >= RATE_HZ * SHORTEST_MS // 1000
    ]
    return sorted(kept)


@dataclass(frozen=True)
class Joint:
    """``length`` samples from ``source`` on lie in the piece from ``at`` on."""

    at: int
    source: int
    length: int


@dataclass(frozen=True)
class Piece:
    """Sound for one pass of the recogniser, made of one or several stretches."""

    samples: Samples
    joints: tuple[Joint, ...]

    def joint(self, at: int) -> Joint:
        """The joint that holds sample ``at`` of the piece (the last one for those past its end)."""
        for joint in self.joints:
            if at < joint.at + joint.length:
                return joint
        return self.joints[-1]


def pack(samples: Samples, stretches: Sequence[Stretch], piece_seconds: int = PIECE_SECONDS) -> list[Piece]:
    """The stretches, in order, as pieces of at most ``piece_seconds``, each as full as it goes.

    Near neighbours in a piece keep the true sound between them.
    """
    limit = piece_seconds * RATE_HZ
    near = NEAR_MS * RATE_HZ // 1000
    groups: list[list[Stretch]] = []
    length = 0
    for start, end in _short_enough(stretches, limit):
        last = groups[-1][-1] if groups else None
        begin = last[1] if last and start - last[1] <= near else start
        if last is None or length + end - begin > limit:
            groups.append([(start, end)])
            length = end - start
            continue
        length += end - begin
        if begin == last[1]:
            groups[-1][-1] = (last[0], end)
        else:
            groups[-1].append((start, end))
    return [_piece(samples, group) for group in groups]


def _short_enough(stretches: Sequence[Stretch], limit: int) -> Iterator[Stretch]:
    """Over-long stretches in even parts."""
    for start, end in stretches:
        parts = -(-(end - start) // limit)
        yield from pairwise(start + (end - start) * number // parts for number in range(parts + 1))


def _piece(samples: Samples, group: Sequence[Stretch]) -> Piece:
    joints: list[Joint] = []
    at = 0
    for start, end in group:
        joints.append(Joint(at, start, end - start))
        at += end - start
    return Piece(np.concatenate([samples[start:end] for start, end in group]), tuple(joints))
