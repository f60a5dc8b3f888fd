"""Pictures of our own for the film: arrays, or drawings made when they are needed and not kept.

A long lesson has hundreds of cards, notes and captions; kept as arrays they
would fill the memory. Conventions: uint8 (height, width, 3) as RGB, or
(height, width, 4) as RGBA where the film shines through.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]


@dataclass(frozen=True)
class Drawing:
    """A picture of a known size. ``name`` says everything that it depends on; ``draw`` makes it."""

    width: int
    height: int
    name: str
    draw: Callable[[], Pixels]


Picture = Pixels | Drawing


@dataclass(frozen=True)
class Stage:
    """A still picture, RGB in the film's size, with an even box in which a recording plays."""

    picture: Picture
    x: int
    y: int
    width: int
    height: int


def pixels(picture: Picture) -> Pixels:
    """The picture itself, drawn now if it is a drawing."""
    return picture.draw() if isinstance(picture, Drawing) else picture


def size_of(picture: Picture) -> tuple[int, int]:
    """Width and height, without drawing."""
    if isinstance(picture, Drawing):
        return picture.width, picture.height
    return picture.shape[1], picture.shape[0]


def about(picture: Picture) -> list[object]:
    """What the cache has to know of a picture."""
    data = picture.name.encode() if isinstance(picture, Drawing) else picture.tobytes()
    return [hashlib.sha256(data).hexdigest(), size_of(picture)]


def is_picture(picture: Picture, channels: int) -> bool:
    """Whether an array has the right form; a drawing is taken at its word."""
    if isinstance(picture, Drawing):
        return True
    return picture.ndim == 3 and picture.shape[2] == channels and picture.dtype == np.uint8
