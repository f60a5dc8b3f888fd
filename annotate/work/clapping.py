"""Finds when a recording began by a clap of the hands: pressed on the page while filming, and heard in the sound."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from functools import lru_cache

from annotate.errors import Missing, NotMedia
from annotate.instants import instant
from annotate.library import Library
from annotate.listen.audio import RATE_HZ, SoundPlace, read_place, sound_of
from annotate.listen.clap import Clap, find_claps
from annotate.model import Mark, Recording
from annotate.timecode import clock_tenths
from annotate.work.laying import CLAP, Begun, by_clock, open_marks, says_when

# A clock set by hand is off by minutes, one set by a network by seconds; a day or a time zone off is no clap's affair.
NEAR_MS = 5 * 60_000
# Where the file does not say when it was filmed: people clap when the camera has begun, or before it ends.
ENDS_MS = 10 * 60_000
SAME_MS = 700  # two claps that are pressed and heard agree within a finger's delay

Stretch = tuple[int, int]


def begun_of(library: Library, recording: Recording) -> Begun:
    """When a recording began: by a clap where one was pressed and is heard, else by the camera's clock.

    BadInput where no clap is found and the file does not say when it was filmed.
    """
    pressed = [mark for mark in open_marks(library) if mark.step == CLAP]
    stretches = {mark.id: _stretches(mark, recording) for mark in pressed}
    pressed = [mark for mark in pressed if stretches[mark.id]]
    if not pressed or not recording.has_sound:
        return by_clock(recording)
    try:
        heard = {mark.id: _heard(library, recording, stretches[mark.id]) for mark in pressed}
    except (Missing, NotMedia):
        return Begun(by_clock(recording).at, "The sound cannot be read to look for the clap: laid by the clock.")
    best = _best(pressed, heard)
    if best is None:
        told = f"No clap is heard within {NEAR_MS // 60_000} minutes of where it was pressed: laid by the clock."
        return Begun(by_clock(recording).at, told)
    mark, clap = best
    at = instant(mark.made_at) - timedelta(milliseconds=clap.at_ms)
    return Begun(at, f"Laid by the clap heard at {clock_tenths(clap.at_ms)}{_beside_the_clock(recording, mark, clap)}.")


def _stretches(mark: Mark, recording: Recording) -> tuple[Stretch, ...]:
    """Where to listen: around the place by the clock, taking the file's time as that of its start, and of its end."""
    length = recording.duration_ms
    if not says_when(recording):
        return _joined([(0, min(ENDS_MS, length)), (max(length - ENDS_MS, 0), length)])
    guess = round((instant(mark.made_at) - by_clock(recording).at).total_seconds() * 1000)
    around = [(max(at - NEAR_MS, 0), min(at + NEAR_MS, length)) for at in (guess, guess + length)]
    return _joined([(start, end) for start, end in around if start < end])


def _joined(stretches: Sequence[Stretch]) -> tuple[Stretch, ...]:
    """The stretches without what two of them share."""
    found: list[Stretch] = []
    for start, end in sorted(stretches):
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return tuple(found)


def _heard(library: Library, recording: Recording, stretches: Sequence[Stretch]) -> list[Clap]:
    path = library.recordings.file(recording)
    places = [sound_of(path, recording.probe, start, end) for start, end in stretches]
    return [Clap(clap.at_ms + place.start_ms, clap.above_db) for place in places for clap in _claps_in(place)]


@lru_cache(maxsize=64)
def _claps_in(place: SoundPlace) -> tuple[Clap, ...]:
    """The claps of a stretch; kept, for a page asks again with each change of the shift."""
    return tuple(find_claps(read_place(place), RATE_HZ))


def _best(pressed: Sequence[Mark], heard: dict[int, list[Clap]]) -> tuple[Mark, Clap] | None:
    """The pair of pressed and heard that most other pressed claps agree with; of these the one that stands out most."""
    pairs = [(mark, clap) for mark in pressed for clap in heard[mark.id]]

    def begun(pair: tuple[Mark, Clap]) -> float:
        return instant(pair[0].made_at).timestamp() * 1000 - pair[1].at_ms

    def agreeing(pair: tuple[Mark, Clap]) -> int:
        return len({other[0].id for other in pairs if abs(begun(other) - begun(pair)) <= SAME_MS})

    return max(pairs, key=lambda pair: (agreeing(pair), pair[1].above_db), default=None)


def _beside_the_clock(recording: Recording, mark: Mark, clap: Clap) -> str:
    """How far that is from where the camera's clock would lay it."""
    if not says_when(recording):
        return ""
    by_the_clock = round((instant(mark.made_at) - by_clock(recording).at).total_seconds() * 1000)
    off_s = (clap.at_ms - by_the_clock) / 1000
    return f", {abs(off_s):.1f} s {'later' if off_s > 0 else 'earlier'} than by the clock"
