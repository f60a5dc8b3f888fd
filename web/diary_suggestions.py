"""A suggestion as a page reads it."""

from __future__ import annotations

from typing import Any

from annotate.model import Suggestion
from annotate.work.deciding import as_work, would_be
from web.plain import plain


def shown(suggestion: Suggestion) -> dict[str, Any]:
    """A suggestion with the value it would become; for a recap, as if it were work of this moment."""
    made = as_work(suggestion) if suggestion.kind == "recap" and suggestion.content["step"] else would_be(suggestion)
    return {**plain(suggestion), "would_be": plain(made) if made else None}
