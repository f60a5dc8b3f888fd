"""What is laid over the film's pictures: notes, the speed, what is compared, captions; drawn in the lesson's look.

Conventions: panels are timed in the film; their pictures are uint8 RGBA.
Letters are light on a nearly opaque dark ground, so that they stay readable
over any picture (a test holds a contrast of 7 to 1; WCAG 2.2, 1.4.3, asks for
4.5). Captions keep 5 % of the picture free at every edge: the graphics safe area
of EBU R 95 (figure from memory). Emoji that no font has are left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from PIL import Image, ImageDraw

from annotate.formats.cues import Cue
from annotate.lesson.cutting.drawing import Drawing, Pixels
from annotate.lesson.cutting.pieces import FilmPlan, Overlay, Piece
from annotate.lesson.lettering import Block, Colour, block, font_of, unit_of, wrapped, writable
from annotate.lesson.shown.cards import CANE, MARGIN
from annotate.lesson.writing import draw_line, is_from_right, length

GROUND: Colour = (43, 36, 28)
LETTERS: Colour = (255, 248, 232)
ALPHA = 232  # of 255
SAFE = 0.05  # of each side
FASTER = "▶▶"
FULL_LINE = "The tip of the reed is thinned with a file"  # the 42 characters that a caption's line has at most


@dataclass(frozen=True)
class Panel:
    """A picture over the film from ``start_ms`` to before ``end_ms``, its upper left corner at ``x``, ``y``."""

    start_ms: int
    end_ms: int
    drawing: Drawing
    x: int
    y: int


def overlaid(pieces: Sequence[Piece], plan: FilmPlan, panels: Sequence[Panel]) -> tuple[Piece, ...]:
    """The pieces with the panels that fall on them, each cut to its piece."""
    made: list[Piece] = []
    for piece, placed in zip(pieces, plan.placed, strict=True):
        start, end = placed.start_ms, placed.end_ms
        over = [one for one in panels if one.start_ms < end and one.end_ms > start]
        laid = [
            Overlay(max(one.start_ms, start) - start, min(one.end_ms, end) - start, one.drawing, one.x, one.y)
            for one in over
        ]
        made.append(replace(piece, overlays=(*piece.overlays, *laid)) if laid else piece)
    return tuple(made)


def stacked(panels: Iterable[Panel], gap: int) -> list[Panel]:
    """The panels, each moved below the earlier ones that are seen at the same time."""
    made: list[Panel] = []
    for one in panels:
        beside = [other for other in made if other.start_ms < one.end_ms and one.start_ms < other.end_ms]
        bottom = max((other.y + other.drawing.height + gap for other in beside), default=one.y)
        made.append(replace(one, y=max(one.y, bottom)))
    return made


def note(start_ms: int, end_ms: int, text: str, width: int, height: int) -> Panel:
    """A correction over the upper part of the picture, as wide as the margins allow."""
    inner, pad = _inner(width), _pad(width, height)
    room = inner - 3 * pad
    words = block(text, unit_of(width, height) / 38, LETTERS, True, room)
    drawing = _drawing(
        f"note {text!r}", inner, words.height + 2 * pad, lambda draw: words.draw(draw, 2 * pad, pad, room), pad
    )
    return Panel(start_ms, end_ms, drawing, round(width * MARGIN), height // 20)


def badge(start_ms: int, end_ms: int, text: str, width: int, height: int) -> Panel:
    """A few words in the upper right corner: how fast it runs."""
    pad = _pad(width, height)
    words = block(text, unit_of(width, height) / 38, LETTERS, True, _inner(width) - 3 * pad)
    across = words.width + 3 * pad
    drawing = _drawing(
        f"badge {text!r}", across, words.height + pad, lambda draw: words.draw(draw, 2 * pad, pad // 2), pad
    )
    return Panel(start_ms, end_ms, drawing, width - round(width * SAFE) - across, height // 20)


def faster_text(speed: int, sound: str) -> str:
    """What is said on the picture while it runs faster."""
    return f"{FASTER} {speed} times as fast" + (", sound off" if sound == "off" else "")


def label(start_ms: int, end_ms: int, head: str, rows: Sequence[str], width: int, height: int) -> Panel:
    """A headline and some rows of numbers in the upper left corner."""
    unit, pad, inner = unit_of(width, height), _pad(width, height), _inner(width)
    blocks = [block(head, unit / 38, LETTERS, True, inner - 3 * pad)]
    blocks += [block(row, unit / 46, LETTERS, False, inner - 3 * pad) for row in rows]
    across = min(inner, max(one.width for one in blocks) + 3 * pad)
    down = sum(one.height for one in blocks) + 2 * pad
    drawing = _drawing(f"label {head!r} {tuple(rows)!r}", across, down, lambda draw: _draw_all(blocks, draw, pad), pad)
    return Panel(start_ms, end_ms, drawing, round(width * MARGIN), height // 20)


def caption(cue: Cue, width: int, height: int) -> Panel:
    """A caption at the lower edge, in the lines it was cut into; where those are too long, in more."""
    unit, pad = unit_of(width, height), _pad(width, height) // 2
    font = font_of(cue.text, unit / 32, bold=False)
    room = width - 2 * round(width * SAFE) - 2 * pad
    lines = [line for part in cue.text.split("\n") for line in wrapped(writable(part, font), font, room)]
    rtl = is_from_right(cue.text)
    words = Block(tuple(lines), font, LETTERS, rtl)
    across, down = words.width + 2 * pad, words.height + pad

    def draw(on: ImageDraw.ImageDraw) -> None:
        for number, line in enumerate(lines):
            at = (across - length(line, font)) / 2, pad // 2 + number * words.step
            draw_line(on, at, line, font, LETTERS, rtl)

    drawing = _drawing(f"caption {cue.text!r}", across, down, draw, 0)
    top = height - round(height * SAFE) - down
    return Panel(cue.start_ms, cue.end_ms, drawing, (width - across) // 2, top)


def caption_room(width: int, height: int) -> int:
    """How much of the lower edge a caption of two full lines takes, with what is free below it, in pixels."""
    full = "\n".join([FULL_LINE] * 2)
    return height - caption(Cue(0, 1, full), width, height).y


def _inner(width: int) -> int:
    return round(width * (1 - 2 * MARGIN))


def _pad(width: int, height: int) -> int:
    return round(unit_of(width, height) / 60)


def _draw_all(blocks: Sequence[Block], draw: ImageDraw.ImageDraw, pad: int) -> None:
    top = pad
    for one in blocks:
        one.draw(draw, 2 * pad, top)
        top += one.height


def _drawing(name: str, width: int, height: int, draw: Callable[[ImageDraw.ImageDraw], None], pad: int) -> Drawing:
    """A dark box with an edge in the colour of cane (where there is a ``pad``), on which ``draw`` writes."""

    def make() -> Pixels:
        image = Image.new("RGBA", (width, height), (*GROUND, ALPHA))
        on = ImageDraw.Draw(image)
        if pad:
            on.rectangle((0, 0, max(3, pad // 3), height), fill=(*CANE, 255))
        draw(on)
        return np.asarray(image)

    return Drawing(width, height, f"{name} {width}x{height} {pad}", make)
