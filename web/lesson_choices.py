"""Changes how a lesson is shown, and drafts what frames it."""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, Response, jsonify

from annotate.model import Showing
from web.context import library
from web.fields import Fields, sent
from web.lesson_view import described

blueprint = Blueprint("lesson_choices", __name__, url_prefix="/api/lessons")


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
