"""Draws the lesson's title cards and the notes laid over the picture.

Conventions: cards are uint8 RGB (height, width, 3), notes uint8 RGBA.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from annotate.formats.fonts import font_for

Picture = NDArray[np.uint8]
Colour = tuple[int, int, int]

PAPER: Colour = (246, 239, 224)
INK: Colour = (43, 36, 28)
CANE: Colour = (150, 101, 28)
SOFT: Colour = (98, 84, 64)
EDGE: Colour = (226, 213, 186)
NOTE_PAPER: Colour = (43, 36, 28)
NOTE_INK: Colour = (255, 248, 232)
NOTE_ALPHA = 232  # of 255: the words stay readable over any picture
MARGIN = 0.09  # of the width
LONGEST = 260  # characters of one text on a card; more could not be read in its time
LINE_STEP = 1.25  # line to line, in heights of the letters


@dataclass(frozen=True)
class CardText:
    """What stands on a card: a small line above, the title, a text below, and a small line at the foot."""

    title: str
    above: str = ""
    below: str = ""
    foot: str = ""


@dataclass(frozen=True)
class _Block:
    """Wrapped lines in one font and colour."""

    lines: tuple[str, ...]
    font: ImageFont.FreeTypeFont
    colour: Colour

    @property
    def step(self) -> int:
        return round(sum(self.font.getmetrics()) * LINE_STEP / 1.17)

    @property
    def height(self) -> int:
        return self.step * len(self.lines)

    def draw(self, draw: ImageDraw.ImageDraw, left: int, top: int) -> None:
        for number, line in enumerate(self.lines):
            draw.text((left, top + number * self.step), line, font=self.font, fill=self.colour)


def draw_card(text: CardText, width: int, height: int, done: float = 0.0) -> Picture:
    """A title card; ``done`` (0..1) is how far into the lesson it stands, drawn as a bar at the lower edge."""
    left, inner, unit = round(width * MARGIN), round(width * (1 - 2 * MARGIN)), _unit(width, height)
    blocks = [
        _block(words, unit / share, colour, bold, inner)
        for words, share, colour, bold in (
            (text.above, 38, CANE, True),
            (text.title, 20, INK, True),
            (text.below, 34, SOFT, False),
        )
        if words.strip()
    ]
    gap = round(unit / 45)
    image = Image.new("RGB", (width, height), PAPER)
    draw = ImageDraw.Draw(image)
    top = max(gap, (height - sum(block.height for block in blocks) - gap * (len(blocks) - 1)) // 2 - gap)
    for block in blocks:
        block.draw(draw, left, top)
        top += block.height + gap
    bar = max(4, height // 90)
    if text.foot:
        foot = _block(text.foot, unit / 50, SOFT, False, inner)
        foot.draw(draw, left, height - bar - gap - foot.height)
    draw.rectangle((0, height - bar, width, height), fill=EDGE)
    if done > 0:
        draw.rectangle((0, height - bar, round(width * min(done, 1.0)), height), fill=CANE)
    return np.asarray(image)


def draw_note(text: str, width: int, height: int) -> Picture:
    """A note to be laid over the upper part of a picture of this size: RGBA, as wide as the margins allow."""
    unit, inner = _unit(width, height), round(width * (1 - 2 * MARGIN))
    pad = round(unit / 60)
    block = _block(text, unit / 38, NOTE_INK, True, inner - 3 * pad)
    image = Image.new("RGBA", (inner, block.height + 2 * pad), (*NOTE_PAPER, NOTE_ALPHA))
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 0, max(3, pad // 3), image.height), fill=(*CANE, 255))
    block.draw(draw, 2 * pad, pad)
    return np.asarray(image)


def wrapped(text: str, font: ImageFont.FreeTypeFont, width: int) -> list[str]:
    """Lines no wider than ``width`` pixels, broken between words; a word that is too long is broken inside."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if font.getlength(longer) <= width:
            lines[-1] = longer
            continue
        rest = word
        while rest:
            fits = next((n for n in range(len(rest), 1, -1) if font.getlength(rest[:n]) <= width), 1)
            lines.append(rest[:fits])
            rest = rest[fits:]
    return [line for line in lines if line]


def _unit(width: int, height: int) -> float:
    """A length to measure letters by: the width of a 16:9 picture of the same area."""
    return min(sqrt(width * height * 16 / 9), 2.0 * width)


def _block(words: str, size: float, colour: Colour, bold: bool, width: int) -> _Block:
    kept = " ".join(words.split())
    if len(kept) > LONGEST:
        kept = kept[:LONGEST].rsplit(" ", 1)[0] + " …"
    font = ImageFont.truetype(str(font_for(kept, bold=bold)), max(11, round(size)))
    return _Block(tuple(wrapped(kept, font, width)), font, colour)
