"""The recordings, with the sounds and cards found in them."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from sqlalchemy import delete, insert, select

from annotate.errors import BadInput, NotFound
from annotate.library import codec, schema
from annotate.library.cards import see_cards
from annotate.library.following import follow_reed, keep_order
from annotate.library.in_hand import Shown, hand_of, reed_at, reeds_shown
from annotate.library.journal import Edit
from annotate.library.rows import stored
from annotate.library.shelves.shelf import Shelf, short
from annotate.library.shelves.stored_in import recording_in
from annotate.model import CardShown, Recording, Sound
from annotate.vocabulary.counted import counted


class Recordings(Shelf[Recording]):
    table = schema.recording
    from_row = staticmethod(codec.recording_from)
    order = ("session_id", "position", "id")

    def named(self, value: Recording) -> str:
        """A recording by its name."""
        return f"recording {short(value.name)}"

    def add_all(self, values: Iterable[Recording], what: str = "") -> list[Recording]:
        """Store new recordings. No step of undo: the program works on them at once, and removing says what goes."""
        with self.library.writing() as connection:
            edit = Edit(connection)
            return [self.add_in(edit, value) for value in values]

    def change_in(self, edit: Edit, value: Recording) -> Recording:
        before, place = hand_of(edit.connection, value.id), stored(edit.connection, self.table, value.id)
        made = super().change_in(edit, value)
        if place and place["position"] != made.position:
            keep_order(edit, made.session_id, (made.id, made.position))
            made = recording_in(edit.connection, made.id)
        if unfit := follow_reed(edit, made.id, before):
            told = f"{counted(unfit, 'piece')} of its work {'is' if unfit == 1 else 'are'} told in words"
            raise BadInput(f"cannot be of that reed: {told} of another instrument", made.name, "Change those first.")
        return made

    def of_session(self, session_id: int) -> list[Recording]:
        """The recordings of a session, in order."""
        return self.where(schema.recording.c.session_id == session_id)

    def in_time(self) -> dict[int, tuple[str, int, int, int]]:
        """For each recording's id where it stands among all: day and id of its session, its place there, its id."""
        table, session = schema.recording, schema.session
        query = select(table.c.id, table.c.position, session.c.date, session.c.id.label("session_id")).join(session)
        with self.library.reading() as connection:
            rows = connection.execute(query)
            return {row.id: (row.date, row.session_id, row.position, row.id) for row in rows}

    def by_fingerprint(self, fingerprint: str) -> Recording | None:
        """The recording of that file, or None."""
        found = self.where(schema.recording.c.fingerprint == fingerprint)
        return found[0] if found else None

    def note_made(self, recording_id: int, **made: str | float) -> None:
        """Record what was made for a recording (paths of files, the language heard); no step of undo."""
        with self.library.writing() as connection:
            connection.execute(schema.recording.update().where(schema.recording.c.id == recording_id).values(**made))

    def file(self, recording: Recording) -> Path:
        """The path of the original file."""
        return self.library.path(recording.path) if recording.is_kept else Path(recording.path)

    def sounds(self, recording_id: int) -> list[Sound]:
        """The sounds heard in a recording, in order."""
        table = schema.sound
        query = select(table).where(table.c.recording_id == recording_id).order_by(table.c.start_ms)
        with self.library.reading() as connection:
            return [Sound(r.start_ms, r.end_ms, r.kind, r.confidence) for r in connection.execute(query)]

    def cards(self, recording_id: int) -> list[CardShown]:
        """The reed cards seen in a recording, in order."""
        table = schema.card
        query = select(table).where(table.c.recording_id == recording_id).order_by(table.c.start_ms)
        with self.library.reading() as connection:
            return [CardShown(row.start_ms, row.end_ms, row.name, row.reed_id) for row in connection.execute(query)]

    def card_reeds(self) -> list[tuple[int, int]]:
        """Which reeds' cards were seen: recording's id and reed's id, each pair once."""
        table = schema.card
        query = select(table.c.recording_id, table.c.reed_id).where(table.c.reed_id.is_not(None)).distinct()
        with self.library.reading() as connection:
            return [(row.recording_id, row.reed_id) for row in connection.execute(query)]

    def reeds_shown(self, recording_id: int) -> list[Shown]:
        """The reeds of this library whose cards were seen: moment and reed's id, in order."""
        with self.library.reading() as connection:
            return reeds_shown(connection, recording_id)

    def reed_at(self, recording: Recording, at_ms: int) -> int | None:
        """The reed in hand at a moment: the one whose card was shown last, else the recording's."""
        return reed_at(recording, self.reeds_shown(recording.id), at_ms)

    def first_reed(self, recording: Recording) -> int | None:
        """The recording's reed, else the first one whose card was seen."""
        if recording.reed_id is not None:
            return recording.reed_id
        return next((reed_id for _, reed_id in self.reeds_shown(recording.id)), None)

    def see_cards(self, recording_id: int, cards: Iterable[CardShown]) -> None:
        """Replace the cards seen in a recording; work that was of no other reed is of theirs."""
        with self.library.journal.edit("gave work the reed whose card was seen") as edit:
            see_cards(edit, recording_id, cards)

    def measures(self, recording_id: int) -> list[dict[str, Any]]:
        """Sounds with what was measured in them (``measures``: notes or a crow), in order."""
        table = schema.sound
        query = select(table).where(table.c.recording_id == recording_id).order_by(table.c.start_ms)
        with self.library.reading() as connection:
            return [dict(row._mapping) for row in connection.execute(query)]

    def measure(self, sound_id: int) -> dict[str, Any]:
        """One sound with what was measured in it, or NotFound."""
        table = schema.sound
        with self.library.reading() as connection:
            row = connection.execute(select(table).where(table.c.id == sound_id)).first()
        if row is None:
            raise NotFound(
                f"There is no sound {sound_id} in the library", next_step="Its recording may have been heard anew."
            )
        return dict(row._mapping)

    def hear(self, recording_id: int, sounds: Iterable[tuple[Sound, Any]]) -> None:
        """Replace the sounds of a recording, each with its measures (plain data)."""
        table = schema.sound
        with self.library.writing() as connection:
            connection.execute(delete(table).where(table.c.recording_id == recording_id))
            for sound, measures in sounds:
                connection.execute(
                    insert(table).values(
                        recording_id=recording_id,
                        start_ms=sound.start_ms,
                        end_ms=sound.end_ms,
                        kind=sound.kind,
                        confidence=sound.confidence,
                        measures=measures,
                    )
                )
