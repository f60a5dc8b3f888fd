"""What was measured in one sound, as a piece of the diary; and two sounds of a reed side by side."""

from __future__ import annotations

from flask import Blueprint, Response, jsonify, render_template

from annotate.work.reed_sounds import sound_by_id
from web import sound_words
from web.context import library

blueprint = Blueprint("sounds", __name__)


@blueprint.get("/api/sounds/<int:sound_id>")
def measured(sound_id: int) -> Response:
    """The numbers of a sound as HTML, with what each of them is."""
    sound = sound_by_id(library(), sound_id)
    html = render_template("diary_sound.html", sound=sound, notes=sound.measures.get("notes", ()), w=sound_words)
    return jsonify(html=html)
