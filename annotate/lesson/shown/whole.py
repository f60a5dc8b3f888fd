"""A recording as it is, taught with: chapters from its tags, captions from its lines, and no film. No I/O."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from annotate.formats import chapters as chapter_text
from annotate.formats import subrip, webvtt
from annotate.formats.cues import Cue
from annotate.lesson.cutting.pieces import Placed
from annotate.lesson.shown.captions import cues_of
from annotate.lesson.told.choosing import tag_title
from annotate.lesson.told.material import Step
from annotate.lesson.told.passage import Part, Passage
from annotate.model import Reed, Tag
from annotate.vocabulary import vocabulary


@dataclass(frozen=True)
class Whole:
    """What goes beside a whole recording: chapters and captions, and the same as the text of three files."""

    chapters: tuple[Cue, ...]
    captions: tuple[Cue, ...]

    @property
    def chapters_text(self) -> str:
        """The chapter list, to paste under the recording."""
        return chapter_text.as_text(self.chapters)

    @property
    def vtt(self) -> str:
        """The captions as WebVTT."""
        return webvtt.write(self.captions)

    @property
    def srt(self) -> str:
        """The captions as SubRip."""
        return subrip.write(self.captions)


def whole(step: Step, reeds: dict[int, Reed]) -> Whole:
    """Chapters and captions of a recording; ``step`` is all of it as one clip, ``reeds`` those of its tags."""
    duration_ms = step.recording.duration_ms
    # The film is the recording itself, a picture each millisecond: its time is the recording's.
    placed = Placed(0, duration_ms, Fraction(1000))
    passage = Passage((Part(0, duration_ms),), (placed,))
    captions = cues_of([(step, passage)], duration_ms) if duration_ms else []
    return Whole(tuple(_chapters(step, reeds, duration_ms)), tuple(captions))


def _chapters(step: Step, reeds: dict[int, Reed], duration_ms: int) -> list[Cue]:
    """A chapter where each tag begins, up to the next; the first says which reed and which day.

    Tags that begin in the same second share a chapter: a list to paste has whole seconds.
    """
    if duration_ms <= 0:
        return []
    names_reed = len({tag.reed_id for tag in step.tags}) > 1
    found: dict[int, tuple[int, list[str]]] = {0: (0, [step.where])}
    for tag in sorted(step.tags, key=lambda tag: (tag.start_ms, tag.end_ms)):
        if tag.start_ms < duration_ms:
            _, titles = found.setdefault(tag.start_ms // 1000, (tag.start_ms, []))
            title = _title(tag, reeds.get(tag.reed_id or 0), names_reed=names_reed)
            titles += [title] if title not in titles else []
    starts = [start for start, _ in found.values()]
    ends = [*starts[1:], duration_ms]
    texts = ["; ".join(titles) for _, titles in found.values()]
    return [Cue(start, end, text, "chapter") for start, end, text in zip(starts, ends, texts, strict=True)]


def _title(tag: Tag, reed: Reed | None, *, names_reed: bool) -> str:
    words = vocabulary(reed.instrument if reed else "bassoon")
    return tag_title(tag, words) + (f" (reed {reed.name})" if reed and names_reed else "")
