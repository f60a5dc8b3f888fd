"""What the maker states: tags, readings, corrections."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from sqlalchemy import Connection, func, select

from annotate.errors import NotFound
from annotate.library import codec, schema
from annotate.library.reed_words import reed_words
from annotate.library.rows import stored
from annotate.library.shelves.shelf import OfRecording, Shelf
from annotate.library.shelves.stored_in import hand_in, recording_in, reed_in
from annotate.measure.units import check_reading
from annotate.model import Correction, Reading, Tag
from annotate.timecode import check_range


class Tags(OfRecording[Tag]):
    table = schema.tag
    from_row = staticmethod(codec.tag_from)

    def check(self, connection: Connection, value: Tag) -> Tag:
        recording = recording_in(connection, value.recording_id)
        check_range(value.start_ms, value.end_ms, recording.duration_ms)
        reed = reed_in(connection, value.reed_id or hand_in(connection, recording, value.end_ms))
        words = reed_words(reed)
        words.check("steps", value.step)
        words.check("zones", value.zones)
        words.check("blades", value.blade)
        words.check("sides", value.side)
        words.check("symptoms", value.symptoms)
        return replace(
            value,
            zones=tuple(dict.fromkeys(value.zones)),
            symptoms=tuple(dict.fromkeys(value.symptoms)),
            reed_id=reed.id if reed else None,
        )

    def of_reed(self, reed_id: int) -> list[Tag]:
        """The tags of a reed, over all sessions, in the order in which it was worked on."""
        return self.in_time(self.where(schema.tag.c.reed_id == reed_id))

    def in_time(self, tags: Iterable[Tag]) -> list[Tag]:
        """Tags in the order in which the work was done: by day, session, recording and moment."""
        places = self.library.recordings.in_time()
        return sorted(tags, key=lambda tag: (places[tag.recording_id], tag.start_ms, tag.id))


def _placed(connection: Connection, value: Reading) -> Reading:
    """A reading with what follows from its tag and recording: moment, reed and day."""
    tag = None
    if value.tag_id is not None:
        tag = stored(connection, schema.tag, value.tag_id)
        if tag is None and not value.id:
            raise NotFound(f"There is no tag {value.tag_id} in the library")
    if tag is not None:
        at_ms = tag["start_ms"] if value.at_ms is None else value.at_ms
        value = replace(value, recording_id=tag["recording_id"], at_ms=at_ms)
    if value.recording_id is None:
        return value
    recording = recording_in(connection, value.recording_id)
    if value.at_ms is not None:
        check_range(value.at_ms, value.at_ms + 1, recording.duration_ms + 1)
    session = stored(connection, schema.session, recording.session_id) or {}
    at_ms = 0 if value.at_ms is None else value.at_ms
    reed_id = value.reed_id or (tag or {}).get("reed_id") or hand_in(connection, recording, at_ms)
    return replace(value, taken_on=value.taken_on or session.get("date"), reed_id=reed_id)


class Readings(Shelf[Reading]):
    table = schema.reading
    from_row = staticmethod(codec.reading_from)
    order = ("taken_on", "recording_id", "at_ms", "id")

    def check(self, connection: Connection, value: Reading) -> Reading:
        check_reading(value)
        value = _placed(connection, value)
        reed = reed_in(connection, value.reed_id)
        words = reed_words(reed)
        words.check("zones", value.zone)
        words.check("blades", value.blade)
        words.check("sides", value.side)
        return value

    def of_reed(self, reed_id: int) -> list[Reading]:
        """The readings of a reed, in the order in which they were taken."""
        places = self.library.recordings.in_time()
        found = self.where(schema.reading.c.reed_id == reed_id)
        return sorted(
            found, key=lambda one: (one.taken_on or "", places.get(one.recording_id or 0, ()), one.at_ms or 0)
        )

    def of_recording(self, recording_id: int) -> list[Reading]:
        """The readings taken in a recording."""
        return self.where(schema.reading.c.recording_id == recording_id)

    def last_units(self) -> dict[str, str]:
        """The unit in which each quantity was stored last."""
        table = schema.reading
        newest = select(func.max(table.c.id)).group_by(table.c.quantity)
        with self.library.reading() as connection:
            rows = connection.execute(select(table.c.quantity, table.c.unit).where(table.c.id.in_(newest)))
            return {row.quantity: row.unit for row in rows}

    def of_session(self, session_id: int) -> list[Reading]:
        """The readings taken in a session's recordings."""
        ids = select(schema.recording.c.id).where(schema.recording.c.session_id == session_id)
        return self.where(schema.reading.c.recording_id.in_(ids))


class Corrections(OfRecording[Correction]):
    table = schema.correction
    from_row = staticmethod(codec.correction_from)

    def check(self, connection: Connection, value: Correction) -> Correction:
        check_range(value.start_ms, value.end_ms, recording_in(connection, value.recording_id).duration_ms)
        return value
