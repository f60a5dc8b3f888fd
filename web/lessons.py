"""The pages of all lessons, of a new one, and of one."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from contextlib import suppress
from dataclasses import dataclass

from flask import Blueprint, Response, jsonify, render_template, request

from annotate.errors import NotMedia
from annotate.formats.chapters import read_text
from annotate.formats.cues import Cue
from annotate.lesson.shown.film_chapters import chapters_in
from annotate.model import Job, Lesson
from web.context import library
from web.fields import Fields, asked
from web.lesson_alone import DOWNLOADS
from web.lesson_moments import MOST_OFFERED, Moment, moments_of
from web.lesson_view import described
from web.media import LESSON_PARTS, newest_export
from web.words import long_date

blueprint = Blueprint("lessons", __name__)

FAR_MS = 2**40  # an end for the last chapter, which the page does not show


@blueprint.get("/lessons")
def index() -> str:
    """All lessons, newest first."""
    lessons = list(reversed(library().lessons.all()))
    return render_template("lessons.html", lessons=[(one, newest_export(one.id)) for one in lessons])


@blueprint.get("/lessons/new")
def new() -> str:
    """Choose moments: of a session, of a reed, of a find, or named one by one."""
    fields, store = asked(), library()
    into_id = fields.optional_integer("into")
    into = store.lessons.get(into_id) if into_id else None
    moments = moments_of(fields, into)
    return render_template(
        "lesson_new.html",
        moments=moments,
        most=MOST_OFFERED,
        into=into,
        typed=request.args,
        is_asked=any(value.strip() for name, value in request.args.items() if name != "into"),
        title=_title(fields, moments),
        lessons=store.lessons.all(),
        sessions=list(reversed(store.sessions.all())),
        reeds=store.reeds.all(),
    )


def _title(fields: Fields, moments: Sequence[Moment]) -> str:
    reed_id, session_id = fields.optional_integer("reed"), fields.optional_integer("session")
    if reed_id:
        return f"Work on reed {library().reeds.get(reed_id).name}"
    if session_id:
        return f"Session of {long_date(library().sessions.get(session_id).date)}"
    days = {moment.when[0] for moment in moments}
    return f"Session of {long_date(days.pop())}" if len(days) == 1 else ""


@dataclass(frozen=True)
class Exported:
    """What the newest export made: names of the parts that are there, and the chapters."""

    job: Job
    version: int | None  # of the lesson that was exported
    parts: dict[str, str]
    chapters: list[Cue]


@blueprint.get("/lessons/<int:lesson_id>")
def page(lesson_id: int) -> str:
    """One lesson: what frames it, its clips, its export."""
    lesson = library().lessons.get(lesson_id)
    return render_template(
        "lesson.html", lesson=lesson, about=described(lesson), exported=exported(lesson), running=_running(lesson)
    )


@blueprint.get("/api/lessons/<int:lesson_id>/exported")
def exported_part(lesson_id: int) -> Response:
    """Only the part of the page that shows the export, for a page that waits for it."""
    lesson = library().lessons.get(lesson_id)
    return jsonify(html=render_template("parts/exported.html", lesson=lesson, exported=exported(lesson)))


def exported(lesson: Lesson) -> Exported | None:
    """The newest export of a lesson, or None."""
    job = newest_export(lesson.id)
    if job is None:
        return None
    there = {
        part: DOWNLOADS.get(part, part)
        for part in LESSON_PARTS
        if job.result.get(part) and library().path(job.result[part]).is_file()
    }
    version = job.subject.get("version")
    return Exported(job, int(version) if version is not None else None, there, _chapters(job, there))


def _chapters(job: Job, there: Collection[str]) -> list[Cue]:
    """The chapters of an export: the film's own, to the picture; else those of the list, to the second."""
    if "film" in there:
        with suppress(NotMedia):
            return chapters_in(library().path(job.result["film"]))
    text = library().path(job.result["chapters"]).read_text("utf-8") if "chapters" in there else ""
    return read_text(text, FAR_MS) if text.strip() else []


def _running(lesson: Lesson) -> Job | None:
    """The export of the whole lesson that waits or runs, or None."""
    exports = library().jobs.of("export", lesson_id=lesson.id)
    return next((job for job in exports if job.state in ("waiting", "running") and "clip" not in job.subject), None)
