"""Lays marks made while filming on a recording, by the clock, and makes tags of them.

A mark's moment is its clock time less the recording's creation time, plus a shift
that the maker sets: cameras write the creation time at the start, some at the end,
and their clocks are off by minutes. A clap that is heard tells the beginning better
(``annotate.work.clapping``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from annotate.errors import BadInput
from annotate.instants import has_clock_time, instant
from annotate.library import Library
from annotate.library.codec import row_of
from annotate.model import Mark, Recording, Tag
from annotate.vocabulary.counted import counted

CLAP = "clap"  # what stands in the step of a mark made while clapping
LONGEST_MS = 30_000  # a mark without another one after it stands for so long
SHORTEST_MS = 1_000


@dataclass(frozen=True)
class Laid:
    """A mark and its stretch of the recording."""

    mark: Mark
    start_ms: int
    end_ms: int


@dataclass(frozen=True)
class Begun:
    """When a recording began by the clock that the marks were made with; ``told`` says how that is known."""

    at: datetime
    told: str


def says_when(recording: Recording) -> bool:
    """Whether its file tells the moment it was filmed, and not only the day."""
    return recording.probe.recorded_at is not None and has_clock_time(recording.probe.recorded_at)


def lay(marks: Sequence[Mark], recording: Recording, shift_ms: int = 0, begun: Begun | None = None) -> list[Laid]:
    """The marks that fall in the recording, in order; each reaches to the next one, or 30 s. A clap makes no tag."""
    begun = begun or by_clock(recording)
    placed = sorted(
        ((_place(mark, begun, shift_ms), mark) for mark in marks if mark.step != CLAP),
        key=lambda pair: (pair[0], pair[1].id),
    )
    inside = [(at, mark) for at, mark in placed if 0 <= at < recording.duration_ms - SHORTEST_MS]
    ends = [*(at for at, _ in inside[1:]), recording.duration_ms][: len(inside)]
    return [
        Laid(mark, at, min(max(min(end, at + LONGEST_MS), at + SHORTEST_MS), recording.duration_ms))
        for (at, mark), end in zip(inside, ends, strict=True)
    ]


def _place(mark: Mark, begun: Begun, shift_ms: int = 0) -> int:
    return round((instant(mark.made_at) - begun.at).total_seconds() * 1000) + shift_ms


def by_clock(recording: Recording) -> Begun:
    """The beginning as the file says it; BadInput when it does not."""
    if recording.probe.recorded_at is None or not says_when(recording):
        raise BadInput(
            f"does not say {'at what time' if recording.probe.recorded_at else 'when'} it was filmed",
            recording.name,
            "Tag it on its page; its marks cannot be laid by the clock.",
        )
    return Begun(instant(recording.probe.recorded_at), "Laid by the clock of the camera.")


def tag_of(laid: Laid, recording: Recording) -> Tag:
    """The tag that a laid mark becomes; storing it fills in the reed in hand where the mark names none."""
    mark = laid.mark
    return Tag(
        recording.id,
        laid.start_ms,
        laid.end_ms,
        mark.step,
        mark.zones,
        mark.blade,
        mark.side,
        mark.reed_id,
        (),
        mark.note,
    )


def open_marks(library: Library) -> list[Mark]:
    """The marks that have not become tags, newest last; a clap is done once marks were laid by it."""
    return [mark for mark in library.marks.all() if mark.tag_id is None and not _is_used(mark)]


def _is_used(mark: Mark) -> bool:
    return mark.step == CLAP and mark.session_id is not None


def lay_down(library: Library, recording: Recording, shift_ms: int = 0, begun: Begun | None = None) -> list[Tag]:
    """Make tags of the open marks that fall in a recording, as one step of undo; BadInput when none does."""
    waiting, begun = open_marks(library), begun or by_clock(recording)
    laid = lay(waiting, recording, shift_ms, begun)
    if not laid:
        raise BadInput("No mark falls in this recording", recording.name, "Shift them, or choose another recording.")
    claps = [mark for mark in waiting if mark.step == CLAP and 0 <= _place(mark, begun) < recording.duration_ms]
    tags, marks, made = library.tags, library.marks, []
    with library.journal.edit(f"laid {counted(len(laid), 'mark')}") as edit:
        for one in laid:
            tag = tags.add_in(edit, tag_of(one, recording))
            edit.change(marks.table, row_of(replace(one.mark, tag_id=tag.id, session_id=recording.session_id)))
            made.append(tag)
        for clap in claps:
            edit.change(marks.table, row_of(replace(clap, session_id=recording.session_id)))
    return made
