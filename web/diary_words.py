"""The words of a session as a whole: find and replace, transcripts in and out, the language of a recording."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from flask import Blueprint, Response, jsonify

from annotate.errors import BadInput, NotFound
from annotate.formats import transcript
from annotate.formats.transcript import Form
from annotate.library.settings import check_language
from annotate.vocabulary.counted import counted
from annotate.work.bringing import bring
from annotate.work.replacing import Search, changes, replace_all
from web.context import library
from web.fields import Fields, sent
from web.files import attached, sent_text

blueprint = Blueprint("diary_words", __name__, url_prefix="/api")
SHOWN = 20  # lines of a preview
ENDINGS = {"text": "txt", "vtt": "vtt", "srt": "srt"}
TYPES = {"text": "text/plain", "vtt": "text/vtt", "srt": "application/x-subrip"}


def _search(fields: Fields) -> Search:
    return Search(
        fields.text("sought"),
        fields.text("replacement"),
        fields.flag("whole_words", default=True),
        fields.flag("same_capitals"),
    )


@blueprint.post("/sessions/<int:session_id>/replace/preview")
def preview(session_id: int) -> Response:
    """What a replacement would do: how often, on how many lines, and the first of them."""
    found = changes(library(), session_id, _search(sent()))
    times = sum(one.count for one in found)
    shown = [
        {"recording_id": one.line.recording_id, "at_ms": one.line.start_ms, "before": one.line.text, "after": one.text}
        for one in found[:SHOWN]
    ]
    message = f"Found {counted(times, 'time')} on {counted(len(found), 'line')}." if found else "Found nowhere."
    return jsonify(count=times, lines=len(found), shown=shown, message=message)


@blueprint.post("/sessions/<int:session_id>/replace")
def replace_words(session_id: int) -> Response:
    """Replace over the session; one step of undo."""
    changed = replace_all(library(), session_id, _search(sent()))
    return jsonify(lines=len(changed), message=f"Replaced on {counted(len(changed), 'line')}.")


@blueprint.put("/recordings/<int:recording_id>/transcript")
def bring_in(recording_id: int) -> Response:
    """A transcript as the bytes of its file."""
    text = sent_text("A transcript")
    recording = library().recordings.get(recording_id)
    cues = transcript.read(text, recording.duration_ms)
    brought = bring(library(), recording_id, cues)
    return jsonify(lines=len(brought.lines), kept=brought.kept, left_out=brought.left_out, message=brought.told)


@blueprint.get("/recordings/<int:recording_id>/transcript/<form>")
def take_out(recording_id: int, form: Form) -> Response:
    """The lines of a recording as a file: ``text``, ``vtt`` or ``srt``."""
    if form not in get_args(Form):
        raise NotFound(f"There is no form {form} of a transcript", next_step="Use text, vtt or srt.")
    recording = library().recordings.get(recording_id)
    text = transcript.write(form, library().lines.of_recording(recording_id), recording.duration_ms)
    stem = recording.name.rpartition(".")[0] or recording.name
    return attached(text, f"{TYPES[form]}; charset=utf-8", f"{stem}.{ENDINGS[form]}")


@blueprint.put("/recordings/<int:recording_id>/language")
def set_language(recording_id: int) -> Response:
    """The language of a recording ("" is told by listening); one step of undo."""
    fields = sent()
    language = check_language(fields.text("language"))
    stored = library().recordings.get(recording_id)
    library().recordings.change(replace(stored, language=language))
    is_heard_now = _is_heard_now(recording_id)
    then = "It is being heard now; listen again after that." if is_heard_now else "Listen again to use it."
    return jsonify(language=language, message=f"The language is saved. {then}")


def _is_heard_now(recording_id: int) -> bool:
    return any(job.state == "running" for job in library().jobs.of("listen", recording_id=recording_id))


@blueprint.post("/recordings/<int:recording_id>/listen")
def listen_again(recording_id: int) -> Response:
    """Put a recording into the queue to be heard again; lines that the maker changed stay."""
    recording = library().recordings.get(recording_id)
    if not recording.has_sound:
        raise BadInput("has no sound to listen to", recording.name)
    is_heard_now = _is_heard_now(recording_id)
    job = library().jobs.put("listen", {"recording_id": recording_id})
    told = (
        "It is being heard already; stop that on the page of work to begin anew."
        if is_heard_now
        else ("It will be heard again. The lines you changed stay.")
    )
    return jsonify(job=job.id, message=told)
