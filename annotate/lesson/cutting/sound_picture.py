"""The picture of a recording that has none: its sound as bars, which light up as it plays.

Conventions: levels are float32, 0 to 1, one for each bar from the start of the
range to its end, 1 the loudest of them; pictures are uint8 RGB (height, width, 3).
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from annotate import model
from annotate.lesson.cutting import source
from annotate.lesson.cutting.drawing import Pixels
from annotate.lesson.cutting.pieces import SOUND_RATE_HZ, SourcePiece
from annotate.lesson.cutting.sound import read_sound
from annotate.lesson.lettering import Colour, block, unit_of

GROUND: Colour = (24, 24, 24)
LIT: Colour = (226, 174, 92)  # what has been played
UNLIT: Colour = (122, 112, 98)
LETTERS: Colour = (214, 204, 186)
BARS_MOST, BAR_LEAST = 160, 4  # bars across; pixels of each with the gap after it
MARGIN, HIGHEST = 0.06, 0.36  # of the width left free at both sides; of the height, above and below the middle
WORDS = "Sound only"


def levels(blocks: Iterable[NDArray[np.float32]], samples: int, bars: int) -> NDArray[np.float32]:
    """The largest value of either channel in each of ``bars`` equal parts of ``samples``, against the largest of all.

    Parameters
    ----------
    blocks : iterable of ndarray
        float32 (n, 2); what is missing at the end is silent, what is too much is left out.
    """
    found = np.zeros(bars, np.float32)
    at = 0
    for block_ in blocks:
        taken = np.abs(block_[: max(0, samples - at)]).max(axis=1)
        if not len(taken):
            break
        places = (np.arange(at, at + len(taken)) * bars // samples).astype(np.intp)
        np.maximum.at(found, places, taken)
        at += len(block_)
    return found / max(float(found.max(initial=0.0)), 1e-6)


def bars_in(width: int) -> int:
    """How many bars a picture so wide has."""
    return int(max(1, min(BARS_MOST, width * (1 - 2 * MARGIN) // BAR_LEAST)))


def place_of(part: float, width: int) -> int:
    """How far from the left (even pixels) a picture so wide is lit when ``part`` (0 to 1) has been played."""
    return round((MARGIN + (1 - 2 * MARGIN) * min(max(part, 0.0), 1.0)) * width / 2) * 2


def drawn(heights: NDArray[np.float32], width: int, height: int, *, is_lit: bool) -> Pixels:
    """The bars, all lit or none."""
    image = Image.new("RGB", (width, height), GROUND)
    draw = ImageDraw.Draw(image)
    step, middle = width * (1 - 2 * MARGIN) / len(heights), height / 2
    for number, level in enumerate(heights):
        left, reach = width * MARGIN + number * step, max(1.0, float(level) * HIGHEST * height)
        draw.rectangle((left, middle - reach, left + step * 0.7, middle + reach), fill=LIT if is_lit else UNLIT)
    words = block(WORDS, unit_of(width, height) / 30, LETTERS, False, width)
    if words.height * 1.25 < height * (0.5 - HIGHEST):
        words.draw(draw, round(width * MARGIN), round(words.height / 4))
    return np.asarray(image)


def levels_of(shelf: source.Shelf, piece: SourcePiece, bars: int) -> NDArray[np.float32]:
    """The levels of the range that a piece is of."""
    start_ms, end_ms = range_of(piece)
    if piece.probe.sound_stream is None:
        return np.zeros(bars, np.float32)
    blocks = read_sound(shelf, piece, source.file_time(piece.probe, start_ms))
    return levels(blocks, max(1, (end_ms - start_ms) * SOUND_RATE_HZ // 1000), bars)


def range_of(piece: SourcePiece) -> tuple[int, int]:
    """From and to on the recording's clock: the whole clip where the piece is a part of one."""
    start_ms, end_ms = piece.drawn_ms or (piece.start_ms, piece.end_ms)
    return start_ms, max(start_ms + 1, min(end_ms, piece.probe.duration_ms))


def standing(path: Path, probe: model.Probe, span: tuple[int, int], size: tuple[int, int], *, is_lit: bool) -> Pixels:
    """The picture of a range that does not play: all lit after it has, unlit before."""
    with source.Shelf() as shelf:
        heights = levels_of(shelf, SourcePiece(path, *span, probe), bars_in(size[0]))
    return drawn(heights, *size, is_lit=is_lit)
