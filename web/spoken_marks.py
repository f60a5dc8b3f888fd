"""The order of a spoken mark, on one page to print and pin to the bench."""

from __future__ import annotations

from flask import Blueprint, render_template

from annotate.tagging import DEFAULT_SIGNAL, mark_examples, mark_parts
from annotate.vocabulary import vocabulary
from annotate.vocabulary.words import INSTRUMENTS
from web.context import library
from web.fields import asked

blueprint = Blueprint("spoken_marks", __name__)


@blueprint.get("/spoken-marks")
def page() -> str:
    """What may be said, with the maker's own signal word and the words of one instrument."""
    instrument = asked().choice("instrument") or INSTRUMENTS[0]
    signal = library().settings.get().signal_word or DEFAULT_SIGNAL
    return render_template(
        "spoken_marks.html",
        signal=signal,
        instrument=instrument,
        instruments=INSTRUMENTS,
        parts=mark_parts(signal, vocabulary(instrument)),
        examples=mark_examples(signal, instrument),
    )
