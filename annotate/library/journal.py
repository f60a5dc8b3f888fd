"""Every change the maker makes, kept so that it can be undone.

All writes to the maker's tables go through ``Journal.edit``: it checks the
version (so that two windows never overwrite each other), stores the row
before and after, and keeps the search index in step, in one transaction.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import ColumnElement, Connection, Table, delete, insert, select, update
from sqlalchemy import Row as EditRow
from sqlalchemy.exc import IntegrityError

from annotate.errors import AlreadyThere, BadInput, ChangedElsewhere, NotFound
from annotate.library import index, schema, steps
from annotate.library.codec import Row
from annotate.library.rows import new_id, stored
from annotate.library.steps import Place, Step

if TYPE_CHECKING:
    from annotate.library.store import Library

KEPT_EDITS = 10_000  # how many edits can be undone; older ones are forgotten


def now() -> str:
    """This moment, ISO 8601 in UTC to the millisecond."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


@dataclass
class Edit:
    """One change in the making: several rows, one step of undo."""

    connection: Connection
    rows: list[dict[str, Any]] = field(default_factory=list)
    session_id: int | None = None

    def add(self, table: Table, row: Row) -> Row:
        """Insert a row; gives it back with its id."""
        values = {**row, "version": 1}
        if not values.get("id"):
            values.pop("id", None)
        try:
            result = self.connection.execute(insert(table).values(values))
        except IntegrityError as error:
            raise _clash(table, values, self.connection) from error
        return self._note(table, new_id(result), None)

    def change(self, table: Table, row: Row) -> Row:
        """Update the row of the same id, if its version is the one the writer saw."""
        before = self._before(table, row["id"])
        if before["version"] != row["version"]:
            raise ChangedElsewhere(
                "was changed in another window",
                f"{table.name} {row['id']}",
                "Look at both versions and save again.",
                theirs=before,
                yours=row,
            )
        values = {**row, "version": before["version"] + 1}
        if {**before, "version": values["version"]} == values:
            return before
        try:
            self.connection.execute(update(table).where(table.c.id == row["id"]).values(values))
        except IntegrityError as error:
            raise _clash(table, values, self.connection) from error
        return self._note(table, row["id"], before)

    def remove(self, table: Table, row_id: int) -> None:
        """Delete a row."""
        before = self._before(table, row_id)
        self.connection.execute(delete(table).where(table.c.id == row_id))
        self._note(table, row_id, before)

    def _before(self, table: Table, row_id: int) -> Row:
        before = stored(self.connection, table, row_id)
        if before is None:
            raise NotFound("is not in the library", f"{table.name} {row_id}", "It may have been removed.")
        return before

    def _note(self, table: Table, row_id: int, before: Row | None) -> Row:
        after = stored(self.connection, table, row_id)
        self.rows.append({"table": table.name, "id": row_id, "before": before, "after": after})
        index.refresh(self.connection, table.name, row_id)
        self.session_id = self.session_id or session_of(self.connection, table.name, after or before or {})
        return after or {}


def session_of(connection: Connection, table: str, row: Row) -> int | None:
    """The session a row belongs to, or None."""
    if table == "session":
        return int(row["id"])
    if row.get("session_id"):
        return int(row["session_id"])
    if row.get("recording_id"):
        found = stored(connection, schema.recording, row["recording_id"])
        return None if found is None else int(found["session_id"])
    return None


def _clash(table: Table, values: Row, connection: Connection) -> Exception:
    """The sentence for a broken rule of the tables."""
    if table.name == "reed":
        other = _other(connection, schema.reed, schema.reed.c.name == values["name"], values)
        if other:
            return AlreadyThere("is the id of another reed", values["name"], "Choose another id.", other)
    if table.name == "recording":
        other = _other(connection, schema.recording, schema.recording.c.fingerprint == values["fingerprint"], values)
        if other:
            return AlreadyThere("is already in the library", values["name"], f"It is recording {other}.", other)
    for key in sorted(table.foreign_keys, key=lambda key: key.parent.name):
        wanted = values.get(key.parent.name)
        if wanted is not None and stored(connection, key.column.table, wanted) is None:
            return NotFound(f"There is no {key.column.table.name} {wanted} in the library")
    return NotFound(
        "refers to something that is not in the library", f"{table.name}", "Check the reed, session or recording."
    )


def _other(connection: Connection, table: Table, same: ColumnElement[bool], values: Row) -> int | None:
    """Another row than the one at hand that meets the condition."""
    query = select(table.c.id).where(same, table.c.id != (values.get("id") or 0))
    return connection.execute(query).scalar()


_following: ContextVar[list[int] | None] = ContextVar("following", default=None)


def follow() -> list[int]:
    """A list that takes up the id of each step made from now on in this thread: what one request has changed."""
    made: list[int] = []
    _following.set(made)
    return made


class Journal:
    """Makes, undoes and redoes edits."""

    def __init__(self, library: Library) -> None:
        self._library = library

    @contextmanager
    def edit(self, what: str) -> Iterator[Edit]:
        """One step of undo; ``what`` says it in words ("added a tag")."""
        made = None
        with self._library.writing() as connection:
            edit = Edit(connection)
            yield edit
            if edit.rows:
                made = self._store(connection, what, edit)
        if made is not None and (followed := _following.get()) is not None:
            followed.append(made)

    def next(self, place: Place, *, undo: bool) -> Step:
        """The step that would be taken back (or done again) next; NotFound when there is none."""
        with self._library.reading() as connection:
            found = connection.execute(steps.of_place(place, undo=undo).limit(1)).first()
        if found is None:
            raise _nothing(undo=undo)
        return Step(found.id, found.what, found.session_id, found.made_at)

    def undo(self, session_id: int | None = None, place: Place | None = None) -> str:
        """Take back the last edit (of one session or other place, or of the whole library); gives what it was."""
        return self._step(place or Place(session_id), undo=True)

    def redo(self, session_id: int | None = None, place: Place | None = None) -> str:
        """Do again what was undone last; gives what it was."""
        return self._step(place or Place(session_id), undo=False)

    def undo_step(self, step_id: int) -> str:
        """Take back one step and no other; gives what it was. StepStays when what it touched was changed since."""
        return self._one(step_id, undo=True)

    def redo_step(self, step_id: int) -> str:
        """Do one step again and no other; gives what it was."""
        return self._one(step_id, undo=False)

    def leave(self, step_id: int) -> str:
        """Leave a step as it is: what it did stays, and undo goes on to the others; gives what it was."""
        with self._library.writing() as connection:
            found = _found(connection, step_id)
            connection.execute(delete(schema.edit).where(schema.edit.c.id == step_id))
        return str(found.what)

    def _one(self, step_id: int, *, undo: bool) -> str:
        with self._library.writing() as connection:
            found = _found(connection, step_id)
            if found.is_undone == undo:
                done = "taken back" if undo else "done again"
                raise BadInput(f"“{found.what}” is {done} already")
            if not steps.replay(connection, found, undo=undo):
                raise steps.blocked(found)
            _mark(connection, found, undo=undo)
        return str(found.what)

    def _step(self, place: Place, *, undo: bool) -> str:
        query = steps.of_place(place, undo=undo)
        staying: list[str] = []
        with self._library.writing() as connection:
            while (found := connection.execute(query.offset(len(staying)).limit(1)).first()) is not None:
                if steps.replay(connection, found, undo=undo):
                    _mark(connection, found, undo=undo)
                    return f"{found.what}{f' ({_stays(staying)})' if staying else ''}"
                staying.append(str(found.what))
            raise _nothing(f": {_stays(staying)}" if staying else "", undo=undo)

    def _store(self, connection: Connection, what: str, edit: Edit) -> int:
        table = schema.edit
        steps.close_way(connection, edit.session_id, edit.rows)
        result = connection.execute(
            insert(table).values(session_id=edit.session_id, what=what, rows=edit.rows, is_undone=False, made_at=now())
        )
        connection.execute(delete(table).where(table.c.id <= new_id(result) - KEPT_EDITS))
        return new_id(result)


def _found(connection: Connection, step_id: int) -> EditRow[Any]:
    found = connection.execute(select(schema.edit).where(schema.edit.c.id == step_id)).first()
    if found is None:
        raise NotFound(f"There is no step {step_id} to take back", next_step="A later change or a choice closed it.")
    return found


def _mark(connection: Connection, step: EditRow[Any], *, undo: bool) -> None:
    connection.execute(update(schema.edit).where(schema.edit.c.id == step.id).values(is_undone=undo))


def _nothing(because: str = "", *, undo: bool) -> NotFound:
    return NotFound(f"There is nothing to {'undo' if undo else 'do again'}{because}")


def _stays(staying: list[str]) -> str:
    named = ", ".join(f"“{what}”" for what in dict.fromkeys(staying))
    return f"{named} stays, for later work rests on it"
