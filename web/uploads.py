"""Takes files into a session: sent in pieces, or used where they lie."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from flask import Blueprint, Response, jsonify, request

from annotate.errors import BadInput, BenchreelError
from annotate.intake.fingerprint import never
from annotate.model import Recording
from annotate.timecode import clock
from annotate.work.adding import Adding, add_file, cut_short_told, jobs_for
from web.context import context, library
from web.fields import asked, sent
from web.incoming import PIECE_BYTES, Uploads, append
from web.plain import plain_recording

blueprint = Blueprint("uploads", __name__)


def _uploads() -> Uploads:
    return context().uploads


@blueprint.post("/api/uploads")
def begin() -> Response:
    """Begin to send a file."""
    upload = _uploads().begin(library(), sent())
    return jsonify(key=upload.key, piece_bytes=PIECE_BYTES)


@blueprint.put("/api/uploads/<key>")
def piece(key: str) -> Response:
    """Take the next piece; says how much has arrived, so that the page knows where to go on."""
    upload = _uploads().get(key)
    offset = asked().integer("offset")
    if request.mimetype != "application/octet-stream":
        raise BadInput("A piece is sent as application/octet-stream", request.mimetype)
    append(upload, offset, request.stream)
    return jsonify(got_bytes=upload.got_bytes)


@blueprint.post("/api/uploads/<key>/finish")
def finish(key: str) -> Response:
    """Take the whole file into the library and queue what follows."""
    upload = _uploads().get(key)
    if upload.got_bytes != upload.size_bytes or upload.path.stat().st_size != upload.size_bytes:
        raise BadInput(
            f"has not arrived whole ({upload.got_bytes} of {upload.size_bytes} bytes)", upload.name, "Send it again."
        )
    sent()
    try:
        return _added(upload.path, upload.session_id, Adding(move=True, name=upload.name, reed_id=upload.reed_id))
    except BenchreelError as error:
        error.subject = error.subject.replace(upload.path.name, upload.name)
        raise
    finally:
        _uploads().drop(key)


@blueprint.delete("/api/uploads/<key>")
def drop(key: str) -> Response:
    """Stop sending a file."""
    sent()
    _uploads().drop(key)
    return jsonify(message="Stopped.")


@blueprint.post("/api/sessions/<int:session_id>/in-place")
def in_place(session_id: int) -> Response:
    """Add a file of this machine that stays where it lies."""
    fields = sent()
    written = fields.text("path").strip().strip('"')
    if not written:
        raise BadInput("No file is named", next_step="Write the whole path of a file on this computer.")
    path = Path(written).expanduser()
    if not path.is_absolute():
        raise BadInput("is not a whole path", str(path), "Write it from the root or drive on.")
    key, stopped = fields.text("key") if "key" in fields else "", context().stopped
    try:
        how = Adding(keep=False, reed_id=fields.optional_integer("reed_id"))
        return _added(path, session_id, how, lambda: key in stopped)
    finally:
        stopped.discard(key)


@blueprint.delete("/api/in-place/<key>")
def stop_in_place(key: str) -> Response:
    """Stop adding a file that stays where it lies; what is asked for it says what became of it."""
    sent()
    context().stopped.add(key)
    return jsonify(message="Stopping.")


def _added(path: Path, session_id: int, how: Adding, cancelled: Callable[[], bool] = never) -> Response:
    store = library()
    recording = add_file(store, path, session_id, how, cancelled=cancelled)
    jobs_for(store, recording)
    return jsonify(recording=plain_recording(recording), message=added_sentence(recording))


def added_sentence(recording: Recording) -> str:
    """What was read off a new recording, in a sentence."""
    probe = recording.probe
    kind = f"{probe.width} × {probe.height}" if recording.has_picture else "sound only"
    silence = "" if recording.has_sound else ", without sound"
    copy = " A copy that the browser can play is being made." if probe.needs_playable else ""
    cut = cut_short_told(recording)
    told = f" {cut} If you have the whole recording elsewhere, add it too." if cut else ""
    return f"{recording.name} is added: {clock(recording.duration_ms)}, {kind}{silence}.{copy}{told}"
