"""Recordings and exported lessons as files, in the parts a player asks for.

A file is reached only through the id of a recording or lesson; no address
holds a path.
"""

from __future__ import annotations

from pathlib import Path

from flask import Blueprint, Response, make_response, request, send_file

from annotate.errors import BadInput, Missing, NotFound
from annotate.formats import captions, webvtt
from annotate.model import Job, Recording
from web.context import library

blueprint = Blueprint("media", __name__, url_prefix="/media")

# What browsers want to hear for containers whose registered names they do not know.
MEDIA_TYPES = {
    ".mp4": "video/mp4",
    ".m4v": "video/mp4",
    ".mov": "video/mp4",
    ".m4a": "audio/mp4",
    ".webm": "video/webm",
    ".mkv": "video/x-matroska",
    ".mp3": "audio/mpeg",
    ".wav": "audio/wav",
    ".flac": "audio/flac",
    ".ogg": "audio/ogg",
    ".oga": "audio/ogg",
    ".opus": "audio/ogg",
    ".jpg": "image/jpeg",
    ".png": "image/png",
    ".webp": "image/webp",
}
# What the program writes itself beside a lesson's film.
OWN_TYPES = {
    ".vtt": "text/vtt; charset=utf-8",
    ".srt": "text/plain; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".md": "text/plain; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".pdf": "application/pdf",
    ".zip": "application/zip",
    ".json": "application/json",
}
UNKNOWN_TYPE = "application/octet-stream"
# The summary carries its own style and pictures inside; it may use these and nothing else.
SUMMARY_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox"
LESSON_PARTS = ("film", "vtt", "srt", "chapters", "summary_html", "summary_md", "summary_pdf", "cover", "zip")


def send(path: Path, name: str, *, is_download: bool = False, is_own: bool = False) -> Response:
    """A file, or the part of it that was asked for; Missing when it is not there.

    A file from elsewhere never comes as a page, whatever its ending says: what is not known as
    sound, film or picture is only ever stored. One that the program wrote (``is_own``) may be text.
    """
    if not path.is_file():
        raise Missing("is not where it was", name, "Put it back, or add it again.")
    known = {**MEDIA_TYPES, **OWN_TYPES} if is_own else MEDIA_TYPES
    kind = known.get(path.suffix.lower(), UNKNOWN_TYPE)
    is_download = is_download or kind == UNKNOWN_TYPE
    return send_file(
        path,
        mimetype=kind,
        conditional=True,
        max_age=0,
        as_attachment=is_download,
        download_name=name if is_download else None,
    )


@blueprint.get("/recordings/<int:recording_id>/original")
def original(recording_id: int) -> Response:
    """The recording as it was filmed."""
    recording = library().recordings.get(recording_id)
    return send(library().recordings.file(recording), recording.name, is_download="download" in request.args)


@blueprint.get("/recordings/<int:recording_id>/play")
def play(recording_id: int) -> Response:
    """What a browser can play: the copy made for it, else the original."""
    recording = library().recordings.get(recording_id)
    if recording.playable_path:
        return send(library().path(recording.playable_path), recording.name)
    return send(library().recordings.file(recording), recording.name)


@blueprint.get("/recordings/<int:recording_id>/peaks")
def peaks(recording_id: int) -> Response:
    """The waveform's peaks, as intake wrote them."""
    recording = library().recordings.get(recording_id)
    return _made(recording, recording.peaks_path, "The waveform")


@blueprint.get("/recordings/<int:recording_id>/sheet")
def sheet(recording_id: int) -> Response:
    """The contact sheet."""
    recording = library().recordings.get(recording_id)
    return _made(recording, recording.sheet_path, "The contact sheet")


def _made(recording: Recording, relative: str | None, what: str) -> Response:
    if relative is None:
        raise Missing(f"{what} has not been made yet", recording.name, "Wait for the work to finish.")
    return send(library().path(relative), recording.name, is_own=True)


@blueprint.get("/recordings/<int:recording_id>/lines.vtt")
def lines(recording_id: int) -> Response:
    """The lines of a recording as a caption track, on the recording's own clock."""
    recording = library().recordings.get(recording_id)
    cues = captions.cut(library().lines.of_recording(recording_id), recording.duration_ms)
    return make_response(webvtt.write(cues), 200, {"Content-Type": OWN_TYPES[".vtt"], "Cache-Control": "no-cache"})


def newest_export(lesson_id: int) -> Job | None:
    """The newest finished export of a whole lesson, or None."""
    exports = library().jobs.of("export", lesson_id=lesson_id)
    return next((job for job in exports if job.state == "done" and "clip" not in job.subject), None)


@blueprint.get("/lessons/<int:lesson_id>/<part>")
def lesson_part(lesson_id: int, part: str) -> Response:
    """One file of the newest export of a lesson."""
    lesson = library().lessons.get(lesson_id)
    if part not in LESSON_PARTS:
        raise NotFound("is not a part of a lesson", part, f"Use one of {', '.join(LESSON_PARTS)}.")
    job = newest_export(lesson_id)
    if job is None or not job.result.get(part):
        raise Missing("has not been exported yet", lesson.title, "Export it first.")
    path = inside_lessons(job.result[part])
    answer = send(path, path.name, is_download="download" in request.args, is_own=True)
    if part == "summary_html":
        answer.headers["Content-Security-Policy"] = SUMMARY_POLICY
    return answer


def inside_lessons(relative: str) -> Path:
    """A path relative to the library as one on the disk; BadInput when it leads out of the lessons."""
    path = library().path(relative)
    if not path.is_relative_to(library().path("lessons")):
        raise BadInput("does not lie under the lessons", relative)
    return path
