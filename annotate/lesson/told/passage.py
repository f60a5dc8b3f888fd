"""How a range of a recording is shown: which of it, and how fast; and where it lies in the film. No I/O.

``parts_of`` decides from what was heard; a ``Passage`` is the one place that
turns recording time into film time, for captions, corrections and chapters.
Talking never runs faster and is never cut.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from annotate.lesson.cutting.pieces import Placed
from annotate.model import Clip, Line, Showing, Sound

Span = tuple[int, int]

TALK_MARGIN_MS = 300  # around words: their times are a little uncertain
JOIN_MS = 2_000  # scraping that pauses no longer than this, to look at the reed say, is one stretch
LEAD_MS = 1_000  # at both ends of long scraping it runs as it was: the stroke is seen and heard
REST_MS = 1_000  # what is left of long quiet, half of it at each end
KEPT_SOUNDS = ("speech", "play", "crow")


@dataclass(frozen=True)
class Part:
    """A stretch of a recording, shown ``speed`` times as fast."""

    start_ms: int
    end_ms: int
    speed: int = 1


@dataclass(frozen=True)
class Passage:
    """A range of a recording in the film: its parts in order, where each lies, and where its last picture is held."""

    parts: tuple[Part, ...]
    placed: tuple[Placed, ...]
    held: Placed | None = None

    @property
    def start_ms(self) -> int:
        """Film time of its start."""
        return self.placed[0].start_ms

    @property
    def end_ms(self) -> int:
        """Film time of its end."""
        return (self.held or self.placed[-1]).end_ms

    def film_ms(self, recording_ms: int) -> int:
        """The film's time of a moment of the recording; what is left out falls on the joint."""
        for part, place in zip(self.parts, self.placed, strict=True):
            if recording_ms < part.end_ms:
                return place.start_ms if recording_ms <= part.start_ms else place.film_ms(recording_ms)
        return self.placed[-1].end_ms

    def fast(self) -> list[tuple[int, int, int]]:
        """Film time from and to where it runs faster, and how many times."""
        pairs = zip(self.parts, self.placed, strict=True)
        return [(place.start_ms, place.end_ms, part.speed) for part, place in pairs if part.speed > 1]


def parts_of(clip: Clip, showing: Showing, sounds: Iterable[Sound], lines: Iterable[Line]) -> tuple[Part, ...]:
    """The clip's parts in order: long scraping runs faster and long quiet becomes a rest, as was chosen."""
    heard = [sound for sound in sounds if sound.start_ms < clip.end_ms and sound.end_ms > clip.start_ms]
    talk = _talk(heard, lines)
    speed = clip.scraping_speed or showing.scraping_speed
    fast = _long_scraping(clip, showing, heard, talk) if speed > 1 else []
    rests = _long_quiet(clip, showing, heard, talk)
    made, at = [], clip.start_ms
    for start, end, is_fast in sorted([(*one, True) for one in fast] + [(*one, False) for one in rests]):
        if start > at:
            made.append(Part(at, start))
        if is_fast:
            made.append(Part(start, end, speed))
        at = end
    if at < clip.end_ms:
        made.append(Part(at, clip.end_ms))
    return tuple(made)


def _long_scraping(clip: Clip, showing: Showing, heard: Sequence[Sound], talk: Sequence[Span]) -> list[Span]:
    """Where scraping goes on for long without a word, less what runs as it was at both ends."""
    spans = _without(_of_kind(clip, heard, "scrape", JOIN_MS), talk)
    return [
        (start + LEAD_MS, end - LEAD_MS) for start, end in spans if _is_long(start, end, showing.scraping_longer_ms)
    ]


def _is_long(start: int, end: int, longer_ms: int) -> bool:
    return end - start > max(longer_ms, 2 * LEAD_MS)


def _long_quiet(clip: Clip, showing: Showing, heard: Sequence[Sound], talk: Sequence[Span]) -> list[Span]:
    """What is left out of long quiet."""
    longer_ms = showing.quiet_longer_ms
    if longer_ms is None:
        return []
    spans = _without(_of_kind(clip, heard, "quiet", 0), talk)
    half = REST_MS // 2
    return [(start + half, end - half) for start, end in spans if end - start > max(longer_ms, REST_MS)]


def _talk(heard: Iterable[Sound], lines: Iterable[Line]) -> list[Span]:
    """Where somebody speaks, plays or crows."""
    spans = [(sound.start_ms, sound.end_ms) for sound in heard if sound.kind in KEPT_SOUNDS]
    for line in lines:
        for word in line.words or (line,):
            spans.append((word.start_ms - TALK_MARGIN_MS, word.end_ms + TALK_MARGIN_MS))
    return _joined(spans, 0)


def _of_kind(clip: Clip, heard: Iterable[Sound], kind: str, gap_ms: int) -> list[Span]:
    """The stretches of one kind inside the clip; those not further apart than ``gap_ms`` are one."""
    inside = [(max(one.start_ms, clip.start_ms), min(one.end_ms, clip.end_ms)) for one in heard if one.kind == kind]
    return _joined(inside, gap_ms)


def _joined(spans: Iterable[Span], gap_ms: int) -> list[Span]:
    made: list[Span] = []
    for start, end in sorted(spans):
        if made and start - made[-1][1] <= gap_ms:
            made[-1] = (made[-1][0], max(made[-1][1], end))
        else:
            made.append((start, end))
    return made


def _without(spans: Iterable[Span], taken: Sequence[Span]) -> list[Span]:
    """The spans less what is ``taken``."""
    made: list[Span] = []
    for start, end in spans:
        for from_ms, to_ms in taken:
            if from_ms < end and to_ms > start:
                if from_ms > start:
                    made.append((start, from_ms))
                start = max(start, to_ms)
        if start < end:
            made.append((start, end))
    return made
