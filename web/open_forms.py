"""Readings as a table and tags as W3C Web Annotations: files to take out, and to bring in."""

from __future__ import annotations

from flask import Blueprint, Response, jsonify

from annotate.model import Reading, Tag
from annotate.work.open_forms import BroughtIn, readings_in, readings_out, tags_in, tags_out
from web.context import library
from web.fields import asked
from web.files import attached, sent_text

blueprint = Blueprint("open_forms", __name__)


def _told(brought: BroughtIn[Reading] | BroughtIn[Tag]) -> Response:
    return jsonify(made=len(brought.made), known=brought.known, message=brought.told)


@blueprint.get("/readings.csv")
def readings_table() -> Response:
    """The readings of a reed (``reed=ID``), or all, as CSV."""
    reed_id = asked().optional_integer("reed")
    name = f"readings-{library().reeds.get(reed_id).name}.csv" if reed_id else "readings.csv"
    return attached(readings_out(library(), reed_id), "text/csv; charset=utf-8; header=present", name)


@blueprint.put("/api/readings/table")
def bring_readings() -> Response:
    """Readings from the bytes of a CSV file."""
    return _told(readings_in(library(), sent_text("A table")))


@blueprint.get("/sessions/<int:session_id>/tags.jsonld")
def tagsattached(session_id: int) -> Response:
    """The tags of a session as an annotation collection."""
    session = library().sessions.get(session_id)
    return attached(tags_out(library(), session_id), "application/ld+json", f"tags-{session.date}.jsonld")


@blueprint.put("/api/tags/annotations")
def bring_tags() -> Response:
    """Tags from the bytes of a file of annotations."""
    return _told(tags_in(library(), sent_text("A file of tags")))
