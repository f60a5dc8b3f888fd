"""Draws hands from above as melted rounded limbs with nails, creases and a knitted sleeve."""

from __future__ import annotations

import itertools
from functools import cache

import cv2
import numpy as np

from demo_media.drawing.surface import Floats, Grid, capsules, cover, lit, noise, paint

Bone = tuple[float, float, float, float, float, float, float]
SKIN = (0.80, 0.57, 0.44)
SLEEVE = (0.20, 0.27, 0.36)


def _chain(points: list[tuple[float, float, float]], z: float, z_end: float | None = None) -> list[Bone]:
    """A finger: joints as (x, y, radius), from knuckle to tip."""
    last = z if z_end is None else z_end
    steps = np.linspace(z, last, len(points) - 1)
    return [(*a, *b, float(h)) for (a, b), h in zip(itertools.pairwise(points), steps, strict=True)]


def hand(
    rng: np.random.Generator,
    grid: Grid,
    fingers: list[list[tuple[float, float, float]]],
    palm: list[Bone],
    arm: Bone,
    nails: list[tuple[float, float, float]],
    tips_low: bool = True,
) -> tuple[Floats, Floats]:
    """Colour and alpha of a hand. ``nails`` are (x, y, direction in degrees); the sleeve begins mid-arm."""
    x, y = grid.axes()
    bones = list(palm)
    for joints in fingers:
        bones += _chain(joints, 3.0, 0.0 if tips_low else 3.0)
    bones.append(arm)
    height, near = capsules(x, y, bones)
    tone = paint(SKIN, x)
    tone += 0.02 * noise(rng, grid.shape, 30, 30)[..., None] + 0.012 * noise(rng, grid.shape, 5, 5)[..., None]
    for joints in fingers:
        for jx, jy, radius in joints:
            blush = np.exp(-((x - jx) ** 2 + (y - jy) ** 2) / (radius * 0.9) ** 2)[..., None]
            tone += blush * np.array([0.04, -0.035, -0.03], np.float32)
        for (ax, ay, _), (bx, by, radius) in itertools.pairwise(joints):
            height = _crease(x, y, height, (ax, ay), (bx, by), radius)
    colour = lit(height, np.clip(tone, 0, 1).astype(np.float32), grid.scale, 0.10, ambient=0.5)
    for nx, ny, turn in nails:
        colour = _nail(x, y, colour, nx, ny, turn, grid.scale)
    alpha = cover(near, grid.scale)
    return _sleeve(x, y, colour, alpha, arm, grid, rng)


def _crease(
    x: Floats, y: Floats, height: Floats, before: tuple[float, float], at: tuple[float, float], radius: float
) -> Floats:
    """Two fine wrinkles across a joint."""
    dx, dy = at[0] - before[0], at[1] - before[1]
    size = max(float(np.hypot(dx, dy)), 1e-6)
    along = ((x - at[0]) * dx + (y - at[1]) * dy) / size
    across = (-(x - at[0]) * dy + (y - at[1]) * dx) / size
    fold = (
        np.exp(-((along / 0.35) ** 2)) + np.exp(-(((along - 1.4) / 0.3) ** 2)) + np.exp(-(((along + 1.5) / 0.3) ** 2))
    )
    return np.asarray(height - 0.22 * fold * np.exp(-((across / (radius * 0.6)) ** 2)), np.float32)


def _nail(x: Floats, y: Floats, colour: Floats, nx: float, ny: float, turn: float, scale: float) -> Floats:
    """A nail lying on the fingertip, drawn on the few pixels around it."""
    column, row = np.searchsorted(x[0], nx), np.searchsorted(y[:, 0], ny)
    reach = round(8 * scale)
    near = np.s_[max(0, row - reach) : row + reach, max(0, column - reach) : column + reach]
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    dx, dy = x[near] - nx, y[near] - ny
    along, across = dx * c + dy * s, -dx * s + dy * c
    shape = (np.abs(along / 4.9) ** 2.6 + np.abs(across / 3.5) ** 2.6) ** (1 / 2.6)
    on = cover(np.asarray((shape - 1) * 3.5, np.float32), scale)[..., None]
    white = np.clip((along - 3.6) * 2, 0, 1)[..., None]
    hue = np.array([0.90, 0.68, 0.60], np.float32) + white * np.array([0.04, 0.16, 0.2], np.float32)
    light = np.exp(-(((across + 1.1) / 1.0) ** 2) - ((along / 3) ** 2))[..., None] * 0.14
    rim = np.exp(-(((shape - 1) / 0.09) ** 2))[..., None] * 0.16
    skin = colour[near]
    colour[near] = skin * (1 - on) + on * (skin * 0.35 + hue * 0.62 + light) - rim * skin
    return colour


def _sleeve(
    x: Floats, y: Floats, colour: Floats, alpha: Floats, arm: Bone, grid: Grid, rng: np.random.Generator
) -> tuple[Floats, Floats]:
    """A knitted sleeve over the far part of the arm, with a thicker cuff."""
    x0, y0, r0, x1, y1, r1, _ = arm
    dx, dy = x0 - x1, y0 - y1
    size = float(np.hypot(dx, dy))
    along = ((x - x1) * dx + (y - y1) * dy) / size - 0.38 * size
    across = (-(x - x1) * dy + (y - y1) * dx) / size
    radius = r1 + 3.2 + (r0 - r1) * np.clip((along + 0.38 * size) / size, 0, 1)
    radius = radius + 1.4 * (along < 16) + 0.5 * np.sin(along * 0.35) * (along > 16)
    edge = np.maximum(np.abs(across) - radius, -along + 0.004 * across**2)
    rise = np.sqrt(np.clip(radius**2 - across**2, 0, None))
    ribs = np.where(along < 16, np.sin(across * 2.2), 0.7 * np.sin(along * 1.9 + np.abs(np.sin(across * 1.1)) * 2.0))
    knit = paint(SLEEVE, x) * (1 + 0.08 * ribs[..., None] + 0.05 * noise(rng, grid.shape, 6, 6)[..., None])
    cloth = lit(
        np.asarray(rise * 0.8 + 0.18 * ribs, np.float32), np.clip(knit, 0, 1).astype(np.float32), grid.scale, 0.0
    )
    on = cover(np.asarray(edge, np.float32), grid.scale)
    dark = cv2.GaussianBlur(on, (0, 0), 2.2 * grid.scale)
    skin = colour * (1 - 0.45 * dark[..., None])
    mix = skin * (1 - on[..., None]) + cloth * on[..., None]
    return mix.astype(np.float32), np.maximum(alpha, on)


def left_hand(rng: np.random.Generator, grid: Grid) -> tuple[Floats, Floats]:
    """Holds a tube that runs along +x from the origin between thumb (near) and first fingers (far)."""
    fingers: list[list[tuple[float, float, float]]] = [
        [(-62, -14, 9.5), (-38, -24, 8.6), (-16, -19, 7.8), (2, -7.5, 6.6)],
        [(-64, -24, 9.5), (-40, -36, 8.6), (-18, -33, 7.8), (-7, -17, 6.6)],
        [(-70, -34, 9.2), (-50, -48, 8.2), (-30, -45, 7.4), (-24, -30, 6.4)],
        [(-78, -42, 8.4), (-62, -56, 7.2), (-48, -55, 6.6), (-43, -44, 5.8)],
        [(-70, 14, 11), (-42, 22, 9.6), (-20, 18, 8.6), (0, 8.5, 7.2)],
    ]
    palm: list[Bone] = [
        (-112, 6, 27, -76, -10, 25, 6.0),
        (-100, 14, 22, -72, 12, 16, 5.0),
        (-96, -16, 22, -72, -26, 14, 6.0),
    ]
    arm: Bone = (-215, 60, 33, -112, 6, 26, 4.0)
    nails = [(-0.5, -9.5, 34.0), (-8.5, -20, 58.0), (-1.5, 10.5, -26.0)]
    return hand(rng, grid, fingers, palm, arm, nails)


def right_hand(rng: np.random.Generator, grid: Grid) -> tuple[Floats, Floats]:
    """Holds a handle that runs along +y from the origin, as one holds a pencil; the tool points to -y."""
    fingers: list[list[tuple[float, float, float]]] = [
        [(40, 62, 9.6), (30, 34, 9.0), (17, 12, 8.0), (5, -4, 6.6)],
        [(52, 60, 9.6), (45, 32, 9.0), (31, 14, 8.0), (16, 8, 6.8)],
        [(62, 64, 9.2), (58, 38, 8.4), (46, 22, 7.6), (30, 22, 6.8)],
        [(70, 72, 8.4), (70, 50, 7.4), (60, 36, 6.8), (46, 36, 6.0)],
        [(22, 84, 11), (2, 58, 9.8), (-8, 34, 8.8), (-3.5, 12, 7.2)],
    ]
    palm: list[Bone] = [
        (62, 108, 26, 48, 76, 24, 6.0),
        (48, 104, 22, 28, 84, 16, 5.0),
        (76, 100, 22, 66, 78, 14, 6.0),
    ]
    arm: Bone = (118, 205, 33, 62, 108, 26, 4.0)
    nails = [(7.5, -2.5, -128.0), (-4.4, 14, -78.0)]
    return hand(rng, grid, fingers, palm, arm, nails)


@cache
def _right_hand_once() -> tuple[Grid, Floats, Floats]:
    grid = Grid(-85, -90, 245, 335, 8.0)
    return grid, *right_hand(np.random.default_rng(7), grid)


def right_hand_at(grid: Grid, x_mm: float, y_mm: float) -> tuple[Floats, Floats]:
    """The right hand moved so that its grip lies at (x_mm, y_mm) of ``grid``; drawn once, then cut to size."""
    full, colour, alpha = _right_hand_once()
    rows, columns = grid.shape
    zoom = grid.scale / full.scale
    move = np.array(
        [[zoom, 0, (full.left + x_mm - grid.left) * grid.scale], [0, zoom, (full.top + y_mm - grid.top) * grid.scale]],
        np.float32,
    )
    return (
        cv2.warpAffine(colour, move, (columns, rows), flags=cv2.INTER_LINEAR),
        cv2.warpAffine(alpha, move, (columns, rows), flags=cv2.INTER_LINEAR),
    )
