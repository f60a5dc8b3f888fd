"""What the maker sets: the tuning note, words of their own, the signal word, the language."""

from __future__ import annotations

from flask import Blueprint, Response, jsonify, render_template

from annotate.errors import BadInput
from annotate.library.settings import Choices, check_language
from annotate.tagging import DEFAULT_SIGNAL, check_signal
from web.context import library
from web.fields import sent

blueprint = Blueprint("settings", __name__)


@blueprint.get("/settings")
def page() -> str:
    """The settings."""
    return render_template(
        "settings.html", folder=str(library().folder), choices=library().settings.get(), usual_signal=DEFAULT_SIGNAL
    )


@blueprint.put("/api/settings")
def change() -> Response:
    """Store what was chosen."""
    fields = sent()
    a4_hz = fields.decimal("a4_hz")
    if a4_hz is None:
        raise BadInput("The tuning note is empty", next_step="Give 400 to 480 Hz; 440 is the standard.")
    signal = fields.text("signal_word").strip()
    language = check_language(fields.text("language"))
    library().settings.put(
        Choices(
            a4_hz=float(a4_hz),
            own_words=tuple(word.strip() for word in fields.texts("own_words") if word.strip()),
            signal_word=check_signal(signal) if signal else "",
            language=language,
        )
    )
    return jsonify(message="The settings are saved. They hold for what is heard from now on.")
