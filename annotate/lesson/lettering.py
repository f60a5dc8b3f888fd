"""Letters in pictures: a font that has them, lines no wider than they may be, in the order in which they are read."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, sqrt
from pathlib import Path

from PIL import ImageDraw, ImageFont

from annotate.formats.fonts import BOLD, PLAIN, font_for, letters
from annotate.lesson.writing import draw_line, is_from_right, length

Colour = tuple[int, int, int]

LONGEST = 260  # characters of one text on a card; more could not be read in its time
LINE_STEP = 1.25  # line to line, in heights of the letters
FONTS_KEPT = 32  # each takes a fifth of a megabyte, and a long lesson has hundreds of texts


@dataclass(frozen=True)
class Block:
    """Wrapped lines in one font and colour; ``rtl``: of a text that runs from right to left."""

    lines: tuple[str, ...]
    font: ImageFont.FreeTypeFont
    colour: Colour
    rtl: bool = False

    @property
    def step(self) -> int:
        return round(sum(self.font.getmetrics()) * LINE_STEP / 1.17)

    @property
    def height(self) -> int:
        return self.step * len(self.lines)

    @property
    def width(self) -> int:
        return max((ceil(length(line, self.font)) for line in self.lines), default=0)

    def draw(self, draw: ImageDraw.ImageDraw, left: int, top: int, within: int = 0) -> None:
        """From ``left`` on; where it runs from right to left, up to the end of ``within`` pixels."""
        for number, line in enumerate(self.lines):
            indent = max(within, self.width) - length(line, self.font) if self.rtl else 0
            at = left + indent, top + number * self.step
            draw_line(draw, at, line, self.font, self.colour, self.rtl)


def wrapped(text: str, font: ImageFont.FreeTypeFont, width: int) -> list[str]:
    """Lines no wider than ``width`` pixels, broken between words; a word that is too long is broken inside."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if length(longer, font) <= width:
            lines[-1] = longer
            continue
        rest = word
        while rest:
            fits = next((n for n in range(len(rest), 1, -1) if length(rest[:n], font) <= width), 1)
            lines.append(rest[:fits])
            rest = rest[fits:]
    return [line for line in lines if line]


def unit_of(width: int, height: int) -> float:
    """A length to measure letters by: the width of a 16:9 picture of the same area."""
    return min(sqrt(width * height * 16 / 9), 2.0 * width)


def block(words: str, size: float, colour: Colour, bold: bool, width: int) -> Block:
    """The words in lines no wider than ``width``."""
    kept = " ".join(words.split())
    if len(kept) > LONGEST:
        kept = kept[:LONGEST].rsplit(" ", 1)[0] + " …"
    font = font_of(kept, size, bold)
    return Block(tuple(wrapped(writable(kept, font), font, width)), font, colour, is_from_right(kept))


def font_of(text: str, size: float, bold: bool) -> ImageFont.FreeTypeFont:
    """A font that can write the text best, ``size`` pixels high."""
    try:
        return _opened(font_for(text, bold=bold), max(11, round(size)))
    except OSError:  # a font of the machine that comes in one size only, as fonts of coloured pictures do
        return _opened(BOLD if bold else PLAIN, max(11, round(size)))


@lru_cache(maxsize=FONTS_KEPT)
def _opened(path: Path, size: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(path), size)


def writable(text: str, font: ImageFont.FreeTypeFont) -> str:
    """The text without the little pictures (emoji) that the font has not; letters it has not stay, as boxes."""
    known = letters(Path(str(font.path)))
    kept = "".join(one for one in text if ord(one) in known or not _is_small_picture(one))
    words = (word.strip("\u200d\ufe0f") for word in kept.split())  # joiners of what is gone
    return " ".join(word for word in words if word) or text


def _is_small_picture(one: str) -> bool:
    """Emoji, their skin colours, joiners and variation selectors; also what this Python's Unicode does not know yet."""
    return unicodedata.category(one) in ("So", "Sk", "Cf", "Cn") or "\ufe00" <= one <= "\ufe0f"
