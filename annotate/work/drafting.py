"""Drafts of what frames a lesson, out of the library."""

from __future__ import annotations

from dataclasses import replace

from annotate.errors import NotFound
from annotate.lesson.told.drafting import Drafted, draft, filled
from annotate.library import Library
from annotate.model import Clip, Lesson
from annotate.work.exporting import gather


def drafted(library: Library, lesson: Lesson) -> Drafted:
    """The drafts for a lesson, stored or not; clips whose recording was removed are passed over."""
    return draft(gather(library, _readable(library, lesson)[0], needs_files=False))


def with_drafts(library: Library, lesson: Lesson) -> Lesson:
    """The lesson with drafts in its empty fields; nothing is stored."""
    readable, numbers = _readable(library, lesson)
    return filled(lesson, draft(gather(library, readable, needs_files=False)), numbers)


def _readable(library: Library, lesson: Lesson) -> tuple[Lesson, tuple[int, ...]]:
    """The lesson with those clips alone whose recordings are in the library, and their numbers."""
    kept = [(number, clip) for number, clip in enumerate(lesson.clips, 1) if _is_known(library, clip)]
    return replace(lesson, clips=tuple(clip for _, clip in kept)), tuple(number for number, _ in kept)


def _is_known(library: Library, clip: Clip) -> bool:
    try:
        for one in (clip, clip.before):
            if one is not None:
                library.recordings.get(one.recording_id)
    except NotFound:
        return False
    return True
