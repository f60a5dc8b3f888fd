"""What the diary's scripts ask for and change: tags, readings, corrections, lines.

Every change answers with the value as stored, its card as HTML, and how warm
the reed drawing has become. A change names the ``version`` it saw; when another
window was first, the answer is 409 with both versions.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, jsonify, render_template

from annotate.errors import BadInput, ChangedElsewhere, NotFound
from annotate.measure.units import unit_for
from annotate.model import Correction, Reading, Suggestion, Tag
from annotate.vocabulary.counted import counted
from annotate.work.deciding import ToldAgain, accept, accept_all, dismiss
from web.context import library
from web.diary_view import Diary, Standing, works_of
from web.fields import Fields, sent
from web.plain import plain, plain_recording

blueprint = Blueprint("diary_api", __name__, url_prefix="/api")


def _diary_of(recording_id: int | None) -> Diary:
    if recording_id is None:
        raise BadInput("This hangs on no recording", next_step="Look for it on the page of its reed.")
    return Diary(library(), library().recordings.get(recording_id).session_id)


def _reply(kind: str, value: Standing, message: str, accepted: int | None = None) -> Response:
    diary = _diary_of(value.recording_id)
    html = render_template("diary_card.html", card=diary.card(kind, value))
    answer: dict[str, Any] = {"kind": kind, "value": plain(value), "html": html, "message": message}
    if accepted is not None:
        answer["accepted"] = accepted
    if kind == "tag":
        answer["heats"] = diary.heats()
    return jsonify(answer)


def _seen(kind: str, value: Any) -> None:
    """Refuse to remove what another window has changed since this one looked."""
    version = sent().integer("version")
    if value.version != version:
        raise ChangedElsewhere(
            "was changed in another window",
            f"{kind} {value.id}",
            "Look at it again before you remove it.",
            theirs=plain(value),
            yours={"id": value.id, "version": version},
        )


# Tags


def _tag(fields: Fields, tag_id: int = 0) -> Tag:
    step = fields.text("step")
    if not step:
        raise BadInput("No step is chosen", next_step="Type or choose one, for example scrape.")
    return Tag(
        recording_id=fields.integer("recording_id"),
        start_ms=fields.integer("start_ms"),
        end_ms=fields.integer("end_ms"),
        step=step,
        zones=fields.texts("zones"),
        blade=fields.choice("blade"),
        side=fields.choice("side"),
        reed_id=fields.optional_integer("reed_id"),
        symptoms=fields.texts("symptoms"),
        note=fields.text("note"),
        id=tag_id,
        version=fields.integer("version") if tag_id else 0,
    )


@blueprint.post("/tags")
def add_tag() -> Response:
    """A new tag."""
    return _reply("tag", library().tags.add(_tag(sent())), "Tag saved.")


@blueprint.get("/tags/<int:tag_id>")
def tag(tag_id: int) -> Response:
    """One tag with its card."""
    return _reply("tag", library().tags.get(tag_id), "")


@blueprint.put("/tags/<int:tag_id>")
def change_tag(tag_id: int) -> Response:
    """A changed tag."""
    return _reply("tag", library().tags.change(_tag(sent(), tag_id)), "Tag saved.")


@blueprint.delete("/tags/<int:tag_id>")
def remove_tag(tag_id: int) -> Response:
    """Take a tag out."""
    found = library().tags.get(tag_id)
    _seen("tag", found)
    library().tags.remove(tag_id)
    return jsonify(kind="tag", id=tag_id, message="Tag removed.", heats=_diary_of(found.recording_id).heats())


# Readings


def _reading(fields: Fields, reading_id: int = 0) -> Reading:
    quantity = fields.text("quantity")
    if not quantity:
        raise BadInput("No quantity is chosen", next_step="Choose what was measured, for example the tip opening.")
    value = fields.decimal("value")
    if value is None:
        raise BadInput("The value is empty", next_step="Write what was read, for example 0.45 or 3/16.")
    return Reading(
        quantity=quantity,
        value=value,
        unit=unit_for(quantity, fields.text("unit"), fields.text("value")),
        reed_id=fields.optional_integer("reed_id"),
        recording_id=fields.optional_integer("recording_id"),
        tag_id=fields.optional_integer("tag_id"),
        at_ms=fields.optional_integer("at_ms"),
        zone=fields.choice("zone"),
        blade=fields.choice("blade"),
        side=fields.choice("side"),
        place_note=fields.text("place_note"),
        moisture=fields.choice("moisture"),
        tool=fields.text("tool"),
        uncertainty=fields.decimal("uncertainty"),
        taken_on=fields.choice("taken_on"),
        note=fields.text("note"),
        id=reading_id,
        version=fields.integer("version") if reading_id else 0,
    )


@blueprint.post("/diary/readings")
def add_reading() -> Response:
    """A new reading at a moment or on a tag."""
    return _reply("reading", library().readings.add(_reading(sent())), "Reading saved.")


@blueprint.get("/diary/readings/<int:reading_id>")
def reading(reading_id: int) -> Response:
    """One reading with its card."""
    return _reply("reading", library().readings.get(reading_id), "")


@blueprint.put("/diary/readings/<int:reading_id>")
def change_reading(reading_id: int) -> Response:
    """A changed reading."""
    return _reply("reading", library().readings.change(_reading(sent(), reading_id)), "Reading saved.")


@blueprint.delete("/diary/readings/<int:reading_id>")
def remove_reading(reading_id: int) -> Response:
    """Take a reading out."""
    _seen("reading", library().readings.get(reading_id))
    library().readings.remove(reading_id)
    return jsonify(kind="reading", id=reading_id, message="Reading removed.")


# Corrections


def _correction(fields: Fields, correction_id: int = 0) -> Correction:
    return Correction(
        recording_id=fields.integer("recording_id"),
        start_ms=fields.integer("start_ms"),
        end_ms=fields.integer("end_ms"),
        said=fields.text("said"),
        right=fields.text("right"),
        id=correction_id,
        version=fields.integer("version") if correction_id else 0,
    )


@blueprint.post("/corrections")
def add_correction() -> Response:
    """A new correction."""
    return _reply("correction", library().corrections.add(_correction(sent())), "Correction saved.")


@blueprint.get("/corrections/<int:correction_id>")
def correction(correction_id: int) -> Response:
    """One correction with its card."""
    return _reply("correction", library().corrections.get(correction_id), "")


@blueprint.put("/corrections/<int:correction_id>")
def change_correction(correction_id: int) -> Response:
    """A changed correction."""
    changed = library().corrections.change(_correction(sent(), correction_id))
    return _reply("correction", changed, "Correction saved.")


@blueprint.delete("/corrections/<int:correction_id>")
def remove_correction(correction_id: int) -> Response:
    """Take a correction out."""
    _seen("correction", library().corrections.get(correction_id))
    library().corrections.remove(correction_id)
    return jsonify(kind="correction", id=correction_id, message="Correction removed.")


# Suggestions


def _decision(suggestion_id: int) -> Suggestion:
    """The suggestion in the version that the page saw."""
    return replace(library().suggestions.get(suggestion_id), version=sent().integer("version"))


@blueprint.get("/suggestions/<int:suggestion_id>")
def suggestion(suggestion_id: int) -> Response:
    """One suggestion with its card."""
    found = library().suggestions.get(suggestion_id)
    is_linked = found.kind == "recap" and found.state == "accepted"
    return _reply("recap" if is_linked else "suggestion", found, "")


@blueprint.post("/suggestions/<int:suggestion_id>/accept")
def accept_suggestion(suggestion_id: int) -> Response:
    """Take a suggestion; with ``step`` among the fields, as the maker changed it."""
    asked = _decision(suggestion_id)
    made = accept(library(), asked, _tag(sent()) if "step" in sent() else None)
    if isinstance(made, Tag | Reading):
        return _reply("tag" if isinstance(made, Tag) else "reading", made, "Accepted.", accepted=suggestion_id)
    if isinstance(made, ToldAgain):
        return _reply("recap", made.recap, "Linked to the earlier work.", accepted=suggestion_id)
    return jsonify(kind=asked.kind, accepted=suggestion_id, message="Accepted.")


@blueprint.post("/suggestions/<int:suggestion_id>/dismiss")
def dismiss_suggestion(suggestion_id: int) -> Response:
    """Put a suggestion away."""
    dismiss(library(), _decision(suggestion_id))
    return jsonify(dismissed=suggestion_id, message="Dismissed.")


@blueprint.post("/sessions/<int:session_id>/suggestions/accept")
def accept_suggestions(session_id: int) -> Response:
    """Take every open suggestion of a session whose confidence is at least ``at_least_percent``."""
    least = sent().integer("at_least_percent")
    diary = Diary(library(), session_id)
    wanted = [one for r in diary.recordings for one in diary.suggestions(r.id) if one.confidence * 100 >= least]
    made = len(accept_all(library(), wanted)) if wanted else 0
    message = f"{counted(made, 'suggestion')} accepted."
    if left := len(wanted) - made:
        message += f" {counted(left, 'recap')} stay{'s' if left == 1 else ''}: no earlier tag of that work was found."
    return jsonify(accepted=made, message=message)


# The session as a whole


@blueprint.get("/sessions/<int:session_id>/marks")
def marks(session_id: int) -> Response:
    """The version of everything on the page, so that an open page finds what has changed."""
    store = library()
    diary = Diary(store, session_id)
    return jsonify(
        tag=store.tags.versions(session_id),
        reading={one.id: one.version for one in store.readings.of_session(session_id)},
        correction=store.corrections.versions(session_id),
        recap={one.id: one.version for one in diary.recaps},
        suggestion={one.id: one.version for r in diary.recordings for one in diary.suggestions(r.id)},
        line=store.lines.versions(session_id),
        session={session_id: diary.session.version},
        recording={one.id: one.version for one in diary.recordings},
        heats=diary.heats(),
    )


@blueprint.get("/sessions/<int:session_id>/work")
def work(session_id: int) -> Response:
    """The work on the recordings of a session."""
    library().sessions.get(session_id)
    found = library().recordings.of_session(session_id)
    works = works_of(library(), [recording.id for recording in found])
    return jsonify(work=works, recordings=[plain_recording(recording) for recording in found])


@blueprint.get("/sessions/<int:session_id>/chapters/<int:recording_id>")
def chapter(session_id: int, recording_id: int) -> Response:
    """One recording's part of the page as HTML, for a page that is open while the work on it ends."""
    diary = Diary(library(), session_id)
    places = [recording.id for recording in diary.recordings]
    if recording_id not in places:
        raise NotFound(f"Session {session_id} has no recording {recording_id}", next_step="Load the page again.")
    at = places.index(recording_id)
    html = render_template(
        "diary_chapter.html",
        session=diary.session,
        chapter=diary.chapter(diary.recordings[at]),
        number=at + 1,
        count=len(places),
    )
    return jsonify(html=html)
