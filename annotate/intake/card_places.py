"""Where in a grey picture a small code might be: cheap, sure to include it, sometimes wrong.

A code changes between dark and light every few pixels both across and down,
and by as much as it is dark and light at all. Wood, cane, thread and rules
change along one direction; skin and paper hardly change; large shapes change
at their edges only. So in codes, and in little else, the mean step from pixel
to pixel is a large part of the spread of the grey levels, in both directions.
Larger codes show the same in smaller pictures, so the picture is looked at in
halving sizes.

Conventions: pictures are (height, width) uint8; boxes are ``(left, top, right,
bottom)`` in the picture's own pixels, half-open. A place's ``factor`` is how
many of the picture's pixels one pixel was where the code showed: modules of a
code there are some two to three times as wide.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

Grey = NDArray[np.uint8]
Floats = NDArray[np.float32]
Box = tuple[int, int, int, int]


@dataclass(frozen=True)
class Place:
    """A box that might hold a code, how likely (the share of step in spread), and the size it was seen at."""

    share: float
    box: Box
    factor: float


WORK_LINES = 540  # a code of 1/11 of the height still has about 2 pixels a module
LEAST_LINES = 60  # smaller pictures than this show nothing new
CELL = 4  # pixels a side: how coarsely steps and spreads are kept
REACH_CELLS = 5  # side of the area over which they are averaged: 20 of 540 lines, half a code
# In drawn cards at 1/8 of the height, tilted by 40 degrees, out of focus or dark, steps were 12 grey levels a pixel or
# more, and 0.45 of the spread or more; at double that size 0.25.
LEAST_STEP = 6.0
LEAST_SHARE = 0.36
ABOVE_REST = 1.7  # times the picture's usual step: noise is the same everywhere
MARGIN_CELLS = 6  # around a place: the code's edge and its quiet zone
MOST_PLACES = 8


def places(picture: Grey) -> list[Place]:
    """The boxes that might hold a code, likeliest first, at most eight."""
    found: list[Place] = []
    small, factor = smaller(picture)
    while min(small.shape) >= LEAST_LINES:
        found += _in_one(small, factor, picture.shape)
        half = max(1, small.shape[1] // 2), max(1, small.shape[0] // 2)
        small, factor = np.asarray(cv2.resize(small, half, interpolation=cv2.INTER_AREA), np.uint8), factor * 2
    kept: list[Place] = []
    for place in sorted(found, key=lambda one: -one.share):
        # A small code before a coarse pattern keeps its own place: at the pattern's size it could not be read.
        if not any(_mostly_inside(place.box, other.box) and other.factor <= place.factor for other in kept):
            kept.append(place)
    return kept[:MOST_PLACES]


def smaller(picture: Grey) -> tuple[Grey, float]:
    """The picture with at most 540 lines on its shorter side, and how many times larger it was."""
    factor = min(picture.shape) / WORK_LINES
    if factor <= 1:
        return picture, 1.0
    size = round(picture.shape[1] / factor), round(picture.shape[0] / factor)
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8), factor


def busy(small: Grey) -> tuple[Floats, Floats]:
    """The mean step (the smaller of across and down) and the spread of grey levels around every cell.

    Parameters
    ----------
    small : (height, width) uint8

    Returns
    -------
    step, spread : ((height - 1) // 4, (width - 1) // 4) float32
        Grey levels per pixel, and standard deviation in grey levels; both 0..255.
    """
    # Whole cells only, one pixel short of the edge: averaging over whole numbers of pixels is five times as fast.
    wide, tall = (small.shape[1] - 1) // CELL, (small.shape[0] - 1) // CELL
    used = small[: tall * CELL, : wide * CELL]
    across = cv2.absdiff(small[: tall * CELL, 1 : wide * CELL + 1], used)
    down = cv2.absdiff(small[1 : tall * CELL + 1, : wide * CELL], used)
    step = np.minimum(_means(across, (wide, tall)), _means(down, (wide, tall)))
    level = _means(used, (wide, tall))
    squares = _means(np.square(used, dtype=np.uint16), (wide, tall))
    return np.asarray(step, np.float32), np.sqrt(np.maximum(squares - level * level, 0))


def _means(values: NDArray[Any] | cv2.typing.MatLike, cells: tuple[int, int]) -> Floats:
    """Means around every cell."""
    coarse = cv2.resize(values, cells, interpolation=cv2.INTER_AREA).astype(np.float32)
    return np.asarray(cv2.blur(coarse, (REACH_CELLS, REACH_CELLS)), np.float32)


def _in_one(small: Grey, factor: float, shape: tuple[int, ...]) -> list[Place]:
    """The places at one size."""
    step, spread = busy(small)
    share = step / np.maximum(spread, 1.0)
    high = (step > max(LEAST_STEP, ABOVE_REST * float(np.median(step[::3, ::3])))) & (share > LEAST_SHARE)
    count, _, stats, _ = cv2.connectedComponentsWithStats(high.astype(np.uint8), connectivity=8)
    found = []
    for left, top, width, height, area in stats[1:count].tolist():
        if area < 4:
            continue
        inside = share[top : top + height, left : left + width] * high[top : top + height, left : left + width]
        box = _whole(left, top, width, height, shape, CELL * factor)
        found.append(Place(float(inside.max()), box, factor))
    return found


def _whole(left: int, top: int, width: int, height: int, shape: tuple[int, ...], cell: float) -> Box:
    """A box of cells in the picture's pixels, with its margin."""
    return (
        max(0, int((left - MARGIN_CELLS) * cell)),
        max(0, int((top - MARGIN_CELLS) * cell)),
        min(shape[1], int((left + width + MARGIN_CELLS) * cell)),
        min(shape[0], int((top + height + MARGIN_CELLS) * cell)),
    )


def _mostly_inside(one: Box, other: Box) -> bool:
    """Whether nine tenths of ``one`` lie in ``other``."""
    width = min(one[2], other[2]) - max(one[0], other[0])
    height = min(one[3], other[3]) - max(one[1], other[1])
    return width > 0 and height > 0 and width * height >= 0.9 * (one[2] - one[0]) * (one[3] - one[1])
