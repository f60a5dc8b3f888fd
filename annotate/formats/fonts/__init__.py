"""The typefaces of title cards and printed summaries, and which one can write a text.

DejaVu Sans is carried along (its licence lies beside it): Latin, Greek,
Cyrillic, and the flat and sharp signs. For other scripts a font of the machine
is used if it has the letters; else the missing ones show as boxes.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from fontTools.ttLib import TTFont, TTLibError

HERE = Path(__file__).parent
PLAIN = HERE / "DejaVuSans.ttf"
BOLD = HERE / "DejaVuSans-Bold.ttf"
MOST_LOOKED_AT = 400  # fonts of the machine; more would take seconds


def font_for(text: str, *, bold: bool = False) -> Path:
    """The file of a font that has the most of the letters of ``text``."""
    own = BOLD if bold else PLAIN
    wanted = frozenset(ord(char) for char in text if not char.isspace())
    missing = wanted - letters(own)
    if not missing:
        return own
    best, lacks = own, len(missing)
    for path in machine_fonts():
        lack = len(wanted - letters(path))
        if lack < lacks:
            best, lacks = path, lack
        if not lacks:
            break
    return best


@cache
def letters(path: Path) -> frozenset[int]:
    """The code points a font has; none if it cannot be read."""
    try:
        with TTFont(path, lazy=True) as font:
            return frozenset(font.getBestCmap() or ())
    except (OSError, TTLibError, ValueError, KeyError):
        return frozenset()


@cache
def machine_fonts() -> tuple[Path, ...]:
    """TrueType and OpenType fonts of this machine, in a steady order."""
    return tuple(sorted(_found()))[:MOST_LOOKED_AT]


def _found() -> Iterator[Path]:
    if sys.platform == "win32":
        folders = [Path(os.environ.get("WINDIR", r"C:\Windows")) / "Fonts"]
    elif sys.platform == "darwin":
        folders = [Path("/System/Library/Fonts"), Path("/Library/Fonts")]
    else:
        folders = [Path("/usr/share/fonts"), Path("/usr/local/share/fonts"), Path.home() / ".local/share/fonts"]
    for folder in folders:
        yield from (path for path in folder.rglob("*") if path.suffix.lower() in (".ttf", ".otf"))
