"""Clips for a lesson, made from tags and lines; and kept apart, so that nothing is shown twice. No I/O."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from annotate.model import Clip, Line, Tag
from annotate.vocabulary import Vocabulary

SHORTEST_MS = 1000  # what is left of a clip after trimming must be worth showing
TITLE_LENGTH = 60


def clip_of_tag(tag: Tag, words: Vocabulary) -> Clip:
    """A clip of a tag, titled with the trade's words."""
    return Clip(tag.recording_id, tag.start_ms, tag.end_ms, tag_title(tag, words), tag.note, tag.id)


def tag_title(tag: Tag, words: Vocabulary) -> str:
    """What was done where, in the trade's words."""
    step = words.label("steps", tag.step)
    zones = [words.label("zones", zone).lower() for zone in tag.zones]
    told = ", ".join(zone for zone in zones if zone not in step.lower())  # "Clip the tip" has said that it is the tip
    return f"{step}: {told}" if told else step


def clip_of_line(line: Line) -> Clip:
    """A clip of a line, titled with its first words."""
    text = " ".join(line.text.split())
    title = text if len(text) <= TITLE_LENGTH else text[:TITLE_LENGTH].rsplit(" ", 1)[0] + " …"
    return Clip(line.recording_id, line.start_ms, line.end_ms, title)


def apart(clips: Iterable[Clip], taken: Iterable[Clip] = ()) -> tuple[list[Clip], int]:
    """The clips, trimmed so that none shows what an earlier one (or one ``taken``) shows; and how many were touched."""
    kept: list[Clip] = []
    before = list(taken)
    touched = 0
    for clip in clips:
        free = _free(clip, before)
        touched += free != clip
        if free is not None:
            kept.append(free)
            before.append(free)
    return kept, touched


def with_cover(clips: Iterable[Clip], number: int | None) -> tuple[Clip, ...]:
    """The clips, the picture of the ``number``-th (from 1) being the cover; None: of the first that has one."""
    return tuple(replace(clip, is_cover=place == number) for place, clip in enumerate(clips, 1))


def has_still_inside(clip: Clip) -> bool:
    """Whether the picture that was chosen for a clip, if one was, is one of its own."""
    return clip.still_ms is None or clip.start_ms <= clip.still_ms < clip.end_ms


def with_stills_inside(clips: Iterable[Clip]) -> tuple[tuple[Clip, ...], str]:
    """The clips, without chosen pictures that lie outside of them (after a trim, say), and a sentence for each."""
    made, told = [], ""
    for number, clip in enumerate(clips, 1):
        if not has_still_inside(clip):
            clip = replace(clip, still_ms=None)
            told += f" The picture chosen for clip {number} lay outside it: it is chosen anew, automatically."
        made.append(clip)
    return tuple(made), told


def _free(clip: Clip, before: list[Clip]) -> Clip | None:
    """The longest stretch of a clip that no earlier clip shows, or None when it is too short to keep."""
    spans = [(clip.start_ms, clip.end_ms)]
    for other in before:
        if other.recording_id == clip.recording_id:
            spans = [piece for span in spans for piece in _outside(span, other)]
    if spans == [(clip.start_ms, clip.end_ms)]:
        return clip
    start, end = max(spans, key=lambda span: span[1] - span[0], default=(0, 0))
    return replace(clip, start_ms=start, end_ms=end) if end - start >= SHORTEST_MS else None


def _outside(span: tuple[int, int], other: Clip) -> list[tuple[int, int]]:
    start, end = span
    if other.end_ms <= start or other.start_ms >= end:
        return [span]
    pieces = [(start, other.start_ms), (other.end_ms, end)]
    return [piece for piece in pieces if piece[0] < piece[1]]
