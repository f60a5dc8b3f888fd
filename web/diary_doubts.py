"""Doubtful words of a session for the diary: shown with their reason, accepted or left."""

from __future__ import annotations

import re
from typing import Any

from flask import Blueprint, Response, jsonify

from annotate.listen.doubtful import Doubt
from annotate.work import doubting
from annotate.work.doubting import LineDoubt
from web.context import library
from web.fields import sent
from web.plain import plain

blueprint = Blueprint("diary_doubts", __name__, url_prefix="/api")


def _shown(one: LineDoubt) -> dict[str, Any]:
    """A doubt with the place of its words in the line's text, in characters."""
    places = list(re.finditer(r"\S+", one.line.text))
    doubt = one.doubt
    return {
        "line_id": one.line.id,
        "recording_id": one.line.recording_id,
        "version": one.line.version,
        "first": doubt.first,
        "last": doubt.last,
        "from": places[doubt.first].start(),
        "to": places[doubt.last - 1].end(),
        "heard": doubt.heard,
        "proposed": doubt.proposed,
        "reason": doubt.reason,
    }


@blueprint.get("/sessions/<int:session_id>/doubts")
def doubts(session_id: int) -> Response:
    """What is doubtful in the lines of a session, in order."""
    library().sessions.get(session_id)
    return jsonify(doubts=[_shown(one) for one in doubting.doubts_of_session(library(), session_id)])


@blueprint.post("/lines/<int:line_id>/doubts/accept")
def accept(line_id: int) -> Response:
    """Put one proposal in place."""
    fields = sent()
    doubt = Doubt(fields.integer("first"), fields.integer("last"), fields.text("heard"), fields.text("proposed"), "", 0)
    line = doubting.accept(library(), line_id, fields.integer("version"), doubt)
    return jsonify(value=plain(line), message=f"“{doubt.heard}” is now “{doubt.proposed}”.")


@blueprint.post("/sessions/<int:session_id>/doubts/accept")
def accept_alike(session_id: int) -> Response:
    """Put every proposal of the same words in place."""
    fields = sent()
    heard, proposed = fields.text("heard"), fields.text("proposed")
    library().sessions.get(session_id)
    count = len(doubting.accept_alike(library(), session_id, heard, proposed))
    lines = f"{count} line{'' if count == 1 else 's'}"
    return jsonify(changed=count, message=f"“{heard}” is now “{proposed}” on {lines}.")


@blueprint.post("/lines/<int:line_id>/doubts/leave")
def leave(line_id: int) -> Response:
    """Leave the words as they are, and do not offer this again."""
    fields = sent()
    doubting.leave(library(), line_id, fields.text("heard"), fields.text("proposed"))
    return jsonify(message=f"“{fields.text('heard')}” stays.")


@blueprint.post("/lines/<int:line_id>/doubts/offer")
def offer_again(line_id: int) -> Response:
    """Offer again what was left."""
    fields = sent()
    doubting.offer_again(library(), line_id, fields.text("heard"), fields.text("proposed"))
    return jsonify(message="It is offered again.")
