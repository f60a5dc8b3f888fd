"""Take back and do again: the last step of a page's own place, or exactly the step that a notice names.

Every answer to a change carries the id of the step it made (``X-Step``), so that the Undo beside it
takes back that step and no other, whatever another window has done since.
"""

from __future__ import annotations

from flask import Blueprint, Response, g, jsonify

from annotate.library.journal import follow
from annotate.library.steps import Place, Step
from web.context import library
from web.fields import Fields, asked, sent
from web.words import long_date, session_name

STEP_HEADER = "X-Step"

blueprint = Blueprint("undo", __name__)


@blueprint.before_app_request
def _follow() -> None:
    g.steps = follow()


@blueprint.after_app_request
def _tell(response: Response) -> Response:
    made = g.get("steps")
    if made and response.status_code < 400:
        response.headers[STEP_HEADER] = str(made[-1])
    return response


def _place(fields: Fields) -> Place:
    session_id, lesson_id, reed_id = (fields.optional_integer(name) for name in ("session_id", "lesson_id", "reed_id"))
    return Place(session_id, lesson_id, reed_id)


def _where(step: Step) -> str:
    session = None if step.session_id is None else library().sessions.find(step.session_id)
    if session is None:
        return ""
    return f", in {session_name(session)}" + (f" of {long_date(session.date)}" if session.title else "")


@blueprint.get("/api/undo/next")
def next_undo() -> Response:
    """The step that would be taken back next, by name: a page without a place of its own asks before it does."""
    step = library().journal.next(_place(asked()), undo=True)
    return jsonify(next=step.id, message=f"The last change is “{step.what}”{_where(step)}.")


@blueprint.get("/api/redo/next")
def next_redo() -> Response:
    """The step that would be done again next, by name."""
    step = library().journal.next(_place(asked()), undo=False)
    return jsonify(next=step.id, message=f"What was taken back is “{step.what}”{_where(step)}.")


@blueprint.post("/api/undo")
def undo() -> Response:
    """Take back the step that is named (``step_id``), else the last one of a session, lesson or reed."""
    step_id = sent().optional_integer("step_id")
    journal = library().journal
    what = journal.undo(place=_place(sent())) if step_id is None else journal.undo_step(step_id)
    return jsonify(what=what, message=f"Taken back: {what}.")


@blueprint.post("/api/redo")
def redo() -> Response:
    """Do again the step that is named, else what was taken back last."""
    step_id = sent().optional_integer("step_id")
    journal = library().journal
    what = journal.redo(place=_place(sent())) if step_id is None else journal.redo_step(step_id)
    return jsonify(what=what, message=f"Done again: {what}.")


@blueprint.post("/api/steps/<int:step_id>/leave")
def leave(step_id: int) -> Response:
    """Leave a step that cannot be taken back as it is, so that the others can be."""
    what = library().journal.leave(step_id)
    return jsonify(what=what, message=f"“{what}” stays as it is.")
