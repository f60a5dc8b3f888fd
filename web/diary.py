"""The diary: the page of a session, on which time runs down the page."""

from __future__ import annotations

from flask import Blueprint, render_template

from web.context import library
from web.diary_view import Diary
from web.fields import asked
from web.reed_drawing import blade_name

blueprint = Blueprint("diary", __name__)
blueprint.add_app_template_global(blade_name)


@blueprint.get("/sessions/<int:session_id>")
def page(session_id: int) -> str:
    """The session with all its recordings; ``?recording=ID&at=MS`` opens it at a moment."""
    diary = Diary(library(), session_id)
    wanted = asked().optional_integer("recording")
    at_ms = max(asked().optional_integer("at") or 0, 0)
    current = next((r for r in diary.recordings if r.id == wanted), None)
    current = current or (diary.recordings[0] if diary.recordings else None)
    return render_template(
        "diary.html",
        diary=diary,
        session=diary.session,
        chapters=[diary.chapter(recording) for recording in diary.recordings],
        drawings=diary.drawings(),
        current=current,
        at_ms=at_ms,
    )
