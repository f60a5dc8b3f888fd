"""A suggestion as a page reads it."""

from __future__ import annotations

from typing import Any

from annotate.model import Suggestion
from annotate.work.deciding import would_be
from web.plain import plain


def shown(suggestion: Suggestion) -> dict[str, Any]:
    """A suggestion with the value it would become (None for a recap)."""
    made = would_be(suggestion)
    return {**plain(suggestion), "would_be": plain(made) if made else None}
