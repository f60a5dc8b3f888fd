"""Chapters and captions of a whole recording, to go beside it."""

from __future__ import annotations

from flask import Blueprint, Response, make_response, render_template

from annotate.errors import NotFound
from annotate.lesson.shown.whole import Whole
from annotate.model import Recording
from annotate.work.whole import file_name, whole_recording
from web.context import library
from web.fields import asked
from web.lesson_view import asks_about
from web.refusals import AskFirst

blueprint = Blueprint("whole", __name__)

FILES = {
    "chapters": ("Chapter list (text)", ".chapters.txt", "text/plain; charset=utf-8"),
    "vtt": ("Captions (WebVTT)", ".vtt", "text/vtt; charset=utf-8"),
    "srt": ("Captions (SubRip)", ".srt", "text/plain; charset=utf-8"),
}


def _questions(recording: Recording) -> list[str]:
    session = library().sessions.get(recording.session_id)
    return [] if session.sharing == "free" else [asks_about(session)]


@blueprint.get("/recordings/<int:recording_id>/whole")
def page(recording_id: int) -> str:
    """The three files; before they may be had, what must be asked."""
    recording = library().recordings.get(recording_id)
    questions = [] if asked().choice("may_leave") else _questions(recording)
    return render_template(
        "whole.html",
        recording=recording,
        session=library().sessions.get(recording.session_id),
        questions=questions,
        may_leave="?may_leave=yes" if asked().choice("may_leave") else "",
        files={kind: (label, file_name(library(), recording) + ending) for kind, (label, ending, _) in FILES.items()},
        made=whole_recording(library(), recording_id),
    )


@blueprint.get("/recordings/<int:recording_id>/whole/<kind>")
def file(recording_id: int, kind: str) -> Response:
    """One of the files, as a download."""
    recording = library().recordings.get(recording_id)
    if kind not in FILES:
        raise NotFound("is not made of a whole recording", kind, f"Use one of {', '.join(FILES)}.")
    questions = _questions(recording)
    if questions and asked().choice("may_leave") != "yes":
        raise AskFirst(" ".join(questions), recording.name, "Say on its page that it may leave.")
    _, ending, media_type = FILES[kind]
    name = file_name(library(), recording) + ending
    answer = make_response(_text(whole_recording(library(), recording_id), kind), 200)
    answer.headers.update({"Content-Type": media_type, "Content-Disposition": f'attachment; filename="{name}"'})
    return answer


def _text(made: Whole, kind: str) -> str:
    return {"chapters": made.chapters_text, "vtt": made.vtt, "srt": made.srt}[kind]
