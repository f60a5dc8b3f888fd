"""Whose reed a seen card is: that of its name when it was seen, whatever the reed is called later.

A card of a name that no reed had waits; the reed that is given the name later takes it, in the same step of undo.
"""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import delete, insert, select

from annotate.library import index, schema
from annotate.library.following import follow_reed
from annotate.library.in_hand import hand_of
from annotate.library.journal import Edit
from annotate.model import CardShown, Reed


def see_cards(edit: Edit, recording_id: int, cards: Iterable[CardShown]) -> None:
    """Replace the cards seen in a recording; one that was known to be of a reed stays of that reed.

    The cards are the program's own find and no step of undo; that work follows them is one.
    """
    card, reed, connection = schema.card, schema.reed, edit.connection
    before = hand_of(connection, recording_id)
    own = card.c.recording_id == recording_id
    reed_of = {row.name: row.id for row in connection.execute(select(reed.c.name, reed.c.id))}
    known = connection.execute(select(card.c.name, card.c.reed_id).where(own, card.c.reed_id.is_not(None)))
    reed_of |= {row.name: row.reed_id for row in known}
    connection.execute(delete(card).where(own))
    for one in cards:
        row = {"start_ms": one.start_ms, "end_ms": one.end_ms, "name": one.name, "reed_id": reed_of.get(one.name)}
        connection.execute(insert(card).values(recording_id=recording_id, version=1, **row))
    index.refresh(connection, "recording", recording_id)
    follow_reed(edit, recording_id, before)


def take_waiting(edit: Edit, reed: Reed) -> None:
    """Give a reed the cards of its name that wait, and the work that follows."""
    card = schema.card
    waiting = select(card).where(card.c.name == reed.name, card.c.reed_id.is_(None)).order_by(card.c.id)
    rows = [dict(row._mapping) for row in edit.connection.execute(waiting)]
    before = {row["recording_id"]: hand_of(edit.connection, row["recording_id"]) for row in rows}
    for row in rows:
        edit.change(card, {**row, "reed_id": reed.id})
    for recording_id, hand in before.items():
        follow_reed(edit, recording_id, hand)


def let_go(edit: Edit, reed_id: int) -> None:
    """Let the cards of a reed that is taken out wait again."""
    card = schema.card
    for row in edit.connection.execute(select(card).where(card.c.reed_id == reed_id)).all():
        edit.change(card, {**dict(row._mapping), "reed_id": None})
