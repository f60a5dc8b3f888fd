"""Changes how a lesson is shown, and drafts what frames it."""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, Response, jsonify

from annotate.lesson.told.drafting import Drafted
from annotate.model import Lesson, Showing
from annotate.vocabulary.counted import counted
from annotate.work.drafting import drafted, with_drafts
from web.context import library
from web.fields import Fields, sent
from web.lesson_view import described
from web.lessons_api import told

blueprint = Blueprint("lesson_choices", __name__, url_prefix="/api/lessons")

FRAMES = (("goal", "Goal"), ("tools", "Materials and tools"), ("review", "Review"))


def showing_of(fields: Fields, showing: Showing) -> Showing:
    """How a lesson is shown, by what the fields say; what is not among them stays as it is."""
    given: dict[str, int | str | bool | None] = {}
    for name in ("scraping_speed", "scraping_longer_ms"):
        if name in fields:
            given[name] = fields.integer(name)
    if "quiet_longer_ms" in fields:
        given["quiet_longer_ms"] = fields.optional_integer("quiet_longer_ms")
    if "scraping_sound" in fields:
        given["scraping_sound"] = fields.text("scraping_sound")
    for name in ("evens_loudness", "burns_captions"):
        if name in fields:
            given[name] = fields.flag(name)
    return replace(showing, **given)  # type: ignore[arg-type]


@blueprint.put("/<int:lesson_id>/showing")
def change_showing(lesson_id: int) -> Response:
    """Change how the lesson is shown."""
    fields = sent()
    old = library().lessons.get(lesson_id)
    wanted = replace(old, showing=showing_of(fields, old.showing), version=fields.integer("version"))
    (made,) = library().lessons.change_all([wanted], f"changed how the lesson “{old.title}” is shown")
    return jsonify(lesson=described(made), message="How it is shown is saved.")


@blueprint.post("/<int:lesson_id>/draft")
def draft(lesson_id: int) -> Response:
    """Fill what is empty with drafts, after saving what the fields of the page hold; one step of undo."""
    fields = sent()
    old = library().lessons.get(lesson_id)
    typed = replace(old, **told(fields), version=fields.integer("version"))
    made = with_drafts(library(), typed)
    told_of = told_drafts(typed, made, drafted(library(), typed))
    if replace(made, version=old.version) != old:
        (made,) = library().lessons.change_all([made], f"drafted what was empty in the lesson “{old.title}”")
    is_new = made.clips != typed.clips or any(getattr(made, name) != getattr(typed, name) for name, _ in FRAMES)
    message = "What was empty is drafted. Read it and change what does not fit." if is_new else "Nothing was drafted."
    return jsonify(lesson=described(made), message=message, told=told_of)


def told_drafts(old: Lesson, new: Lesson, found: Drafted) -> list[str]:
    """A sentence for each text that was empty: drafted from what, or why not."""
    made = []
    for name, label in FRAMES:
        if getattr(old, name):
            continue
        source = getattr(found, name).source
        made.append(f"{label}: drafted from {source}." if getattr(new, name) else f"{label}: left empty, {source}.")
    numbers = [n for n, pair in enumerate(zip(old.clips, new.clips, strict=True), 1) if pair[0].title != pair[1].title]
    if numbers:
        made.append(f"{counted(len(numbers), 'title')}: drafted from the tags of {_clips(numbers)}.")
    bare = [number for number, clip in enumerate(new.clips, 1) if not clip.title.strip()]
    if bare:
        made.append(f"No title for {_clips(bare)}: no tag lies in there.")
    return made or ["Nothing was empty: what you wrote stays."]


def _clips(numbers: list[int]) -> str:
    named = [str(number) for number in numbers]
    return f"clip {named[0]}" if len(named) == 1 else f"clips {', '.join(named[:-1])} and {named[-1]}"
