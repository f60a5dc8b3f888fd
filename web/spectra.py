"""Two average spectra as lines of an SVG picture, and the same in words."""

from __future__ import annotations

from dataclasses import dataclass
from math import log2

import numpy as np

from annotate.listen.compare import Picture
from web.sound_words import hertz, signed

WIDTH, HEIGHT = 640, 260  # user units of the drawing
LEFT, RIGHT, TOP, BOTTOM = 70, 10, 12, 34
TICKS_HZ = (50, 100, 200, 500, 1000, 2000, 5000)
SHOWN_DB = 70  # below the strongest; further down lies the noise of rooms and codecs
STEP_DB = 20
RANGES_HZ = ((0, 500, "below 500 Hz"), (500, 2000, "from 500 to 2000 Hz"), (2000, 20_000, "above 2000 Hz"))


@dataclass(frozen=True)
class Tick:
    """A mark on an axis: its place and what stands there."""

    place: float
    text: str


@dataclass(frozen=True)
class Spectra:
    """The drawing: a line for each sound, marks along and up, and the picture in words."""

    first: str
    second: str
    along: tuple[Tick, ...]
    up: tuple[Tick, ...]
    words: str
    width: int = WIDTH
    height: int = HEIGHT
    left: int = LEFT
    right: int = WIDTH - RIGHT
    top: int = TOP
    bottom: int = HEIGHT - BOTTOM


def spectra(picture: Picture) -> Spectra | None:
    """The drawing of two spectra; None when a sound was too short for one."""
    if picture.hz.size < 2:
        return None
    low, high = float(picture.hz[0]), float(picture.hz[-1])
    highest = STEP_DB / 2 * np.ceil(max(picture.first_db.max(), picture.second_db.max()) / (STEP_DB / 2))

    def x(hz: float) -> float:
        return float(LEFT + (WIDTH - LEFT - RIGHT) * log2(hz / low) / log2(high / low))

    def y(level_db: float) -> float:
        share = min(max((highest - level_db) / SHOWN_DB, 0.0), 1.0)
        return float(TOP + (HEIGHT - TOP - BOTTOM) * share)

    def line(levels: np.ndarray[tuple[int], np.dtype[np.float64]]) -> str:
        return " ".join(f"{x(hz):.1f},{y(level):.1f}" for hz, level in zip(picture.hz, levels, strict=True))

    levels = [int(highest) - STEP_DB * number for number in range(SHOWN_DB // STEP_DB + 1)]
    return Spectra(
        line(picture.first_db),
        line(picture.second_db),
        tuple(Tick(x(hz), f"{hz} Hz") for hz in TICKS_HZ if low <= hz <= high),
        tuple(Tick(y(level), f"{signed(level, 0).removeprefix('+')} dB") for level in levels),
        in_words(picture),
    )


def in_words(picture: Picture) -> str:
    """Where each sound is strongest, and how much the second has less or more in three ranges."""
    strongest = [hertz(float(picture.hz[levels.argmax()])) for levels in (picture.first_db, picture.second_db)]
    parts = []
    for low, high, name in RANGES_HZ:
        inside = (picture.hz >= low) & (picture.hz < high)
        if inside.any():
            change = _level(picture.second_db[inside]) - _level(picture.first_db[inside])
            parts.append(f"{signed(change, 0)} dB {name}")
    return (
        f"At the same loudness the first sound is strongest near {strongest[0]}, the second near {strongest[1]}. "
        f"Second less first: {', '.join(parts)}."
    )


def _level(levels_db: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
    """The level of several bands together."""
    return float(10 * np.log10((10 ** (levels_db / 10)).sum()))
