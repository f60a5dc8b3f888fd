"""The lessons."""

from __future__ import annotations

from sqlalchemy import Connection

from annotate.errors import BadInput
from annotate.library import codec, schema
from annotate.library.shelves.shelf import Shelf, short
from annotate.library.shelves.stored_in import recording_in
from annotate.model import Lesson
from annotate.timecode import check_range


class Lessons(Shelf[Lesson]):
    table = schema.lesson
    from_row = staticmethod(codec.lesson_from)

    def named(self, value: Lesson) -> str:
        """A lesson by its title, cut where it is long."""
        return f"the lesson “{short(value.title)}”"

    def check(self, connection: Connection, value: Lesson) -> Lesson:
        for number, clip in enumerate(value.clips, 1):
            recording = recording_in(connection, clip.recording_id)
            check_range(clip.start_ms, clip.end_ms, recording.duration_ms)
            if clip.still_ms is not None and not 0 <= clip.still_ms < recording.duration_ms:
                raise BadInput("The still lies past the recording", f"clip {number}", "Choose a moment inside it.")
            if clip.before is not None:
                other = recording_in(connection, clip.before.recording_id)
                check_range(clip.before.start_ms, clip.before.end_ms, other.duration_ms)
        return value
