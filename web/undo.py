"""Take back and do again."""

from __future__ import annotations

from flask import Blueprint, Response, jsonify

from web.context import library
from web.fields import sent

blueprint = Blueprint("undo", __name__)


@blueprint.post("/api/undo")
def undo() -> Response:
    """Take back the last edit (of one session when it is named)."""
    what = library().journal.undo(sent().optional_integer("session_id"))
    return jsonify(what=what, message=f"Taken back: {what}.")


@blueprint.post("/api/redo")
def redo() -> Response:
    """Do again what was taken back last."""
    what = library().journal.redo(sent().optional_integer("session_id"))
    return jsonify(what=what, message=f"Done again: {what}.")
