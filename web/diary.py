"""The diary: the page of a session, on which time runs down the page."""

from __future__ import annotations

from collections.abc import Iterator

from flask import Blueprint, Response, stream_template

from annotate.work.adding import cut_short_told
from web.context import library
from web.diary_view import Diary
from web.fields import asked
from web.languages import LANGUAGES, language_name
from web.reed_drawing import blade_name

blueprint = Blueprint("diary", __name__)
blueprint.add_app_template_global(blade_name)
blueprint.add_app_template_filter(cut_short_told)
blueprint.add_app_template_filter(language_name)


@blueprint.app_context_processor
def _languages() -> dict[str, object]:
    return {"LANGUAGES": LANGUAGES}


FIRST_PIECE_CHARACTERS = 4_000  # the head of the page is sent, and painted, before the lines are read
PIECE_CHARACTERS = 32_000


@blueprint.get("/sessions/<int:session_id>")
def page(session_id: int) -> Response:
    """The session with all its recordings; ``?recording=ID&at=MS`` opens it at a moment."""
    diary = Diary(library(), session_id)
    wanted = asked().optional_integer("recording")
    at_ms = max(asked().optional_integer("at") or 0, 0)
    current = next((r for r in diary.recordings if r.id == wanted), None)
    current = current or (diary.recordings[0] if diary.recordings else None)
    pieces = stream_template(
        "diary.html",
        diary=diary,
        session=diary.session,
        chapters=(diary.chapter(recording) for recording in diary.recordings),
        drawings=diary.drawings(),
        current=current,
        at_ms=at_ms,
    )
    return Response(_grouped(pieces), mimetype="text/html")


def _grouped(pieces: Iterator[str]) -> Iterator[str]:
    """Small pieces of text joined to larger ones, the first one soon."""
    held: list[str] = []
    size, wanted = 0, FIRST_PIECE_CHARACTERS
    for piece in pieces:
        held.append(piece)
        size += len(piece)
        if size >= wanted:
            yield "".join(held)
            held, size, wanted = [], 0, PIECE_CHARACTERS
    yield "".join(held)
