"""The page that searches across everything."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, jsonify, render_template, request
from markupsafe import Markup, escape

from annotate.errors import BadInput
from annotate.find.question import Hit, Question, check_days
from annotate.library.search import MARK_END, MARK_START
from web.context import library
from web.fields import Fields, asked
from web.words import label, quantity_label, value_of

blueprint = Blueprint("find", __name__)

KIND_LABELS = {
    "line": "Said",
    "tag": "Tag",
    "reading": "Reading",
    "correction": "Correction",
    "session": "Session",
    "reed": "Reed",
    "lesson": "Lesson",
}


def question_of(fields: Fields, limit: int = 100) -> Question:
    """The question that an address asks."""
    kind = fields.choice("kind")
    return Question(
        text=fields.text("text"),
        reed_id=fields.optional_integer("reed"),
        step=fields.choice("step"),
        zone=fields.choice("zone"),
        blade=fields.choice("blade"),
        side=fields.choice("side"),
        symptom=fields.choice("symptom"),
        kinds=(kind,) if kind else (),
        since=fields.choice("since"),
        until=fields.choice("until"),
        limit=limit,
    )


@dataclass(frozen=True)
class Shown:
    """A hit with its address and its words marked."""

    hit: Hit
    address: str
    text: Markup
    kind: str


def shown(hit: Hit) -> Shown:
    """A hit as the page shows it."""
    text = _reading_told(hit) if hit.kind == "reading" else marked(hit.snippet)
    return Shown(hit, address_of(hit), text, KIND_LABELS[hit.kind])


def _reading_told(hit: Hit) -> Markup:
    """A reading as it is told elsewhere: the index holds quantity, value and unit as words of their own."""
    reading = library().readings.get(hit.row_id)
    told = escape(f"{quantity_label(reading.quantity)} {value_of(reading)}")
    words = hit.snippet.split(" · ", 3)
    return told + Markup(" · ") + marked(words[3]) if len(words) > 3 else told


def address_of(hit: Hit) -> str:
    """Where a hit leads: the session at that moment, or the page of the thing found."""
    if hit.session_id and hit.recording_id:
        moment = f"&at={hit.start_ms}" if hit.start_ms is not None else ""
        return f"/sessions/{hit.session_id}?recording={hit.recording_id}{moment}"
    if hit.kind == "session":
        return f"/sessions/{hit.row_id}"
    if hit.kind == "lesson":
        return f"/lessons/{hit.row_id}"
    if hit.kind == "reed":
        return f"/reeds/{hit.row_id}"
    return _reading_address(hit.row_id)


def _reading_address(reading_id: int) -> str:
    reading = library().readings.get(reading_id)
    return f"/reeds/{reading.reed_id}#readings" if reading.reed_id else "/reeds"


def marked(snippet: str) -> Markup:
    """The snippet as HTML, the found words in <mark>."""
    text = str(escape(snippet))
    return Markup(text.replace(MARK_START, "<mark>").replace(MARK_END, "</mark>"))


def day_problems(fields: Fields) -> dict[str, str]:
    """What is wrong with the days asked for, by field."""
    since, until = fields.choice("since"), fields.choice("until")
    found = {}
    for name, days in (("since", (since, None)), ("until", (None, until))):
        try:
            check_days(*days)
        except BadInput as error:
            found[name] = str(error)
    if not found:
        try:
            check_days(since, until)
        except BadInput as error:
            found["until"] = str(error)
    return found


@blueprint.get("/find")
def page() -> str:
    """The form, and what was found."""
    problem, hits, question = "", [], Question()
    into_id = asked().optional_integer("into")
    days = day_problems(asked())
    try:
        if not days:
            question = question_of(asked())
            hits = [] if question.is_empty else [shown(hit) for hit in library().find(question)]
    except BadInput as error:
        problem = str(error)
    return render_template(
        "find.html",
        typed=request.args,
        into=library().lessons.get(into_id) if into_id else None,
        hits=hits,
        problem=problem,
        day_problems=days,
        reeds=library().reeds.all(),
        kinds=KIND_LABELS,
        asked=request.query_string.decode("ascii", "replace"),
        summary=summary(question, len(hits)),
    )


@blueprint.get("/api/find")
def found() -> Response:
    """The hits as data."""
    hits = library().find(question_of(asked()))
    return jsonify(hits=[{**vars(hit), "address": address_of(hit)} for hit in hits])


def summary(question: Question, count: int) -> str:
    """How many moments were found, for what, in one sentence."""
    if question.is_empty:
        return ""
    parts = [f"“{question.text.strip()}”"] if question.words() else []
    if question.reed_id:
        parts.append(f"reed {library().reeds.get(question.reed_id).name}")
    for group, value in (("steps", question.step), ("zones", question.zone), ("symptoms", question.symptom)):
        if value:
            parts.append(label(group, value).lower())
    moments = "Nothing" if count == 0 else "1 moment" if count == 1 else f"{count} moments"
    limit = f" (the first {count} are shown)" if count >= question.limit else ""
    return f"{moments} for {', '.join(parts) or 'these days'}{limit}."
