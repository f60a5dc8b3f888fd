"""Brings a transcript made elsewhere into a recording, in place of the lines that the maker has not changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from annotate.errors import BadInput
from annotate.formats.cues import Cue
from annotate.formats.word_times import retime
from annotate.library import Library
from annotate.model import Line
from annotate.vocabulary.counted import counted


@dataclass(frozen=True)
class Brought:
    """What came of it: ``lines`` are in; ``kept`` of the maker's own stayed; ``left_out`` did not fit."""

    lines: tuple[Line, ...]
    kept: int
    left_out: int

    @property
    def told(self) -> str:
        """A sentence of it."""
        text = f"{counted(len(self.lines), 'line')} brought in."
        if self.kept:
            text += f" {counted(self.kept, 'line')} that you changed stayed."
        if self.left_out:
            text += f" {counted(self.left_out, 'line')} left out: past the end, or where a line of yours stands."
        return text


def bring(library: Library, recording_id: int, cues: Sequence[Cue]) -> Brought:
    """Put cues in as lines, as one step of undo; word times are shared out in each line."""
    recording = library.recordings.get(recording_id)
    own = [line.start_ms for line in library.lines.of_recording(recording_id) if line.version > 1]
    lines = []
    for cue in cues:
        # A text with times does not say when a line ends: it gives way to a line of the maker's.
        end_ms = min([recording.duration_ms, cue.end_ms, *(start for start in own if start > cue.start_ms)])
        if line := _line(recording_id, cue, end_ms):
            lines.append(line)
    if not lines:
        raise BadInput(
            "All of the transcript lies past the end of the recording",
            recording.name,
            "Check that it belongs to this recording.",
        )
    added, kept = library.lines.bring(recording_id, lines)
    return Brought(tuple(added), kept, len(cues) - len(added))


def _line(recording_id: int, cue: Cue, end_ms: int) -> Line | None:
    """A cue as a line that ends at ``end_ms``; ``heard_text`` is empty, for nothing was heard."""
    text = " ".join(cue.text.split())
    if not text or cue.start_ms >= end_ms:
        return None
    return Line(recording_id, cue.start_ms, end_ms, text, retime((), text, cue.start_ms, end_ms))
