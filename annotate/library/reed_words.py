"""The trade words of a reed, as stored in any form that knows its instrument."""

from __future__ import annotations

from typing import Any

from annotate.vocabulary import Vocabulary, vocabulary


def reed_words(reed: Any | None) -> Vocabulary:
    """The words of the instrument of a reed or of its row; the bassoon's for no reed."""
    return vocabulary(reed.instrument if reed else "bassoon")
