"""Small reading of what the database driver gives back."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, CursorResult, Table, select


def new_id(result: CursorResult[Any]) -> int:
    """The id of the row an insert made."""
    key = result.inserted_primary_key
    assert key is not None
    return int(key[0])


def stored(connection: Connection, table: Table, row_id: int) -> dict[str, Any] | None:
    """A row as a dictionary, or None."""
    row = connection.execute(select(table).where(table.c.id == row_id)).first()
    return None if row is None else dict(row._mapping)
