"""What carries words: the reed card with its QR code, the tuner, the weather box."""

from __future__ import annotations

import cv2
import numpy as np
import segno

from demo_media.drawing import hands
from demo_media.drawing.surface import Floats, Grid, Sprite, cover, lit, noise, paint, rounded_box, sprite, stack
from demo_media.drawing.tools import blend, text

NAMES = ("C", "C♯", "D", "E♭", "E", "F", "F♯", "G", "G♯", "A", "B♭", "B")


def card(rng: np.random.Generator, reed: str, instrument: str) -> Sprite:
    """A printed card, 84 x 54 mm: the reed's id large, its QR code, lines to write on; a thumb holds it."""
    grid = Grid(-60, -34, 170, 150, 10.0)
    x, y = grid.axes()
    box = rounded_box(x, y, 0, 0, 84, 54, 2)
    colour = np.clip(paint((0.95, 0.94, 0.89), x) + 0.008 * noise(rng, grid.shape, 3, 3)[..., None], 0, 1).astype(
        np.float32
    )
    dark = (0.07, 0.07, 0.08)
    matrix = np.array(
        [list(row) for row in segno.make(f"BENCHREEL REED {reed}", error="m", micro=False).matrix], np.uint8
    )
    side = 38.0
    cell = side / matrix.shape[0]
    column, row = np.floor((x + 37) / cell).astype(int), np.floor((y + 19) / cell).astype(int)
    inside = (column >= 0) & (row >= 0) & (column < matrix.shape[1]) & (row < matrix.shape[0])
    black = np.where(inside, matrix[np.clip(row, 0, len(matrix) - 1), np.clip(column, 0, len(matrix) - 1)], 0)
    colour = blend(colour, dark, cv2.GaussianBlur(black.astype(np.float32), (0, 0), 0.6))
    for words, at, size, bold in ((reed, -11.5, 14.0, True), (instrument, 0.5, 5.0, False)):
        colour = blend(colour, dark, text(grid, words, 22, at, size, bold))
    for at, words in ((11.5, "date"), (19.5, "note")):
        colour = blend(colour, (0.4, 0.4, 0.4), text(grid, words, 5, at - 1.6, 3.0, False, "lm"))
        line = np.maximum(np.abs(y - at) - 0.14, np.maximum(5 - x, x - 39))
        colour = blend(colour, (0.45, 0.45, 0.45), cover(np.asarray(line, np.float32), grid.scale))
    pressed = lit(np.asarray(-0.25 * np.exp(-((box / 0.4) ** 2)), np.float32), colour, grid.scale, 0.02)
    thumb, skin = hands.right_hand_at(grid, 40, 24)
    return sprite(grid, *stack(grid, (pressed, cover(box, grid.scale)), (thumb, skin)), 2.2)


def _box(grid: Grid, w: float, h: float, hue: tuple[float, float, float]) -> tuple[Floats, Floats, Floats, Floats]:
    x, y = grid.axes()
    box = rounded_box(x, y, 0, 0, w, h, 4)
    screen = rounded_box(x, y, 0, -1, w - 9, h - 14, 1.5)
    height = -1.0 * np.exp(-((box / 1.4) ** 2)) - 0.7 * cover(screen, 4)
    body = lit(np.asarray(height, np.float32), paint(hue, x), grid.scale, 0.3)
    lcd = paint((0.72, 0.78, 0.66), x) * (1 - 0.07 * np.clip((x + y) / 40, -1, 1))[..., None]
    on = cover(screen, grid.scale)
    body = body * (1 - on[..., None]) + lcd * on[..., None]
    return np.asarray(body, np.float32), box, x, y


def tuner(midi: int | None, cents: float) -> Sprite:
    """A tuner with the note it hears and a needle from -50 to +50 cents."""
    grid = Grid(-40, -26, 80, 52, 10.0)
    body, box, x, y = _box(grid, 74, 46, (0.17, 0.18, 0.20))
    dark = (0.12, 0.15, 0.12)
    px, py, r = 0.0, 15.5, 25.0
    for mark in range(-50, 51, 10):
        turn = np.radians(mark * 0.9 - 90)
        ux, uy = np.cos(turn), np.sin(turn)
        along, across = (x - px) * ux + (y - py) * uy, -(x - px) * uy + (y - py) * ux
        long = 4.0 if mark % 50 == 0 else 2.4
        body = blend(
            body,
            dark,
            cover(np.asarray(np.maximum(np.abs(across) - 0.3, np.abs(along - r) - long / 2), np.float32), grid.scale),
        )
    for mark in (-50, 0, 50):
        turn = np.radians(mark * 0.9 - 90)
        body = blend(
            body,
            dark,
            text(
                grid, f"{mark:+d}" if mark else "0", px + (r + 4.4) * np.cos(turn), py + (r + 4.0) * np.sin(turn), 2.9
            ),
        )
    body = blend(body, dark, text(grid, "440", 27, 11, 3.2))
    if midi is not None:
        body = blend(body, dark, text(grid, f"{NAMES[midi % 12]}{midi // 12 - 1}", -30, 8, 8.5, True, "lm"))
        turn = np.radians(np.clip(cents, -50, 50) * 0.9 - 90)
        ux, uy = np.cos(turn), np.sin(turn)
        along, across = (x - px) * ux + (y - py) * uy, -(x - px) * uy + (y - py) * ux
        needle = np.maximum(np.abs(across) - 0.42, np.maximum(4 - along, along - r + 2.5))
        body = blend(body, dark, cover(np.asarray(needle, np.float32), grid.scale))
    return sprite(grid, body, cover(box, grid.scale), 2.0)


def weather(temperature_c: str, humidity: str) -> Sprite:
    """A little box that shows the room's humidity and temperature."""
    grid = Grid(-34, -26, 68, 52, 10.0)
    body, box, _, _ = _box(grid, 60, 44, (0.86, 0.85, 0.81))
    dark = (0.12, 0.15, 0.12)
    body = blend(body, dark, text(grid, f"{humidity} %", 0, -6, 13, True))
    body = blend(body, dark, text(grid, f"{temperature_c} °C", 0, 7.5, 6.5))
    return sprite(grid, body, cover(box, grid.scale), 2.0)
