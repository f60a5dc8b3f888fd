"""Exports one clip of a lesson, and gives the files that it made."""

from __future__ import annotations

from flask import Blueprint, Response, jsonify, request

from annotate.errors import Missing, NotFound
from annotate.work.exporting import KEYS, put_export, single
from web.context import library
from web.fields import sent
from web.lesson_alone import DOWNLOADS
from web.lesson_view import asks_first
from web.media import SUMMARY_POLICY, inside_lessons, send
from web.refusals import AskFirst
from web.work import described as described_job

blueprint = Blueprint("clip_export", __name__)


@blueprint.post("/api/lessons/<int:lesson_id>/clips/<int:number>/export")
def export(lesson_id: int, number: int) -> Response:
    """Queue the export of one clip (the first is 1); what is not free to share must have been asked about."""
    fields = sent()
    lesson = library().lessons.get(lesson_id)
    questions = asks_first(single(library(), lesson, number))
    if questions and not fields.flag("may_leave"):
        raise AskFirst(" ".join(questions), lesson.title, "Say that it may leave, or do not export the clip.")
    job = put_export(library(), lesson, number)
    return jsonify(job=described_job(job), message=f"The export of clip {number} has begun.")


@blueprint.get("/api/lessons/<int:lesson_id>/clips/<int:number>/asks")
def asks(lesson_id: int, number: int) -> Response:
    """What must be asked before the clip leaves, a sentence each."""
    return jsonify(asks_first=asks_first(single(library(), library().lessons.get(lesson_id), number)))


@blueprint.get("/media/exports/<int:job_id>/<part>")
def exported_part(job_id: int, part: str) -> Response:
    """One file that an export made."""
    job = library().jobs.get(job_id)
    if part not in KEYS or job.kind != "export":
        raise NotFound("is not a part of an export", part, f"Use one of {', '.join(KEYS)}.")
    if not job.result.get(part):
        raise Missing("has not been exported yet", DOWNLOADS[part], "Export it first.")
    path = inside_lessons(job.result[part])
    answer = send(path, path.name, is_download="download" in request.args, is_own=True)
    if part == "summary_html":
        answer.headers["Content-Security-Policy"] = SUMMARY_POLICY
    return answer
