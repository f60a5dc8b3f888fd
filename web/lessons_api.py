"""Makes, changes, exports and removes lessons."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, jsonify

from annotate.errors import BadInput
from annotate.lesson.told.choosing import with_stills_inside
from annotate.model import Before, Clip, Lesson
from annotate.vocabulary.counted import counted
from annotate.work.exporting import put_export
from web.context import library
from web.fields import Fields, sent
from web.lesson_changes import added, change_of, kept_apart
from web.lesson_moments import clip_of
from web.lesson_view import asks_first, described
from web.refusals import AskFirst
from web.work import described as described_job

blueprint = Blueprint("lessons_api", __name__, url_prefix="/api/lessons")


def told(fields: Fields) -> dict[str, Any]:
    """What the fields say about what frames a lesson."""
    names = ("title", "goal", "audience", "review", "note")
    given: dict[str, Any] = {name: fields.text(name).strip() for name in names if name in fields}
    if "tools" in fields:
        given["tools"] = tuple(tool.strip() for tool in fields.texts("tools") if tool.strip())
    if "has_title_cards" in fields:
        given["has_title_cards"] = fields.flag("has_title_cards")
    return given


def chosen_clips(fields: Fields) -> list[Clip]:
    """The clips of the chosen tags and lines (``tag:12``, ``line:7``), in the order given."""
    return [clip_of(key) for key in fields.texts("moments")]


@blueprint.post("")
def add() -> Response:
    """Make a lesson of chosen moments."""
    fields = sent()
    clips, told_of = kept_apart(chosen_clips(fields))
    made = library().lessons.add(Lesson(**{"title": "", **told(fields)}, clips=tuple(clips)))
    return jsonify(
        lesson=described(made),
        location=f"/lessons/{made.id}",
        message=f"The lesson “{made.title}” is made.{told_of}",
    )


@blueprint.get("/<int:lesson_id>")
def one(lesson_id: int) -> Response:
    """A lesson with what its page needs about each clip."""
    return jsonify(lesson=described(library().lessons.get(lesson_id)))


@blueprint.put("/<int:lesson_id>")
def change(lesson_id: int) -> Response:
    """Change what frames a lesson."""
    fields = sent()
    old = library().lessons.get(lesson_id)
    made = library().lessons.change(replace(old, **told(fields), version=fields.integer("version")))
    return jsonify(lesson=described(made), message="The lesson is saved.")


@blueprint.put("/<int:lesson_id>/clips")
def change_clips(lesson_id: int) -> Response:
    """Put these clips in place of those there."""
    fields = sent()
    old = library().lessons.get(lesson_id)
    wished = tuple(_clip(one) for one in fields.each("clips"))
    told_of = change_of(old, wished)
    clips, anew = with_stills_inside(wished)
    wanted = replace(old, clips=clips, version=fields.integer("version"))
    (made,) = library().lessons.change_all([wanted], told_of.step)
    return jsonify(lesson=described(made), message=told_of.sentence + anew)


@blueprint.post("/<int:lesson_id>/clips")
def add_clips(lesson_id: int) -> Response:
    """Add chosen moments at the end."""
    fields = sent()
    old = library().lessons.get(lesson_id)
    clips, told_of = kept_apart(chosen_clips(fields), old.clips)
    wanted = replace(old, clips=(*old.clips, *clips), version=fields.optional_integer("version") or old.version)
    (made,) = library().lessons.change_all([wanted], added(old, len(clips)))
    count, verb = counted(len(clips), "clip") if clips else "No clip", "is" if len(clips) < 2 else "are"
    return jsonify(
        lesson=described(made),
        location=f"/lessons/{made.id}",
        message=f"{count} {verb} added.{told_of}",
    )


def _clip(fields: Fields) -> Clip:
    return Clip(
        recording_id=fields.integer("recording_id"),
        start_ms=fields.integer("start_ms"),
        end_ms=fields.integer("end_ms"),
        title=fields.text("title").strip(),
        note=fields.text("note").strip(),
        tag_id=fields.optional_integer("tag_id"),
        still_ms=fields.optional_integer("still_ms"),
        scraping_speed=fields.optional_integer("scraping_speed"),
        before=_before(fields),
        is_cover="is_cover" in fields and fields.flag("is_cover"),
    )


def _before(fields: Fields) -> Before | None:
    """What a clip is set against; None where nothing is."""
    if fields.values.get("before") is None:
        return None
    (one,) = Fields({"before": [fields.values["before"]]}).each("before")
    return Before(
        recording_id=one.integer("recording_id"),
        start_ms=one.integer("start_ms"),
        end_ms=one.integer("end_ms"),
        is_beside=one.flag("is_beside"),
    )


@blueprint.delete("/<int:lesson_id>")
def remove(lesson_id: int) -> Response:
    """Remove a lesson; what was exported stays on the disk."""
    sent()
    gone = library().lessons.get(lesson_id)
    library().lessons.remove(lesson_id)
    return jsonify(message=f"The lesson “{gone.title}” is removed. What was exported stays on the disk.")


@blueprint.post("/<int:lesson_id>/export")
def export(lesson_id: int) -> Response:
    """Queue the export; sessions that are not free to share must have been asked about."""
    fields = sent()
    lesson = library().lessons.get(lesson_id)
    if not lesson.clips:
        raise BadInput("has no clips yet", lesson.title, "Add at least one clip, then export.")
    questions = asks_first(lesson)
    if questions and not fields.flag("may_leave"):
        raise AskFirst(" ".join(questions), lesson.title, "Say that it may leave, or take those clips out.")
    job = put_export(library(), lesson)
    return jsonify(job=described_job(job), message="The export has begun.")
