"""Draws the lesson's title cards, in the lesson's look: its colours and margins.

Conventions: cards are uint8 RGB (height, width, 3).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from annotate.lesson.cutting.drawing import Drawing, Pixels
from annotate.lesson.lettering import Colour, block, unit_of

PAPER: Colour = (246, 239, 224)
INK: Colour = (43, 36, 28)
CANE: Colour = (150, 101, 28)
SOFT: Colour = (98, 84, 64)
EDGE: Colour = (226, 213, 186)
MARGIN = 0.09  # of the width


@dataclass(frozen=True)
class CardText:
    """What stands on a card: a small line above, the title, a text below, and a small line at the foot."""

    title: str
    above: str = ""
    below: str = ""
    foot: str = ""


def card(text: CardText, width: int, height: int, done: float = 0.0) -> Drawing:
    """A title card, to be drawn when the film comes to it."""
    return Drawing(width, height, repr((text, width, height, done)), lambda: draw_card(text, width, height, done))


def draw_card(text: CardText, width: int, height: int, done: float = 0.0) -> Pixels:
    """A title card; ``done`` (0..1) is how far into the lesson it stands, drawn as a bar at the lower edge."""
    left, inner, unit = round(width * MARGIN), round(width * (1 - 2 * MARGIN)), unit_of(width, height)
    blocks = [
        block(words, unit / share, colour, bold, inner)
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
    top = max(gap, (height - sum(one.height for one in blocks) - gap * (len(blocks) - 1)) // 2 - gap)
    for one in blocks:
        one.draw(draw, left, top, inner)
        top += one.height + gap
    bar = max(4, height // 90)
    if text.foot:
        foot = block(text.foot, unit / 50, SOFT, False, inner)
        foot.draw(draw, left, height - bar - gap - foot.height, inner)
    draw.rectangle((0, height - bar, width, height), fill=EDGE)
    if done > 0:
        draw.rectangle((0, height - bar, round(width * min(done, 1.0)), height), fill=CANE)
    return np.asarray(image)
