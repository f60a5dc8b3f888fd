"""Every change the maker makes, kept so that it can be undone.

All writes to the maker's tables go through ``Journal.edit``: it checks the
version (so that two windows never overwrite each other), stores the row
before and after, and keeps the search index in step, in one transaction.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import ColumnElement, Connection, Table, delete, insert, select, update
from sqlalchemy import Row as EditRow
from sqlalchemy.exc import IntegrityError

from annotate.errors import AlreadyThere, BadInput, ChangedElsewhere, NotFound
from annotate.library import index, schema
from annotate.library.codec import Row
from annotate.library.rows import new_id, stored

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


class Journal:
    """Makes, undoes and redoes edits."""

    def __init__(self, library: Library) -> None:
        self._library = library

    @contextmanager
    def edit(self, what: str) -> Iterator[Edit]:
        """One step of undo; ``what`` says it in words ("added a tag")."""
        with self._library.writing() as connection:
            edit = Edit(connection)
            yield edit
            if edit.rows:
                self._store(connection, what, edit)

    def undo(self, session_id: int | None = None) -> str:
        """Take back the last edit (of one session, or of the whole library); gives what it was."""
        return self._step(session_id, undo=True)

    def redo(self, session_id: int | None = None) -> str:
        """Do again what was undone last; gives what it was."""
        return self._step(session_id, undo=False)

    def _step(self, session_id: int | None, *, undo: bool) -> str:
        table = schema.edit
        query = select(table).where(table.c.is_undone == (not undo))
        if session_id is not None:
            query = query.where(table.c.session_id == session_id)
        query = query.order_by(table.c.id.desc() if undo else table.c.id.asc())
        staying: list[str] = []
        with self._library.writing() as connection:
            while (found := connection.execute(query.offset(len(staying)).limit(1)).first()) is not None:
                if _replay(connection, found, undo=undo):
                    connection.execute(update(table).where(table.c.id == found.id).values(is_undone=undo))
                    return f"{found.what}{f' ({_stays(staying)})' if staying else ''}"
                staying.append(str(found.what))
            because = f": {_stays(staying)}" if staying else ""
            raise NotFound(f"There is nothing to {'undo' if undo else 'do again'}{because}")

    def _store(self, connection: Connection, what: str, edit: Edit) -> None:
        table = schema.edit
        gone = delete(table).where(table.c.is_undone)
        if edit.session_id is not None:
            gone = gone.where(table.c.session_id == edit.session_id)
        connection.execute(gone)  # a new edit closes the way forward
        result = connection.execute(
            insert(table).values(session_id=edit.session_id, what=what, rows=edit.rows, is_undone=False, made_at=now())
        )
        connection.execute(delete(table).where(table.c.id <= new_id(result) - KEPT_EDITS))


def _replay(connection: Connection, step: EditRow[Any], *, undo: bool) -> bool:
    """Bring the rows of a step back (or forward); False for an addition that later rows rest on: that one stays."""
    try:
        with connection.begin_nested():
            for row in reversed(step.rows) if undo else step.rows:
                _put(connection, row, "before" if undo else "after", "after" if undo else "before")
    except IntegrityError as error:
        if undo and all(row["before"] is None for row in step.rows):
            return False
        raise _entangled(str(step.what), undo=undo) from error
    return True


def _stays(staying: list[str]) -> str:
    named = ", ".join(f"“{what}”" for what in dict.fromkeys(staying))
    return f"{named} stays, for later work rests on it"


def _entangled(what: str, *, undo: bool) -> BadInput:
    """The sentence for a step that the tables forbid by now."""
    return BadInput(
        f"“{what}” cannot be {'taken back' if undo else 'done again'}: something that came later refers to it, "
        "or something it refers to is gone",
        next_step="Remove or bring back the other by hand.",
    )


def _put(connection: Connection, row: dict[str, Any], wanted: str, expected: str) -> None:
    """Bring one row to its ``wanted`` form, if what the edit touched still is as the edit left it."""
    table = schema.metadata.tables[row["table"]]
    current, target = stored(connection, table, row["id"]), row[wanted]
    touched = _touched(row)
    if _only(current, touched) != _only(row[expected], touched):
        raise ChangedElsewhere(
            "has been changed since",
            f"{row['table']} {row['id']}",
            "Remove it on its page." if target is None else "Undo the later change first.",
            theirs=current or {},
            yours=target or {},
        )
    if target is None:
        connection.execute(delete(table).where(table.c.id == row["id"]))
    elif current is None:
        connection.execute(insert(table).values(target))
    else:
        # Only what the edit touched: the program notes its own finds in the same row (a waveform, a language).
        values = {**{name: target[name] for name in touched}, "version": current["version"] + 1}
        connection.execute(update(table).where(table.c.id == row["id"]).values(values))
    index.refresh(connection, row["table"], row["id"])


def _touched(row: dict[str, Any]) -> set[str]:
    """The columns that an edit changed in a row, or all when it added or removed it; never the version."""
    before, after = row["before"], row["after"]
    names = set(before or after) - {"version"}
    return names if before is None or after is None else {name for name in names if before[name] != after[name]}


def _only(row: Row | None, names: set[str]) -> Row | None:
    return None if row is None else {name: row[name] for name in names}
