"""The tables of the library, for queries. The migrations make them; a test holds the two together.

Decimals are text (exact), lists and words are JSON, times are integer
milliseconds, moments of the day are ISO 8601 in UTC. ``version`` counts the
changes of a row. Ids are never given twice: undo, clips, readings and jobs
know rows by their id, also when the row is gone.
"""

from __future__ import annotations

from sqlalchemy import JSON, Boolean, Column, Float, ForeignKey, Index, Integer, MetaData, Table, Text, UniqueConstraint

metadata = MetaData()


def _id() -> Column[int]:
    return Column("id", Integer, primary_key=True)


def _version() -> Column[int]:
    return Column("version", Integer, nullable=False)


def _range() -> tuple[Column[int], Column[int]]:
    return Column("start_ms", Integer, nullable=False), Column("end_ms", Integer, nullable=False)


def _of_recording() -> Column[int]:
    return Column("recording_id", Integer, ForeignKey("recording.id"), nullable=False)


reed = Table(
    "reed",
    metadata,
    _id(),
    Column("name", Text, nullable=False),
    Column("instrument", Text, nullable=False),
    Column("state", Text, nullable=False),
    Column("made_on", Text),
    Column("note", Text, nullable=False),
    _version(),
    UniqueConstraint("name", name="one_reed_a_name"),
    sqlite_autoincrement=True,
)

session = Table(
    "session",
    metadata,
    _id(),
    Column("date", Text, nullable=False),
    Column("title", Text, nullable=False),
    Column("place", Text, nullable=False),
    Column("temperature_c", Text),
    Column("humidity_percent", Text),
    Column("note", Text, nullable=False),
    Column("sharing", Text, nullable=False),
    _version(),
    sqlite_autoincrement=True,
)

recording = Table(
    "recording",
    metadata,
    _id(),
    Column("session_id", Integer, ForeignKey("session.id"), nullable=False),
    Column("position", Integer, nullable=False),
    Column("name", Text, nullable=False),
    Column("path", Text, nullable=False),
    Column("is_kept", Boolean, nullable=False),
    Column("fingerprint", Text, nullable=False),
    Column("size_bytes", Integer, nullable=False),
    Column("probe", JSON, nullable=False),
    Column("reed_id", Integer, ForeignKey("reed.id")),
    Column("playable_path", Text),
    Column("peaks_path", Text),
    Column("sheet_path", Text),
    Column("language", Text, nullable=False),
    Column("heard_language", Text, nullable=False, server_default=""),
    Column("heard_language_score", Float, nullable=False, server_default="0"),
    _version(),
    UniqueConstraint("fingerprint", name="one_recording_a_file"),
    sqlite_autoincrement=True,
)

line = Table(
    "line",
    metadata,
    _id(),
    _of_recording(),
    *_range(),
    Column("text", Text, nullable=False),
    Column("words", JSON, nullable=False),
    Column("heard_text", Text, nullable=False),
    _version(),
    Index("line_by_time", "recording_id", "start_ms"),
    sqlite_autoincrement=True,
)

sound = Table(
    "sound",
    metadata,
    _id(),
    _of_recording(),
    *_range(),
    Column("kind", Text, nullable=False),
    Column("confidence", Float, nullable=False),
    Column("measures", JSON, nullable=False),
    Index("sound_by_time", "recording_id", "start_ms"),
    sqlite_autoincrement=True,
)

card = Table(
    "card",
    metadata,
    _id(),
    _of_recording(),
    *_range(),
    Column("name", Text, nullable=False),
    Column("reed_id", Integer, ForeignKey("reed.id")),
    Column("version", Integer, nullable=False, server_default="1"),
    Index("card_by_time", "recording_id", "start_ms"),
    sqlite_autoincrement=True,
)

tag = Table(
    "tag",
    metadata,
    _id(),
    _of_recording(),
    *_range(),
    Column("step", Text, nullable=False),
    Column("zones", JSON, nullable=False),
    Column("blade", Text),
    Column("side", Text),
    Column("reed_id", Integer, ForeignKey("reed.id")),
    Column("symptoms", JSON, nullable=False),
    Column("note", Text, nullable=False),
    _version(),
    Index("tag_by_time", "recording_id", "start_ms"),
    Index("tag_by_reed", "reed_id"),
    sqlite_autoincrement=True,
)

reading = Table(
    "reading",
    metadata,
    _id(),
    Column("quantity", Text, nullable=False),
    Column("value", Text, nullable=False),
    Column("unit", Text, nullable=False),
    Column("reed_id", Integer, ForeignKey("reed.id")),
    Column("recording_id", Integer, ForeignKey("recording.id")),
    Column("tag_id", Integer),
    Column("at_ms", Integer),
    Column("zone", Text),
    Column("blade", Text),
    Column("side", Text),
    Column("place_note", Text, nullable=False),
    Column("moisture", Text),
    Column("tool", Text, nullable=False),
    Column("uncertainty", Text),
    Column("taken_on", Text),
    Column("note", Text, nullable=False),
    _version(),
    Index("reading_by_reed", "reed_id"),
    sqlite_autoincrement=True,
)

correction = Table(
    "correction",
    metadata,
    _id(),
    _of_recording(),
    *_range(),
    Column("said", Text, nullable=False),
    Column("right", Text, nullable=False),
    _version(),
    sqlite_autoincrement=True,
)

left_word = Table(
    "left_word",
    metadata,
    _id(),
    _of_recording(),
    *_range(),
    Column("heard", Text, nullable=False),
    Column("proposed", Text, nullable=False),
    _version(),
    Index("left_word_by_time", "recording_id", "start_ms"),
    sqlite_autoincrement=True,
)

suggestion = Table(
    "suggestion",
    metadata,
    _id(),
    _of_recording(),
    *_range(),
    Column("kind", Text, nullable=False),
    Column("content", JSON, nullable=False),
    Column("evidence", Text, nullable=False),
    Column("rule", Text, nullable=False),
    Column("confidence", Float, nullable=False),
    Column("state", Text, nullable=False),
    _version(),
    Index("suggestion_by_time", "recording_id", "start_ms"),
    sqlite_autoincrement=True,
)

plan = Table(
    "plan",
    metadata,
    _id(),
    Column("text", Text, nullable=False),
    Column("reed_id", Integer, ForeignKey("reed.id")),
    Column("recording_id", Integer, ForeignKey("recording.id")),
    Column("at_ms", Integer),
    Column("is_done", Boolean, nullable=False),
    _version(),
    Index("plan_by_reed", "reed_id"),
    sqlite_autoincrement=True,
)

mark = Table(
    "mark",
    metadata,
    _id(),
    Column("made_at", Text, nullable=False),
    Column("step", Text, nullable=False),
    Column("zones", JSON, nullable=False),
    Column("blade", Text),
    Column("side", Text),
    Column("reed_id", Integer, ForeignKey("reed.id")),
    Column("note", Text, nullable=False),
    Column("session_id", Integer, ForeignKey("session.id")),
    Column("tag_id", Integer),
    _version(),
    Index("mark_by_time", "made_at"),
    sqlite_autoincrement=True,
)

lesson = Table(
    "lesson",
    metadata,
    _id(),
    Column("title", Text, nullable=False),
    Column("goal", Text, nullable=False),
    Column("audience", Text, nullable=False),
    Column("tools", JSON, nullable=False),
    Column("review", Text, nullable=False),
    Column("note", Text, nullable=False),
    Column("clips", JSON, nullable=False),
    Column("has_title_cards", Boolean, nullable=False),
    # What was stored before there were choices stays as it was shown then.
    Column("showing", JSON, nullable=False, server_default='{"evens_loudness": false}'),
    _version(),
    sqlite_autoincrement=True,
)

job = Table(
    "job",
    metadata,
    _id(),
    Column("kind", Text, nullable=False),
    Column("subject", JSON, nullable=False),
    Column("state", Text, nullable=False),
    Column("progress", Float, nullable=False),
    Column("message", Text, nullable=False),
    Column("error", Text, nullable=False),
    Column("error_code", Text, nullable=False),
    Column("attempts", Integer, nullable=False),
    Column("result", JSON, nullable=False),
    Column("created_at", Text, nullable=False),
    Column("started_at", Text, nullable=False),
    Column("finished_at", Text, nullable=False),
    Column("cancel_wanted", Boolean, nullable=False),
    Column("heartbeat_at", Float, nullable=False),
    Column("owner", Text, nullable=False),
    Index("job_by_state", "state", "id"),
    sqlite_autoincrement=True,
)

edit = Table(
    "edit",
    metadata,
    _id(),
    Column("session_id", Integer),
    Column("what", Text, nullable=False),
    Column("rows", JSON, nullable=False),
    Column("is_undone", Boolean, nullable=False),
    Column("made_at", Text, nullable=False),
    Index("edit_by_session", "session_id", "id"),
    sqlite_autoincrement=True,
)

setting = Table("setting", metadata, Column("name", Text, primary_key=True), Column("value", JSON, nullable=False))

moment = Table(
    "moment",
    metadata,
    _id(),
    Column("kind", Text, nullable=False),
    Column("row_id", Integer, nullable=False),
    Column("session_id", Integer),
    Column("recording_id", Integer),
    Column("reed_id", Integer),
    Column("start_ms", Integer),
    Column("end_ms", Integer),
    Column("shown", Text, nullable=False),
    UniqueConstraint("kind", "row_id", name="one_moment_a_row"),
)
