"""The pages of all lessons, of a new one, and of one."""

from __future__ import annotations

from collections.abc import Collection
from contextlib import suppress
from dataclasses import dataclass, replace

from flask import Blueprint, Response, jsonify, render_template

from annotate.errors import NotFound, NotMedia
from annotate.find.question import Question
from annotate.formats.chapters import read_text
from annotate.formats.cues import Cue
from annotate.lesson.choosing import clip_of_line, clip_of_tag
from annotate.lesson.film_chapters import chapters_in
from annotate.model import Job, Lesson
from annotate.timecode import clock
from web.context import library
from web.fields import Fields, asked
from web.find import question_of
from web.lesson_view import described
from web.media import LESSON_PARTS, newest_export
from web.words import long_date

blueprint = Blueprint("lessons", __name__)

MOST_OFFERED = 200
FAR_MS = 2**40  # an end for the last chapter, which the page does not show
DOWNLOADS = {
    "film": "Film (MP4)",
    "vtt": "Captions (WebVTT)",
    "srt": "Captions (SubRip)",
    "chapters": "Chapter list (text)",
    "summary_html": "Step summary (HTML)",
    "summary_md": "Step summary (Markdown)",
    "summary_pdf": "Step summary (PDF)",
    "cover": "Cover picture",
    "zip": "All of it (zip)",
}


@dataclass(frozen=True)
class Moment:
    """A tag or line that can become a clip."""

    key: str
    title: str
    where: str
    span: str
    note: str


@blueprint.get("/lessons")
def index() -> str:
    """All lessons, newest first."""
    lessons = list(reversed(library().lessons.all()))
    return render_template("lessons.html", lessons=[(one, newest_export(one.id)) for one in lessons])


@blueprint.get("/lessons/new")
def new() -> str:
    """Choose moments: of a session, of a reed, of a find, or named one by one."""
    fields = asked()
    moments = moments_of(fields)
    return render_template("lesson_new.html", moments=moments, title=_title(fields), lessons=library().lessons.all())


def _title(fields: Fields) -> str:
    reed_id, session_id = fields.optional_integer("reed"), fields.optional_integer("session")
    if reed_id:
        return f"Work on reed {library().reeds.get(reed_id).name}"
    if session_id:
        return f"Session of {long_date(library().sessions.get(session_id).date)}"
    return ""


def moments_of(fields: Fields) -> list[Moment]:
    """The moments an address names: ``moments=tag:1,line:2``, ``session=3``, ``reed=4``, or a find."""
    store = library()
    if fields.choice("moments"):
        keys = [key.strip() for key in fields.text("moments").split(",") if key.strip()]
        return [_moment(key) for key in keys[:MOST_OFFERED]]
    session_id = fields.optional_integer("session")
    if session_id:
        store.sessions.get(session_id)
        return [_moment(f"tag:{tag.id}") for tag in store.tags.of_session(session_id)[:MOST_OFFERED]]
    question = question_of(fields, limit=MOST_OFFERED)
    if question.is_empty:
        return []
    kinds = question.kinds if question.kinds in (("tag",), ("line",)) else _fitting_kinds(question)
    hits = store.find(replace(question, kinds=kinds))
    return [_moment(f"{hit.kind}:{hit.row_id}") for hit in hits]


def _fitting_kinds(question: Question) -> tuple[str, ...]:
    """With words, tags and lines; with a reed, step or zone alone, the tags."""
    return ("tag", "line") if question.words() else ("tag",)


def _moment(key: str) -> Moment:
    store = library()
    kind, _, number = key.partition(":")
    row_id = Fields({"moment": number}).integer("moment")
    if kind == "tag":
        clip = clip_of_tag(tag := store.tags.get(row_id), store.reeds.words(tag.reed_id))
    elif kind == "line":
        clip = clip_of_line(store.lines.get(row_id))
    else:
        raise NotFound("is neither a tag nor a line", key)
    recording = store.recordings.get(clip.recording_id)
    session = store.sessions.get(recording.session_id)
    span = f"{clock(clip.start_ms)} to {clock(clip.end_ms)}"
    return Moment(key, clip.title, f"{long_date(session.date)}, {recording.name}", span, clip.note)


@dataclass(frozen=True)
class Exported:
    """What the newest export made: names of the parts that are there, and the chapters."""

    job: Job
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
    return Exported(job, there, _chapters(job, there))


def _chapters(job: Job, there: Collection[str]) -> list[Cue]:
    """The chapters of an export: the film's own, to the picture; else those of the list, to the second."""
    if "film" in there:
        with suppress(NotMedia):
            return chapters_in(library().path(job.result["film"]))
    text = library().path(job.result["chapters"]).read_text("utf-8") if "chapters" in there else ""
    return read_text(text, FAR_MS) if text.strip() else []


def _running(lesson: Lesson) -> Job | None:
    for job in library().jobs.all():
        if job.kind == "export" and job.subject.get("lesson_id") == lesson.id and job.state in ("waiting", "running"):
            return job
    return None
