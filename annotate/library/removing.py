"""Takes a reed, recording or session out with everything that lies on it, as one step of undo.

The file of a recording stays where it is: undo must find it again, and an
original is never deleted.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import ColumnElement, Connection, Table, func, select

from annotate.errors import BadInput
from annotate.library import schema
from annotate.library.cards import let_go
from annotate.library.following import keep_order
from annotate.library.journal import Edit
from annotate.model import Recording, Reed, Session

if TYPE_CHECKING:
    from annotate.library.store import Library

# In this order: what points at a recording goes before it.
_ON_RECORDING = (
    *(schema.reading, schema.correction, schema.suggestion, schema.plan),
    *(schema.tag, schema.line, schema.sound, schema.card, schema.left_word),
)


def remove_reed(library: Library, reed_id: int) -> Reed:
    """Take out a reed that nothing refers to; BadInput when something does."""
    reed = library.reeds.get(reed_id)
    with library.journal.edit(f"removed reed {reed.name}") as edit:
        used = [
            f"{count} {table.name}{'' if count == 1 else 's'}"
            for table in (schema.tag, schema.reading, schema.recording, schema.plan, schema.mark)
            if (count := _count(edit.connection, table, reed_id))
        ]
        if used:
            raise BadInput(
                f"cannot be removed: {', '.join(used)} refer to it", reed.name, "Set its state to retired instead."
            )
        let_go(edit, reed_id)
        edit.remove(schema.reed, reed_id)
    return reed


def _count(connection: Connection, table: Table, reed_id: int) -> int:
    query = select(func.count()).select_from(table).where(table.c.reed_id == reed_id)
    return int(connection.execute(query).scalar_one())


def remove_recording(library: Library, recording_id: int) -> Recording:
    """Take out a recording with its lines, sounds, tags, readings and corrections; BadInput when a lesson shows it."""
    recording = library.recordings.get(recording_id)
    _refuse_if_shown(library, [recording])
    with library.journal.edit(f"removed recording {recording.name}") as edit:
        _remove(edit, recording)
        keep_order(edit, recording.session_id)
    _stop_work(library, {recording_id})
    return recording


def remove_session(library: Library, session_id: int) -> Session:
    """Take out a session with its recordings; BadInput when a lesson shows one of them."""
    session = library.sessions.get(session_id)
    recordings = library.recordings.of_session(session_id)
    _refuse_if_shown(library, recordings)
    with library.journal.edit(f"removed the session of {session.date}") as edit:
        for recording in recordings:
            _remove(edit, recording)
        _remove_rows(edit, schema.mark, schema.mark.c.session_id == session_id)
        edit.remove(schema.session, session_id)
    _stop_work(library, {recording.id for recording in recordings})
    return session


def _refuse_if_shown(library: Library, recordings: list[Recording]) -> None:
    names = {recording.id: recording.name for recording in recordings}
    for lesson in library.lessons.all():
        for recording_id in lesson.recording_ids:
            if recording_id in names:
                raise BadInput(
                    f"is shown in the lesson “{lesson.title}”",
                    names[recording_id],
                    "Take its clips out of the lesson first.",
                )


def _remove(edit: Edit, recording: Recording) -> None:
    for table in _ON_RECORDING:
        _remove_rows(edit, table, table.c.recording_id == recording.id)
    edit.remove(schema.recording, recording.id)


def _remove_rows(edit: Edit, table: Table, condition: ColumnElement[bool]) -> None:
    for row_id in edit.connection.execute(select(table.c.id).where(condition)).scalars().all():
        edit.remove(table, row_id)


def _stop_work(library: Library, recording_ids: set[int]) -> None:
    kinds = ("listen", "prepare", "look")
    for job in (job for one in recording_ids for kind in kinds for job in library.jobs.of(kind, recording_id=one)):
        if job.state in ("waiting", "running"):
            library.jobs.cancel(job.id)
