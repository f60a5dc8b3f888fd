"""The search index: one moment for each line, tag, reading, correction, session, reed and lesson.

``moment`` says where a hit leads, ``moment_text`` (FTS5, same row id) holds
the words. Both are written here only, in the transaction of the change, so
they cannot drift apart; ``rebuild`` makes them anew.
"""

from __future__ import annotations

import re

from sqlalchemy import Connection, delete, insert, select, update
from sqlalchemy.exc import DatabaseError, OperationalError

from annotate.library import schema
from annotate.library.codec import Row
from annotate.library.in_hand import hand_of
from annotate.library.reed_words import reed_words
from annotate.library.rows import new_id, stored

KINDS = ("line", "tag", "reading", "correction", "session", "reed", "lesson")
# Scripts written without blanks; each character becomes a word of its own, so that a part of a run is found.
_UNSPACED = re.compile(r"([\u3040-\u30ff\u3400-\u4dbf\u4e00-\u9fff\uac00-\ud7af\u0e00-\u0e7f])")
_SPACED = re.compile(f" ?([\x02\x03]?){_UNSPACED.pattern}([\x02\x03]?) ?")


def spaced(text: str) -> str:
    """Text with blanks round each character of an unspaced script."""
    return _UNSPACED.sub(r" \1 ", text)


def unspaced(text: str) -> str:
    """What ``spaced`` did, taken back; the marks of a snippet may stand between."""
    return _SPACED.sub(r"\1\2\3", text)


def refresh(connection: Connection, kind: str, row_id: int) -> None:
    """Bring the index in step with one row, whether it was added, changed or removed."""
    if kind == "recording":
        _refresh_reed(connection, row_id)
    if kind == "card" and (card := stored(connection, schema.card, row_id)):
        _refresh_reed(connection, card["recording_id"])
    if kind not in KINDS:
        return
    old = connection.execute(
        select(schema.moment.c.id).where(schema.moment.c.kind == kind, schema.moment.c.row_id == row_id)
    ).scalar()
    if old is not None:
        connection.exec_driver_sql("DELETE FROM moment_text WHERE rowid = ?", (old,))
        connection.execute(delete(schema.moment).where(schema.moment.c.id == old))
    table = schema.metadata.tables[kind]
    row = connection.execute(select(table).where(table.c.id == row_id)).first()
    if row is not None:
        _insert(connection, kind, dict(row._mapping))
    if kind == "reed" and row is not None:
        tags = select(schema.tag.c.id).where(schema.tag.c.reed_id == row_id)
        for tag_id in connection.execute(tags).scalars().all():
            refresh(connection, "tag", tag_id)


def _refresh_reed(connection: Connection, recording_id: int) -> None:
    """Lines and corrections, which name no reed, take the one in hand at their end."""
    moment, hand = schema.moment, hand_of(connection, recording_id)
    of_it = (moment.c.recording_id == recording_id, moment.c.kind.in_(("line", "correction")))
    connection.execute(update(moment).where(*of_it).values(reed_id=hand.reed_id))
    for start_ms, reed_id in hand.shown:
        connection.execute(update(moment).where(*of_it, moment.c.end_ms >= start_ms).values(reed_id=reed_id))


def rebuild(connection: Connection) -> int:
    """Make the whole index anew; gives the number of moments."""
    connection.exec_driver_sql("DELETE FROM moment_text")
    connection.execute(delete(schema.moment))
    count = 0
    for kind in KINDS:
        for row in connection.execute(select(schema.metadata.tables[kind])).all():
            _insert(connection, kind, dict(row._mapping))
            count += 1
    return count


def drift(connection: Connection) -> list[str]:
    """Where the index and the tables differ; empty when they agree."""
    found = []
    for kind in KINDS:
        table = schema.metadata.tables[kind]
        rows = set(connection.execute(select(table.c.id)).scalars())
        held = set(connection.execute(select(schema.moment.c.row_id).where(schema.moment.c.kind == kind)).scalars())
        found += [f"{kind} {row_id} is not in the search index" for row_id in sorted(rows - held)]
        found += [f"the search index holds {kind} {row_id}, which is gone" for row_id in sorted(held - rows)]
    ids = set(connection.execute(select(schema.moment.c.id)).scalars())
    texts = {row[0]: row[1] for row in connection.exec_driver_sql("SELECT rowid, text FROM moment_text")}
    found += [f"moment {moment_id} has no text" for moment_id in sorted(ids ^ set(texts))]
    return found + _other_words(connection, texts)


def unfound(connection: Connection) -> list[str]:
    """Whether the words by which the texts are found are those of the texts; needs a writing connection.

    SQLite asks for it as an insertion, though nothing is written.
    """
    try:
        connection.exec_driver_sql("INSERT INTO moment_text (moment_text) VALUES ('integrity-check')")
    except OperationalError:  # busy, or the disk: nothing is said about the words
        raise
    except DatabaseError:
        return ["the words of the search index are not those of its texts"]
    return []


def _other_words(connection: Connection, texts: dict[int, str]) -> list[str]:
    """Rows whose moment says something else than they do, or leads elsewhere."""
    found = []
    for kind in KINDS:
        moments = select(schema.moment).where(schema.moment.c.kind == kind)
        held = {moment.row_id: moment for moment in connection.execute(moments)}
        for row in connection.execute(select(schema.metadata.tables[kind])):
            moment = held.get(row.id)
            if moment is None or moment.id not in texts:
                continue
            right = dict(row._mapping)
            shown = _shown(connection, kind, right)
            if (moment.shown, texts[moment.id]) != (shown, spaced(shown)):
                found.append(f"{kind} {row.id} stands in the search index with other words")
            elif any(getattr(moment, name) != value for name, value in _place(connection, kind, right).items()):
                found.append(f"{kind} {row.id} leads elsewhere from the search index")
    return found


def _insert(connection: Connection, kind: str, row: Row) -> None:
    place = _place(connection, kind, row)
    shown = _shown(connection, kind, row)
    result = connection.execute(insert(schema.moment).values(kind=kind, row_id=row["id"], shown=shown, **place))
    connection.exec_driver_sql("INSERT INTO moment_text (rowid, text) VALUES (?, ?)", (new_id(result), spaced(shown)))


def _place(connection: Connection, kind: str, row: Row) -> Row:
    """Where a hit leads."""
    recording = None
    if row.get("recording_id"):
        recording = connection.execute(
            select(schema.recording).where(schema.recording.c.id == row["recording_id"])
        ).first()
    session_id = row["id"] if kind == "session" else (recording.session_id if recording else None)
    reed_id = row["id"] if kind == "reed" else row.get("reed_id")
    if reed_id is None and recording is not None and kind in ("line", "correction"):
        reed_id = hand_of(connection, recording.id).at(row["end_ms"])
    start = row["at_ms"] if kind == "reading" else row.get("start_ms")
    return {
        "session_id": session_id,
        "recording_id": row.get("recording_id"),
        "reed_id": reed_id,
        "start_ms": start,
        "end_ms": row.get("end_ms"),
    }


def _shown(connection: Connection, kind: str, row: Row) -> str:
    """The words of a row, as found and as shown."""
    if kind == "line":
        return str(row["text"])
    if kind == "tag":
        return _tag_words(connection, row)
    if kind == "reading":
        parts = [row["quantity"].replace("_", " "), row["value"], row["unit"], row["place_note"], row["note"]]
    elif kind == "correction":
        parts = [row["said"], row["right"]]
    elif kind == "session":
        parts = [row["date"], row["title"], row["place"], row["note"]]
    elif kind == "reed":
        parts = [row["name"], row["instrument"], row["note"]]
    else:
        parts = [row["title"], row["goal"], row["note"]]
    return " · ".join(str(part) for part in parts if part)


def _tag_words(connection: Connection, row: Row) -> str:
    reed = None
    if row["reed_id"]:
        reed = connection.execute(select(schema.reed).where(schema.reed.c.id == row["reed_id"])).first()
    words = reed_words(reed)
    parts = [words.label("steps", row["step"])]
    parts += [words.label("zones", zone) for zone in row["zones"]]
    parts += [words.label("blades", row["blade"])] if row["blade"] else []
    parts += [words.label("sides", row["side"])] if row["side"] else []
    parts += [words.label("symptoms", symptom) for symptom in row["symptoms"]]
    parts += [reed.name] if reed else []
    parts += [row["note"]] if row["note"] else []
    return " · ".join(parts)
