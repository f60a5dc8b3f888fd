"""Lines of a recording for the diary: words, text as the maker changes it, and where the stills are."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, jsonify

from annotate.errors import BadInput, Missing
from annotate.model import Line
from annotate.work.doubting import learn, rewritten
from web.context import library
from web.fields import sent
from web.plain import plain

blueprint = Blueprint("diary_lines", __name__, url_prefix="/api")


def _line(line: Line) -> dict[str, Any]:
    return {"kind": "line", "value": plain(line)}


@blueprint.get("/lines/<int:line_id>")
def line(line_id: int) -> Response:
    """One line with its words."""
    return jsonify(_line(library().lines.get(line_id)))


@blueprint.put("/lines/<int:line_id>")
def change_line(line_id: int) -> Response:
    """Other text for a line; what was heard is kept, words that stay keep their times, corrections are learned."""
    fields = sent()
    stored = library().lines.get(line_id)
    text = " ".join(fields.text("text").split())
    if not text:
        raise BadInput("The line is empty", next_step="Write what is said, or strike the line out.")
    changed = library().lines.change(replace(rewritten(stored, text), version=fields.integer("version")))
    learn(library(), stored.text, text)
    return jsonify({**_line(changed), "message": "Line saved."})


@blueprint.delete("/lines/<int:line_id>")
def strike_out(line_id: int) -> Response:
    """No line where nobody spoke; undo brings it back."""
    stored = library().lines.get(line_id)
    gone = library().lines.strike_out(replace(stored, version=sent().integer("version")))
    return jsonify({**_line(gone), "message": "The line is struck out."})


@blueprint.get("/recordings/<int:recording_id>/words")
def words(recording_id: int) -> Response:
    """The words of every line of a recording: ``{line id: [[start_ms, end_ms, text, probability], ...]}``."""
    library().recordings.get(recording_id)
    found = library().lines.of_recording(recording_id)
    return jsonify(
        {one.id: [[w.start_ms, w.end_ms, w.text, round(w.probability, 3)] for w in one.words] for one in found}
    )


@blueprint.get("/recordings/<int:recording_id>/stills")
def stills(recording_id: int) -> Response:
    """Where which moment is on the contact sheet: tile size, columns, times."""
    recording = library().recordings.get(recording_id)
    path = library().path(recording.sheet_path).with_suffix(".json") if recording.sheet_path else None
    if path is None or not path.is_file():
        raise Missing("The contact sheet has not been made yet", recording.name, "Wait for the work to finish.")
    return jsonify(json.loads(path.read_text("utf-8")))
