"""What follows from a change of a session or a recording, in the same step of undo.

Readings follow the day of their session, and work follows the reed that was in hand
at its moment, where they were of the old day or the old reed: what the maker set
otherwise stays. The recordings of a session keep one order, whichever is moved.
"""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, Table, select

from annotate.errors import BadWord
from annotate.library import schema
from annotate.library.codec import Row
from annotate.library.in_hand import Hand, hand_of
from annotate.library.journal import Edit
from annotate.library.reed_words import check_words, reed_words

WORK = (schema.tag, schema.reading, schema.plan)  # what is of a reed, in a recording


def follow_day(edit: Edit, session_id: int, old: str, new: str) -> None:
    """Readings of a session that were taken on its old day are of its new one."""
    reading = schema.reading
    here = select(schema.recording.c.id).where(schema.recording.c.session_id == session_id)
    for row in _rows(edit.connection, reading, reading.c.recording_id.in_(here), reading.c.taken_on == old):
        edit.change(reading, {**row, "taken_on": new})


def follow_reed(edit: Edit, recording_id: int, before: Hand) -> int:
    """Work that was of the reed in hand ``before`` is of the one in hand now.

    What is told in words that the new reed does not have stays as it is; gives how many that are.
    """
    connection, unfit = edit.connection, 0
    after = hand_of(connection, recording_id)
    ends = {
        row["id"]: row["end_ms"] for row in _rows(connection, schema.tag, schema.tag.c.recording_id == recording_id)
    }
    for table in WORK if after != before else ():
        for row in _rows(connection, table, table.c.recording_id == recording_id):
            at_ms = _moment(row, ends)
            wanted = {**row, "reed_id": after.at(at_ms)}
            if row["reed_id"] != before.at(at_ms) or wanted == row:
                continue
            if fits(connection, wanted):
                edit.change(table, wanted)
            else:
                unfit += 1
    return unfit


def keep_order(edit: Edit, session_id: int, moved: tuple[int, int] | None = None) -> None:
    """Number the recordings of a session from 0 on; ``moved`` is the id of one and the place it goes to."""
    recording = schema.recording
    rows = list(_rows(edit.connection, recording, recording.c.session_id == session_id))
    rows.sort(key=lambda row: (row["position"], row["id"]))
    if moved is not None:
        own = next(row for row in rows if row["id"] == moved[0])
        rows.remove(own)
        rows.insert(max(moved[1], 0), own)
    for place, row in enumerate(rows):
        if row["position"] != place:
            edit.change(recording, {**row, "position": place})


def fits(connection: Connection, row: Row) -> bool:
    """Whether the words of a piece of work are those of its reed."""
    reed = connection.execute(select(schema.reed).where(schema.reed.c.id == row["reed_id"])).first()
    try:
        check_words(reed_words(reed), row)
    except BadWord:
        return False
    return True


def unfit_of(connection: Connection, reed_id: int) -> int:
    """How many pieces of a reed's work are told in words that its instrument has not."""
    rows = [row for table in WORK for row in _rows(connection, table, table.c.reed_id == reed_id)]
    return sum(not fits(connection, row) for row in rows)


def _moment(row: Row, ends: dict[int, int]) -> int:
    """When the reed of a piece of work is looked for: at the end of a tag, and so of what was read with it."""
    if "end_ms" in row:
        return int(row["end_ms"])
    return int(ends.get(row.get("tag_id") or 0, row["at_ms"] or 0))


def _rows(connection: Connection, table: Table, *conditions: object) -> Iterator[Row]:
    query = select(table).where(*conditions).order_by(table.c.id)  # type: ignore[arg-type]
    return (dict(row._mapping) for row in connection.execute(query).all())
