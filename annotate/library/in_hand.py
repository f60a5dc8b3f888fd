"""Which reed was in hand at a moment: the one whose card was shown last, else the recording's own."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection, select

from annotate.library import schema
from annotate.model import Recording

Shown = tuple[int, int]  # moment (ms) at which a card of the library's reeds was shown, id of the reed


def reeds_shown(connection: Connection, recording_id: int) -> list[Shown]:
    """The reeds of the library whose cards were seen in a recording, in order of time."""
    card, reed = schema.card, schema.reed
    query = (
        select(card.c.start_ms, reed.c.id)
        .join(reed, card.c.name == reed.c.name)
        .where(card.c.recording_id == recording_id)
        .order_by(card.c.start_ms)
    )
    return [(row.start_ms, row.id) for row in connection.execute(query)]


def reed_at(recording: Recording, shown: Sequence[Shown], at_ms: int) -> int | None:
    """The reed in hand at a moment of a recording, when these cards were ``shown``."""
    return next((reed_id for start_ms, reed_id in reversed(shown) if start_ms <= at_ms), recording.reed_id)
