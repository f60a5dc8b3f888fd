"""What a change looks up while it is being made."""

from __future__ import annotations

from sqlalchemy import Connection

from annotate.errors import NotFound
from annotate.library import codec, schema
from annotate.library.in_hand import reed_at, reeds_shown
from annotate.library.rows import stored
from annotate.model import Recording, Reed


def recording_in(connection: Connection, recording_id: int) -> Recording:
    """The recording of that id, or NotFound."""
    found = stored(connection, schema.recording, recording_id)
    if found is None:
        raise NotFound(f"There is no recording {recording_id} in the library")
    return codec.recording_from(found)


def hand_in(connection: Connection, recording: Recording, at_ms: int) -> int | None:
    """The reed in hand at a moment of a recording."""
    return reed_at(recording, reeds_shown(connection, recording.id), at_ms)


def reed_in(connection: Connection, reed_id: int | None) -> Reed | None:
    """The reed of that id, or NotFound; None for none."""
    if reed_id is None:
        return None
    found = stored(connection, schema.reed, reed_id)
    if found is None:
        raise NotFound(f"There is no reed {reed_id} in the library")
    return codec.reed_from(found)
