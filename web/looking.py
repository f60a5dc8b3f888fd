"""Looks for the file of a recording that has gone, in a folder of this machine."""

from __future__ import annotations

from flask import Blueprint, Response, jsonify

from annotate.work.finding import put_look
from web.context import library
from web.fields import sent
from web.work import described as described_job

blueprint = Blueprint("looking", __name__, url_prefix="/api/recordings")


@blueprint.post("/<int:recording_id>/look")
def look(recording_id: int) -> Response:
    """Queue the search of a folder, and all in it, for the recording's file."""
    job = put_look(library(), recording_id, sent().text("folder"))
    return jsonify(job=described_job(job), message="Looking has begun.")
