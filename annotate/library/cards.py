"""Whose reed a seen card is: that of its name when it was seen, whatever the reed is called later.

A card of a name that no reed had waits; the reed that is given the name later takes it, in the same step of undo.
"""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import Connection, delete, insert, select

from annotate.library import schema
from annotate.library.journal import Edit
from annotate.model import CardShown


def see_cards(connection: Connection, recording_id: int, cards: Iterable[CardShown]) -> None:
    """Replace the cards seen in a recording; one that was known to be of a reed stays of that reed."""
    card, reed = schema.card, schema.reed
    own = card.c.recording_id == recording_id
    reed_of = {row.name: row.id for row in connection.execute(select(reed.c.name, reed.c.id))}
    known = connection.execute(select(card.c.name, card.c.reed_id).where(own, card.c.reed_id.is_not(None)))
    reed_of |= {row.name: row.reed_id for row in known}
    connection.execute(delete(card).where(own))
    for one in cards:
        row = {"start_ms": one.start_ms, "end_ms": one.end_ms, "name": one.name, "reed_id": reed_of.get(one.name)}
        connection.execute(insert(card).values(recording_id=recording_id, version=1, **row))


def take_waiting(edit: Edit, reed_id: int, name: str) -> list[int]:
    """Give a reed the cards of its name that wait; gives the recordings they were seen in."""
    card = schema.card
    waiting = select(card).where(card.c.name == name, card.c.reed_id.is_(None)).order_by(card.c.id)
    rows = [dict(row._mapping) for row in edit.connection.execute(waiting)]
    for row in rows:
        edit.change(card, {**row, "reed_id": reed_id})
    return list(dict.fromkeys(int(row["recording_id"]) for row in rows))


def let_go(edit: Edit, reed_id: int) -> None:
    """Let the cards of a reed that is taken out wait again."""
    card = schema.card
    for row in edit.connection.execute(select(card).where(card.c.reed_id == reed_id)).all():
        edit.change(card, {**dict(row._mapping), "reed_id": None})
