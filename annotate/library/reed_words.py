"""The trade words of a reed, as stored in any form that knows its instrument."""

from __future__ import annotations

from typing import Any

from annotate.library.codec import Row
from annotate.vocabulary import Vocabulary, vocabulary

_GROUPS = {
    "step": "steps",
    "zones": "zones",
    "zone": "zones",
    "blade": "blades",
    "side": "sides",
    "symptoms": "symptoms",
}


def reed_words(reed: Any | None) -> Vocabulary:
    """The words of the instrument of a reed or of its row; the bassoon's for no reed."""
    return vocabulary(reed.instrument if reed else "bassoon")


def check_words(words: Vocabulary, row: Row) -> None:
    """Raise BadWord unless the trade words of a row are those of an instrument."""
    for name, group in _GROUPS.items():
        told = row.get(name)
        words.check(group, tuple(told) if isinstance(told, list) else told)
