"""Answers a question from the index."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import ColumnElement, and_, bindparam, func, literal_column, or_, select, table, text
from sqlalchemy.sql import Select

from annotate.find.question import Hit, Question
from annotate.library import schema
from annotate.library.index import spaced, unspaced

if TYPE_CHECKING:
    from annotate.library.store import Library

MARK_START, MARK_END = "\x02", "\x03"  # round found words in a snippet; cannot be typed
SNIPPET_WORDS = 24


def find(library: Library, question: Question) -> list[Hit]:
    """The moments that answer a question, best first; with no words, newest session first."""
    with library.reading() as connection:
        return [_hit(dict(row._mapping)) for row in connection.execute(_hits(question))]


def _match(question: Question) -> str:
    """The words as an FTS5 query in which everything is literal (quotes doubled); the last may be a beginning."""
    words = [f'"{word.replace(chr(34), chr(34) * 2).replace(chr(0), " ")}"' for word in question.words()]
    parts = [spaced(word) for word in words]
    if parts and question.words()[-1].isalnum():
        parts[-1] += "*"
    return " ".join(parts)


def _hits(question: Question) -> Select[Any]:
    moment, session, reed = schema.moment, schema.session, schema.reed
    columns = [
        moment.c.kind,
        moment.c.row_id,
        moment.c.session_id,
        moment.c.recording_id,
        moment.c.start_ms,
        moment.c.end_ms,
        moment.c.shown,
        session.c.date,
        session.c.title.label("session_title"),
        reed.c.name.label("reed_name"),
    ]
    joined = moment.outerjoin(session, session.c.id == moment.c.session_id).outerjoin(
        reed, reed.c.id == moment.c.reed_id
    )
    match = _match(question)
    if match:
        call = f"snippet(moment_text, 0, '{MARK_START}', '{MARK_END}', '…', {SNIPPET_WORDS})"
        snippet: ColumnElement[str] = literal_column(call).label("snippet")
        words = joined.join(table("moment_text"), literal_column("moment_text.rowid") == moment.c.id)
        query = select(*columns, snippet).select_from(words)
        query = query.where(text("moment_text MATCH :match").bindparams(bindparam("match", match)))
        query = query.order_by(literal_column("moment_text.rank"), session.c.date.desc(), moment.c.start_ms)
    else:
        query = select(*columns).select_from(joined)
        query = query.order_by(session.c.date.desc(), moment.c.recording_id, moment.c.start_ms)
    for condition in _conditions(question):
        query = query.where(condition)
    return query.limit(question.limit)


def _conditions(question: Question) -> list[ColumnElement[bool]]:
    moment, session, tag = schema.moment, schema.session, schema.tag
    found: list[ColumnElement[bool]] = []
    if question.kinds:
        found.append(moment.c.kind.in_(question.kinds))
    if question.since:
        found.append(session.c.date >= question.since)
    if question.until:
        found.append(session.c.date <= question.until)
    if question.reed_id is not None:
        found.append(or_(moment.c.reed_id == question.reed_id, _has_tag(tag.c.reed_id == question.reed_id)))
    wanted = _tag_conditions(question)
    if wanted:
        own = select(tag.c.id).where(tag.c.id == moment.c.row_id, *wanted).exists()
        found.append(or_(and_(moment.c.kind == "tag", own), and_(moment.c.kind != "tag", _has_tag(*wanted))))
    return found


def _has_tag(*conditions: ColumnElement[bool]) -> ColumnElement[bool]:
    """That a line, reading or correction lies in the time of a tag that meets the conditions."""
    moment, tag = schema.moment, schema.tag
    return (
        select(tag.c.id)
        .where(
            tag.c.recording_id == moment.c.recording_id,
            tag.c.start_ms <= func.coalesce(moment.c.start_ms, -1),
            tag.c.end_ms > moment.c.start_ms,
            *conditions,
        )
        .exists()
    )


def _tag_conditions(question: Question) -> list[ColumnElement[bool]]:
    tag = schema.tag
    found: list[ColumnElement[bool]] = []
    if question.step:
        found.append(tag.c.step == question.step)
    if question.blade:
        found.append(tag.c.blade.in_((question.blade, "both")))
    if question.side:
        found.append(tag.c.side.in_((question.side, "both")))
    for column, wanted in ((tag.c.zones, question.zone), (tag.c.symptoms, question.symptom)):
        if wanted:
            items = func.json_each(column).table_valued("value")
            found.append(select(items.c.value).where(items.c.value == wanted).exists())
    return found


def _hit(row: dict[str, object]) -> Hit:
    found = row.pop("snippet", None)
    snippet = unspaced(str(found)) if found else str(row["shown"])
    return Hit(**row, snippet=snippet)  # type: ignore[arg-type]
