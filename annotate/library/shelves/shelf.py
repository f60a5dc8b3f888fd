"""One kind of value in the library: got, added, changed, removed, each change a step of undo."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from textwrap import shorten
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from sqlalchemy import Connection, Table, select

from annotate.errors import NotFound
from annotate.library import codec, schema
from annotate.library.codec import Row
from annotate.library.journal import Edit
from annotate.model import (
    Correction,
    LeftWord,
    Lesson,
    Line,
    Mark,
    Plan,
    Reading,
    Recording,
    Reed,
    Session,
    Suggestion,
    Tag,
)

if TYPE_CHECKING:
    from annotate.library.store import Library

LONGEST_NAME = 60  # characters of a title in the name of a step of undo

T = TypeVar("T", Reed, Session, Recording, Line, Tag, Reading, Correction, Suggestion, Plan, Mark, Lesson, LeftWord)


def short(name: str) -> str:
    """A title as the name of a step of undo can hold it."""
    return shorten(name, LONGEST_NAME, placeholder=" …")


class Shelf(Generic[T]):
    """Values of one kind: get, add, change, remove; every change can be undone."""

    table: Table
    from_row: Callable[[Row], T]
    order: tuple[str, ...] = ("id",)

    def named(self, value: T) -> str:
        """What a step of undo calls a value: its own name where it has one."""
        return f"a {self.table.name}"

    def __init__(self, library: Library) -> None:
        self.library = library

    def check(self, connection: Connection, value: T) -> T:
        """Raise if the value does not fit what is in the library; may fill in what follows from it."""
        return value

    def get(self, value_id: int) -> T:
        """The value of that id, or NotFound."""
        found = self.where(self.table.c.id == value_id)
        if not found:
            raise NotFound(f"There is no {self.table.name} {value_id} in the library")
        return found[0]

    def find(self, value_id: int) -> T | None:
        """The value of that id, or None when it is not there (any more)."""
        return next(iter(self.where(self.table.c.id == value_id)), None)

    def all(self) -> list[T]:
        """Every value, in the shelf's order."""
        return self.where()

    def where(self, *conditions: Any) -> list[T]:
        """The values that meet the conditions, in the shelf's order."""
        query = select(self.table).where(*conditions).order_by(*(self.table.c[name] for name in self.order))
        with self.library.reading() as connection:
            return [type(self).from_row(dict(row._mapping)) for row in connection.execute(query)]

    def add(self, value: T) -> T:
        """Store a new value; gives it back with its id."""
        return self.add_all([value])[0]

    def add_all(self, values: Iterable[T], what: str = "") -> list[T]:
        """Store several values as one step of undo."""
        values = list(values)
        told = self.named(values[0]) if len(values) == 1 else f"a {self.table.name}"
        with self.library.journal.edit(what or f"added {told}") as edit:
            return [self.add_in(edit, value) for value in values]

    def add_in(self, edit: Edit, value: T) -> T:
        """Store a new value as part of a larger step of undo."""
        return type(self).from_row(edit.add(self.table, codec.row_of(self.check(edit.connection, value))))

    def change(self, value: T) -> T:
        """Store a changed value; ChangedElsewhere when its version is no longer the stored one."""
        return self.change_all([value], f"changed {self.named(value)}")[0]

    def change_all(self, values: Iterable[T], what: str) -> list[T]:
        """Store several changed values as one step of undo, named ``what``."""
        with self.library.journal.edit(what) as edit:
            return [self.change_in(edit, value) for value in values]

    def change_in(self, edit: Edit, value: T) -> T:
        """Store a changed value as part of a larger step of undo."""
        return type(self).from_row(edit.change(self.table, codec.row_of(self.check(edit.connection, value))))

    def remove(self, value_id: int) -> None:
        """Take a value out; undo brings it back."""
        gone = self.find(value_id)
        with self.library.journal.edit(f"removed {self.named(gone) if gone else f'a {self.table.name}'}") as edit:
            edit.remove(self.table, value_id)


class OfRecording(Shelf[T]):
    """Values that lie on the time of a recording."""

    order = ("recording_id", "start_ms", "id")
    shown: tuple[Any, ...] = ()  # conditions without which a value is kept and not shown

    def of_recording(self, recording_id: int) -> list[T]:
        """The values of a recording, in order of time."""
        return self.where(self.table.c.recording_id == recording_id, *self.shown)

    def of_session(self, session_id: int) -> list[T]:
        """The values of all recordings of a session."""
        ids = select(schema.recording.c.id).where(schema.recording.c.session_id == session_id)
        return self.where(self.table.c.recording_id.in_(ids), *self.shown)

    def versions(self, session_id: int) -> dict[int, int]:
        """The version of each value of a session, by id: tells an open page cheaply what has changed."""
        ids = select(schema.recording.c.id).where(schema.recording.c.session_id == session_id)
        query = select(self.table.c.id, self.table.c.version).where(self.table.c.recording_id.in_(ids), *self.shown)
        with self.library.reading() as connection:
            return {row.id: row.version for row in connection.execute(query)}
