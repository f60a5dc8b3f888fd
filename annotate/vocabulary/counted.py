"""How many of something, in words."""

from __future__ import annotations


def counted(count: int, one: str, several: str = "") -> str:
    """``1 clip``, ``2 clips``; ``several`` where it is not ``one`` with an s."""
    return f"{count} {one if count == 1 else several or one + 's'}"
