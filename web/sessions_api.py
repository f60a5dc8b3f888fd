"""Adds, changes and removes sessions and their recordings."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, jsonify

from annotate.intake.keep import display_name
from annotate.library.removing import remove_recording, remove_session
from annotate.model import Session
from annotate.work.tracks import use_track
from web.context import library
from web.fields import Fields, sent
from web.plain import plain, plain_recording
from web.words import long_date

blueprint = Blueprint("sessions_api", __name__, url_prefix="/api")


def told(fields: Fields) -> dict[str, Any]:
    """What the fields say about a session; what is not among them stays as it is."""
    given: dict[str, Any] = {
        name: fields.text(name).strip() for name in ("date", "title", "place", "note") if name in fields
    }
    if "sharing" in fields:
        given["sharing"] = fields.text("sharing")
    for name in ("temperature_c", "humidity_percent"):
        if name in fields:
            given[name] = fields.decimal(name)
    return given


@blueprint.post("/sessions")
def add() -> Response:
    """Add a session."""
    made = library().sessions.add(Session(**{"date": "", **told(sent())}))
    return jsonify(
        session=plain(made),
        location=f"/sessions/{made.id}/about",
        message=f"The session of {long_date(made.date)} is in the library.",
    )


@blueprint.put("/sessions/<int:session_id>")
def change(session_id: int) -> Response:
    """Change what is known about a session."""
    fields = sent()
    old = library().sessions.get(session_id)
    made = library().sessions.change(replace(old, **told(fields), version=fields.integer("version")))
    return jsonify(session=plain(made), message="The session is saved.")


@blueprint.delete("/sessions/<int:session_id>")
def remove(session_id: int) -> Response:
    """Remove a session with its recordings; undo brings all of it back."""
    sent()
    gone = remove_session(library(), session_id)
    return jsonify(message=f"The session of {long_date(gone.date)} is removed. Its files stay where they are.")


@blueprint.get("/recordings/<int:recording_id>")
def recording(recording_id: int) -> Response:
    """One recording."""
    return jsonify(recording=plain_recording(library().recordings.get(recording_id)))


@blueprint.get("/recordings/<int:recording_id>/edges")
def edges(recording_id: int) -> Response:
    """Where words and sounds of a recording begin and end (ms), for trimming a clip on them."""
    library().recordings.get(recording_id)
    words = [word for line in library().lines.of_recording(recording_id) for word in line.words]
    sounds = library().recordings.sounds(recording_id)
    starts = {word.start_ms for word in words} | {sound.start_ms for sound in sounds}
    ends = {word.end_ms for word in words} | {sound.end_ms for sound in sounds}
    return jsonify(starts=sorted(starts), ends=sorted(ends))


@blueprint.put("/recordings/<int:recording_id>")
def change_recording(recording_id: int) -> Response:
    """Change the reed in hand, the name or the place in the order."""
    fields = sent()
    old = library().recordings.get(recording_id)
    given: dict[str, Any] = {"version": fields.integer("version")}
    if "name" in fields:
        given["name"] = display_name(fields.text("name")) if fields.text("name").strip() else old.name
    if "reed_id" in fields:
        given["reed_id"] = fields.optional_integer("reed_id")
        if given["reed_id"] is not None:
            library().reeds.get(given["reed_id"])
    if "position" in fields:
        given["position"] = fields.integer("position")
    made = library().recordings.change(replace(old, **given))
    return jsonify(recording=plain_recording(made), message=f"{made.name} is saved.")


@blueprint.put("/recordings/<int:recording_id>/track")
def change_track(recording_id: int) -> Response:
    """Use another sound track of the file; it is prepared and heard anew."""
    fields = sent()
    old = replace(library().recordings.get(recording_id), version=fields.integer("version"))
    made = use_track(library(), old, fields.integer("sound_stream"))
    return jsonify(
        recording=plain_recording(made), message=f"That sound track of {made.name} is used; it is heard anew."
    )


@blueprint.delete("/recordings/<int:recording_id>")
def remove_one(recording_id: int) -> Response:
    """Remove a recording with what was noted on it; undo brings it back."""
    sent()
    gone = remove_recording(library(), recording_id)
    return jsonify(message=f"{gone.name} is removed from the session. The file stays where it is.")
