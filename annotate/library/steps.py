"""Steps of the journal: where they were made, how they are taken back or done again, and truthfully why not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Select, delete, exists, func, insert, or_, select, update
from sqlalchemy import Row as EditRow
from sqlalchemy.exc import IntegrityError

from annotate.errors import StepStays
from annotate.library import index, schema
from annotate.library.codec import Row
from annotate.library.rows import stored

# Columns whose name says less than the maker knows the value by.
_SAID = {"is_done": "mark of being done", "is_kept": "place of the file", "made_at": "moment"}


@dataclass(frozen=True)
class Place:
    """Whose steps are meant: of one session, of one lesson, about one reed, or (nothing said) of the library."""

    session_id: int | None = None
    lesson_id: int | None = None
    reed_id: int | None = None


@dataclass(frozen=True)
class Step:
    """One change that can be taken back or done again: its id, and what it was in words."""

    id: int
    what: str
    session_id: int | None
    made_at: str


def of_place(place: Place, *, undo: bool) -> Select[Any]:
    """The steps of a place that can be taken back, newest first (or done again, oldest first)."""
    table = schema.edit
    query = select(table).where(table.c.is_undone == (not undo))
    if place.session_id is not None:
        query = query.where(table.c.session_id == place.session_id)
    entry = func.json_each(table.c.rows).table_valued("value")
    told = {
        key: func.json_extract(entry.c.value, f"$.{key}") for key in ("table", "id", "before.reed_id", "after.reed_id")
    }
    if place.lesson_id is not None:
        is_it = (told["table"] == "lesson") & (told["id"] == place.lesson_id)
        query = query.where(exists(select(1).select_from(entry).where(is_it)))
    if place.reed_id is not None:
        is_reed = (told["table"] == "reed") & (told["id"] == place.reed_id)
        names_it = or_(told["before.reed_id"] == place.reed_id, told["after.reed_id"] == place.reed_id)
        query = query.where(exists(select(1).select_from(entry).where(or_(is_reed, names_it))))
    return query.order_by(table.c.id.desc() if undo else table.c.id.asc())


def close_way(connection: Connection, session_id: int | None, rows: list[dict[str, Any]]) -> None:
    """A new change closes the way forward in its own place, and nowhere else."""
    table = schema.edit
    undone = select(table.c.id, table.c.rows).where(table.c.is_undone, table.c.session_id.is_(session_id))
    if session_id is not None:
        gone = [row.id for row in connection.execute(undone)]
    else:
        touched = set(_places(rows))
        gone = [row.id for row in connection.execute(undone) if touched & set(_places(row.rows))]
    connection.execute(delete(table).where(table.c.id.in_(gone)))


def _places(rows: Iterable[dict[str, Any]]) -> Iterator[tuple[str, int]]:
    """What the rows of a step are and whom they name, without a session: the row itself, and its reed."""
    for row in rows:
        yield row["table"], row["id"]
        for form in (row["before"] or {}, row["after"] or {}):
            if form.get("reed_id"):
                yield "reed", form["reed_id"]


def replay(connection: Connection, step: EditRow[Any], *, undo: bool) -> bool:
    """Bring the rows of a step back (or forward); False for an addition that later rows rest on: that one stays.

    Raises
    ------
    StepStays
        If what it touched was changed since, or the tables forbid it by now; nothing is changed then.
    """
    wanted, expected = ("before", "after") if undo else ("after", "before")
    try:
        with connection.begin_nested():
            for row in reversed(step.rows) if undo else step.rows:
                _put(connection, step, row, wanted, expected)
    except IntegrityError as error:
        if undo and all(row["before"] is None for row in step.rows):
            return False
        raise _stays(
            step,
            f"cannot be {_done(undo)}: something that came later refers to it, or something it refers to is gone",
            "Bring back or remove the other first, or leave this step.",
        ) from error
    return True


def _done(undo: bool) -> str:
    return "taken back" if undo else "done again"


def _put(connection: Connection, step: EditRow[Any], row: dict[str, Any], wanted: str, expected: str) -> None:
    """Bring one row to its ``wanted`` form, if what the edit touched still is as the edit left it."""
    table = schema.metadata.tables[row["table"]]
    current, target = stored(connection, table, row["id"]), row[wanted]
    touched = touched_by(row)
    if _only(current, touched) != _only(row[expected], touched):
        raise _changed_since(connection, step, row, current, expected)
    if target is None:
        connection.execute(delete(table).where(table.c.id == row["id"]))
    elif current is None:
        connection.execute(insert(table).values(target))
    else:
        # Only what the edit touched: the program notes its own finds in the same row (a waveform, a language).
        values = {**{name: target[name] for name in touched}, "version": current["version"] + 1}
        connection.execute(update(table).where(table.c.id == row["id"]).values(values))
    index.refresh(connection, row["table"], row["id"])


def touched_by(row: dict[str, Any]) -> set[str]:
    """The columns that an edit changed in a row, or all when it added or removed it; never the version."""
    before, after = row["before"], row["after"]
    names = set(before or after) - {"version"}
    return names if before is None or after is None else {name for name in names if before[name] != after[name]}


def _only(row: Row | None, names: set[str]) -> Row | None:
    return None if row is None else {name: row[name] for name in names}


def _changed_since(
    connection: Connection, step: EditRow[Any], row: dict[str, Any], current: Row | None, expected: str
) -> StepStays:
    """Which value of which row is another by now, and what made it so."""
    undo, left = expected == "after", row[expected]
    named = f"{row['table'].replace('_', ' ')} {row['id']}"
    differing = touched_by(row)
    if current is None:
        told = f"{named} is gone since"
    elif left is None:
        told = f"{named} is there again"
    else:
        differing = {name for name in differing if current[name] != left[name]}
        told = f"the {_named(differing)} of {named} {'was' if len(differing) == 1 else 'were'} changed since"
    by = _later(connection, step, row, differing, undo=undo)
    told += f", by “{by}”" if by else ", by work of the program or a step that was left"
    first = "Take that back first, or leave this step." if by else "Leave this step to go on to the others."
    return _stays(step, f"cannot be {_done(undo)}: {told}", first)


def _named(columns: set[str]) -> str:
    words = sorted(_SAID.get(name, name.removesuffix("_id").removesuffix("_ms").replace("_", " ")) for name in columns)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _later(connection: Connection, step: EditRow[Any], row: dict[str, Any], columns: set[str], *, undo: bool) -> str:
    """What the newest standing step was that touched these columns of the row after this step; "" for none.

    A step taken back is done again on what stood before it, so an older one may be what is in its way.
    """
    table = schema.edit
    query = select(table.c.what, table.c.rows).where(table.c.is_undone.is_(False), table.c.id != step.id)
    query = query.where(table.c.id > step.id) if undo else query
    for other in connection.execute(query.order_by(table.c.id.desc())):
        for touched in other.rows:
            same = (touched["table"], touched["id"]) == (row["table"], row["id"])
            if same and touched_by(touched) & columns:
                return str(other.what)
    return ""


def _stays(step: EditRow[Any], what: str, next_step: str) -> StepStays:
    return StepStays(f"“{step.what}” {what}", next_step=next_step, step_id=step.id)


def blocked(step: EditRow[Any]) -> StepStays:
    """The refusal for an addition on which later work rests."""
    return _stays(step, "cannot be taken back: later work rests on it", "Remove that work first, or leave this step.")
