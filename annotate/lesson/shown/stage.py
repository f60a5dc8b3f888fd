"""Two recordings side by side: the one plays in its box while the other stands still, with their numbers below.

The sounds follow one another, so each picture moves while it is heard.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from annotate.lesson.cutting.drawing import Drawing, Pixels, Stage
from annotate.lesson.lettering import Block, block, unit_of
from annotate.lesson.shown.cards import CANE, EDGE, INK, PAPER, SOFT
from annotate.lesson.shown.panels import caption_room

MARGIN, GAP = 0.04, 0.03  # of the width
NUMBERS_MOST = 0.25  # of the height; rows that do not fit are left to the summary
GREY = (24, 24, 24)


@dataclass(frozen=True)
class Side:
    """One of the two: its headline, where it is from, its numbers, its shape, and the picture that stands still.

    ``still`` gives that picture for a box of some width and height, as large or nearly.
    """

    head: str
    where: str
    rows: tuple[str, ...]
    width: int
    height: int
    still_name: str
    still: Callable[[int, int], Pixels]


@dataclass(frozen=True)
class _Column:
    """A side laid out: what is written where, and its box."""

    words: tuple[tuple[Block, int, int], ...]
    box: tuple[int, int, int, int]


def stage_for(sides: tuple[Side, Side], playing: int, width: int, height: int) -> Stage:
    """The film's picture for two sides, with a box for the one that is ``playing`` (0 or 1)."""
    columns = _columns(sides, playing, width, height)
    name = repr([playing, width, height, *((*_plain(side),) for side in sides)])
    drawing = Drawing(width, height, name, lambda: _draw(sides, columns, playing, width, height))
    return Stage(drawing, *columns[playing].box)


def _plain(side: Side) -> tuple[object, ...]:
    return side.head, side.where, side.rows, side.width, side.height, side.still_name


def _columns(sides: tuple[Side, Side], playing: int, width: int, height: int) -> tuple[_Column, _Column]:
    unit, margin, gap = unit_of(width, height), round(width * MARGIN), round(width * GAP)
    inner = (width - 2 * margin - gap) // 2
    heads = [
        (
            block(side.head, unit / 30, CANE if number == playing else SOFT, True, inner),
            block(side.where, unit / 50, SOFT, False, inner),
        )
        for number, side in enumerate(sides)
    ]
    rows = [_fitting(side.rows, unit, inner, round(height * NUMBERS_MOST)) for side in sides]
    head_height = max(head.height + where.height for head, where in heads)
    rows_height = max(sum(one.height for one in column) for column in rows)
    top = round(height * 0.05) + head_height + round(unit / 90)
    room = height - caption_room(width, height) - top - rows_height - round(unit / 60)
    made = []
    for number, side in enumerate(sides):
        left = margin + number * (inner + gap)
        scale = min(inner / side.width, room / side.height)
        across, down = (max(16, round(part * scale) // 2 * 2) for part in (side.width, side.height))
        box = ((left + (inner - across) // 2) // 2 * 2, top // 2 * 2, across, down)
        head, where = heads[number]
        words = [(head, left, round(height * 0.05)), (where, left, round(height * 0.05) + head.height)]
        under = top + down + round(unit / 60)
        for one in rows[number]:
            words.append((one, left, under))
            under += one.height
        made.append(_Column(tuple(words), box))
    return made[0], made[1]


def _fitting(rows: Sequence[str], unit: float, width: int, most: int) -> list[Block]:
    blocks: list[Block] = []
    for row in rows:
        one = block(row, unit / 44, INK, False, width)
        if sum(other.height for other in blocks) + one.height > most:
            break
        blocks.append(one)
    return blocks


def _draw(sides: tuple[Side, Side], columns: tuple[_Column, _Column], playing: int, width: int, height: int) -> Pixels:
    image = Image.new("RGB", (width, height), PAPER)
    draw = ImageDraw.Draw(image)
    line = max(2, height // 180)
    for number, (side, column) in enumerate(zip(sides, columns, strict=True)):
        x, y, across, down = column.box
        edge = CANE if number == playing else EDGE
        draw.rectangle((x - line, y - line, x + across + line - 1, y + down + line - 1), fill=edge)
        draw.rectangle((x, y, x + across - 1, y + down - 1), fill=GREY)
        if number != playing:
            still = Image.fromarray(side.still(across, down))
            if still.size != (across, down):
                still = still.resize((across, down), Image.Resampling.LANCZOS)
            image.paste(still, (x, y))
        for words, left, top in column.words:
            words.draw(draw, left, top)
    return np.asarray(image)
