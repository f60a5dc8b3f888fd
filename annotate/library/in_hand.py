"""Which reed was in hand at a moment: the one whose card was shown last, else the recording's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, select

from annotate.library import schema
from annotate.library.rows import stored
from annotate.model import Recording

Shown = tuple[int, int]  # moment (ms) at which a card of the library's reeds was shown, id of the reed


@dataclass(frozen=True)
class Hand:
    """Whose reed was in hand in a recording: its own, until the first card is shown."""

    reed_id: int | None
    shown: tuple[Shown, ...]

    def at(self, at_ms: int) -> int | None:
        """The reed in hand at a moment."""
        return next((reed_id for start_ms, reed_id in reversed(self.shown) if start_ms <= at_ms), self.reed_id)


def hand_of(connection: Connection, recording_id: int) -> Hand:
    """Whose reed is in hand in a recording, as the library knows it now."""
    row = stored(connection, schema.recording, recording_id)
    return Hand(row["reed_id"] if row else None, tuple(reeds_shown(connection, recording_id)))


def reeds_shown(connection: Connection, recording_id: int) -> list[Shown]:
    """The reeds of the library whose cards were seen in a recording, in order of time."""
    card = schema.card
    query = (
        select(card.c.start_ms, card.c.reed_id)
        .where(card.c.recording_id == recording_id, card.c.reed_id.is_not(None))
        .order_by(card.c.start_ms)
    )
    return [(row.start_ms, row.reed_id) for row in connection.execute(query)]


def reed_at(recording: Recording, shown: Sequence[Shown], at_ms: int) -> int | None:
    """The reed in hand at a moment of a recording, when these cards were ``shown``."""
    return Hand(recording.reed_id, tuple(shown)).at(at_ms)
