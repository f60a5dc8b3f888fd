"""Draws what the hands use: knife, file, paper, pliers, plaque, rule, gauge, cutter, cup, case, lamp."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from demo_media.drawing import hands
from demo_media.drawing.surface import (
    Floats,
    Grid,
    Sprite,
    capsules,
    cover,
    lit,
    noise,
    paint,
    rounded_box,
    sprite,
    stack,
)

STEEL = (0.70, 0.72, 0.75)
Layer = tuple[Floats, Floats]


def font(size: float, bold: bool = False) -> ImageFont.FreeTypeFont:
    """A free font at a size in pixels."""
    # DejaVu Sans, which Pillow looks up among the machine's fonts.
    return ImageFont.truetype("DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf", max(6, round(size)))


def ink(grid: Grid, draw: Callable[[ImageDraw.ImageDraw, float], None], over: int = 2) -> Floats:
    """Coverage of something drawn with Pillow in pixel units of ``grid`` times ``over``, for smooth edges."""
    rows, columns = grid.shape
    image = Image.new("L", (columns * over, rows * over), 0)
    draw(ImageDraw.Draw(image), grid.scale * over)
    small = image.resize((columns, rows), Image.Resampling.BOX)
    return np.asarray(small, np.float32) / 255


def text(
    grid: Grid, words: str, x_mm: float, y_mm: float, size_mm: float, bold: bool = False, anchor: str = "mm"
) -> Floats:
    """Coverage of words set at a place of the grid."""

    def draw(pen: ImageDraw.ImageDraw, scale: float) -> None:
        place = ((x_mm - grid.left) * scale, (y_mm - grid.top) * scale)
        pen.text(place, words, fill=255, font=font(size_mm * scale, bold), anchor=anchor)

    return ink(grid, draw)


def blend(colour: Floats, hue: tuple[float, float, float], amount: Floats) -> Floats:
    """Colour with a hue laid over it by amount."""
    return np.asarray(colour + (np.array(hue, np.float32) - colour) * amount[..., None], np.float32)


def _handle(
    x: Floats,
    y: Floats,
    grid: Grid,
    rng: np.random.Generator,
    y0: float,
    y1: float,
    r: float,
    hue: tuple[float, float, float],
) -> Layer:
    height, near = capsules(x, y, [(0, y0, r * 0.85, 0, (y0 + y1) / 2, r, 0), (0, (y0 + y1) / 2, r, 0, y1, r * 0.8, 0)])
    grain = noise(rng, grid.shape, 3, 90)
    return lit(
        height, np.clip(paint(hue, x) * (1 + 0.10 * grain)[..., None], 0, 1).astype(np.float32), grid.scale, 0.3
    ), cover(near, grid.scale)


def knife_layers(grid: Grid, rng: np.random.Generator) -> list[Layer]:
    """A straight scraping knife along -y; its edge faces +x and meets the cane at the origin."""
    x, y = grid.axes()
    back = np.interp(y, [-34, -30, 0, 30], [-4, -8.4, -9.6, -9.8])
    edge = np.maximum(np.maximum(x - 0.6 - 0.0004 * (y + 8) ** 2, back - x), np.maximum(-36 - y, y - 32))
    flat = np.clip((0.6 - x) / 3.4, 0, 1)
    brush = noise(rng, grid.shape, 60, 2)
    colour = paint(STEEL, x) * (0.86 + 0.10 * flat + 0.03 * brush)[..., None]
    bevel = np.clip(1 - (0.6 - x) / 2.6, 0, 1)
    colour = blend(np.asarray(colour, np.float32), (0.93, 0.95, 0.97), np.asarray(bevel * 0.75, np.float32))
    streak = np.exp(-(((x + 5.5 + y * 0.08) / 1.3) ** 2)) * 0.22
    colour = np.clip(colour + streak[..., None], 0, 1)
    tang = np.maximum(np.abs(x + 5) - 4.2, np.maximum(24 - y, y - 42))
    wooden = _handle(x + 5, y, grid, rng, 46, 128, 8.6, (0.42, 0.17, 0.12))
    ring = (
        lit(
            np.asarray(np.sqrt(np.clip(30 - (x + 5) ** 2, 0, None)), np.float32),
            paint((0.80, 0.64, 0.30), x),
            grid.scale,
            0.6,
        ),
        cover(np.asarray(np.maximum(np.abs(x + 5) - 5.5, np.abs(y - 38) - 3.4), np.float32), grid.scale),
    )
    return [
        (paint((0.55, 0.57, 0.60), x), cover(np.asarray(tang, np.float32), grid.scale)),
        (np.asarray(colour, np.float32), cover(np.asarray(edge, np.float32), grid.scale)),
        wooden,
        ring,
    ]


def file_layers(grid: Grid, rng: np.random.Generator) -> list[Layer]:
    """A flat fine file along -y, cross-cut, its face lying on the cane near the origin."""
    x, y = grid.axes()
    half = np.interp(y, [-46, -40, 34], [2.6, 3.4, 4.2])
    cut = 0.5 + 0.25 * np.sin((x + y) * 7.5) + 0.25 * np.sin((x - y) * 7.5)
    colour = paint((0.46, 0.47, 0.50), x) * (0.75 + 0.4 * cut)[..., None]
    edge = np.maximum(np.abs(x) - half, np.maximum(-46 - y, y - 36))
    body = lit(
        np.asarray(0.08 * cut - 0.3 * np.exp(-(((np.abs(x) - half) / 0.5) ** 2)), np.float32),
        np.clip(colour, 0, 1).astype(np.float32),
        grid.scale,
        0.35,
    )
    return [
        (body, cover(np.asarray(edge, np.float32), grid.scale)),
        _handle(x, y, grid, rng, 40, 120, 8.0, (0.62, 0.42, 0.20)),
    ]


def paper_layers(grid: Grid, rng: np.random.Generator) -> list[Layer]:
    """A folded strip of abrasive paper under the fingertips."""
    x, y = grid.axes()
    box = rounded_box(x, y, 1, 6, 26, 34, 0.8)
    grit = noise(rng, grid.shape, 2, 2)
    colour = np.clip(paint((0.30, 0.31, 0.33), x) * (1 + 0.12 * grit)[..., None], 0, 1)
    number = text(grid, "600", 8.5, 19, 4.2, True)
    colour = blend(colour.astype(np.float32), (0.78, 0.76, 0.70), number * 0.8)
    curl = 0.05 * grit + 0.9 * np.exp(-(((y - 22) / 2.2) ** 2)) + 0.5 * np.exp(-(((x - 13) / 1.4) ** 2))
    return [(lit(np.asarray(curl, np.float32), colour, grid.scale, 0.05), cover(box, grid.scale))]


def pliers_layers(grid: Grid, rng: np.random.Generator) -> list[Layer]:
    """Small pliers along -y, jaws meeting at the origin."""
    x, y = grid.axes()
    out: list[Layer] = []
    for sign in (-1, 1):
        grips, near = capsules(
            x, y, [(sign * 3.6, 34, 4.2, sign * 13, 74, 4.8, 0), (sign * 13, 74, 4.8, sign * 9, 122, 4.4, 0)]
        )
        out.append((lit(grips, paint((0.13, 0.22, 0.42), x), grid.scale, 0.3), cover(near, grid.scale)))
    for sign in (-1, 1):
        jaw, near = capsules(
            x, y, [(sign * 1.9, 0, 1.5, sign * 3.6, 16, 3.4, 0), (sign * 3.6, 16, 3.4, -sign * 1.5, 30, 4.6, 0)], 0.8
        )
        teeth = 0.10 * np.sin(y * 5) * (y < 10)
        out.append(
            (lit(np.asarray(jaw + teeth, np.float32), paint(STEEL, x), grid.scale, 0.6), cover(near, grid.scale))
        )
    pin = np.hypot(x, y - 24) - 3.2
    out.append(
        (
            lit(
                np.asarray(np.sqrt(np.clip(3.2**2 - (pin + 3.2) ** 2, 0, None)) * 0.5, np.float32),
                paint(STEEL, x),
                grid.scale,
                0.7,
            ),
            cover(np.asarray(pin, np.float32), grid.scale),
        )
    )
    return out


def held(rng: np.random.Generator, layers: Callable[[Grid, np.random.Generator], list[Layer]], gap: float) -> Sprite:
    """A tool in the right hand; the fingers hold it ``gap`` mm behind the origin."""
    grid = Grid(-40, -52, 190, 290, 9.0)
    fingers, skin = hands.right_hand_at(grid, 0, gap)
    shade = shadowed(skin, grid.scale)
    drawn = [(colour * (1 - 0.45 * shade[..., None]), alpha) for colour, alpha in layers(grid, rng)]
    return sprite(grid, *stack(grid, *drawn, (fingers, skin)), shadow_blur_mm=2.2)


def shadowed(alpha: Floats, scale: float) -> Floats:
    """The soft shadow a shape throws on what lies just below it."""
    import cv2

    move = np.array([[1, 0, 1.6 * scale], [0, 1, 2.0 * scale]], np.float32)
    moved = cv2.warpAffine(alpha, move, (alpha.shape[1], alpha.shape[0]))
    return np.asarray(cv2.GaussianBlur(moved, (0, 0), 1.8 * scale), np.float32)


@cache
def bare_hand() -> Sprite:
    """The right hand with nothing in it; the fingertips meet at the origin."""
    grid = Grid(-40, -30, 190, 260, 9.0)
    return sprite(grid, *hands.right_hand_at(grid, 0, 0), shadow_blur_mm=2.2)


@cache
def holding_hand() -> Sprite:
    """The left hand that holds the tube."""
    grid = Grid(-225, -85, 245, 190, 8.0)
    return sprite(grid, *hands.left_hand(np.random.default_rng(5), grid), shadow_blur_mm=2.2)


def plaque(is_small: bool) -> Sprite:
    """The thin plate between the blades; only what stands out around them is seen."""
    wide, long = (11.0, 24.0) if is_small else (19.0, 40.0)
    grid = Grid(-long / 2 - 2, -wide / 2 - 2, long + 4, wide + 4, 16.0)
    x, y = grid.axes()
    shape = ((np.abs(2 * x / long) ** 2.6 + np.abs(2 * y / wide) ** 2.6) ** (1 / 2.6) - 1) * wide / 2
    height = -0.6 * np.exp(-((shape / 0.9) ** 2))
    colour = lit(np.asarray(height, np.float32), paint((0.14, 0.20, 0.30), x), grid.scale, 0.7)
    sheen = np.exp(-(((x * 0.8 + y) / 5) ** 2)) * 0.16
    return sprite(
        grid,
        np.clip(colour + sheen[..., None], 0, 1).astype(np.float32),
        cover(np.asarray(shape, np.float32), grid.scale),
    )


def rule(rng: np.random.Generator) -> Sprite:
    """A steel rule: millimetres on the upper edge, sixteenths of an inch on the lower; zero at x = 0."""
    grid = Grid(-4, -1, 116, 22, 16.0)
    x, y = grid.axes()
    box = rounded_box(x, y, 53, 9, 110, 17, 1.2)
    colour = np.clip(paint((0.78, 0.79, 0.80), x) * (1 + 0.025 * noise(rng, grid.shape, 200, 2))[..., None], 0, 1)

    def ticks(pen: ImageDraw.ImageDraw, scale: float) -> None:
        def line(at: float, y0: float, y1: float, wide: float) -> None:
            pen.rectangle(
                [
                    (at - grid.left - wide / 2) * scale,
                    (y0 - grid.top) * scale,
                    (at - grid.left + wide / 2) * scale,
                    (y1 - grid.top) * scale,
                ],
                fill=255,
            )

        for number in range(101):
            line(number, 0.6, 0.6 + (4.6 if number % 10 == 0 else 3.5 if number % 5 == 0 else 2.4), 0.17)
        for number in range(65):
            long = 4.4 if number % 16 == 0 else 3.4 if number % 8 == 0 else 2.6 if number % 4 == 0 else 1.9
            line(number * 25.4 / 16, 17.4 - long, 17.4, 0.2)
        for number in range(0, 11):
            pen.text(
                ((number * 10 - grid.left) * scale, (6.9 - grid.top) * scale),
                str(number * 10),
                fill=255,
                font=font(2.9 * scale, True),
                anchor="mm",
            )
        for number in range(0, 5):
            pen.text(
                ((number * 25.4 - grid.left + 1.6) * scale, (11.4 - grid.top) * scale),
                f"{number} in",
                fill=255,
                font=font(2.5 * scale),
                anchor="mm",
            )

    colour = blend(colour.astype(np.float32), (0.08, 0.08, 0.09), ink(grid, ticks, 1))
    colour = lit(np.asarray(-0.35 * np.exp(-((box / 0.5) ** 2)), np.float32), colour, grid.scale, 0.05)
    sheen = np.exp(-(((x - 40 + y * 1.5) / 22) ** 2)) * 0.10
    return sprite(grid, np.clip(colour + sheen[..., None], 0, 1).astype(np.float32), cover(box, grid.scale))


def gauge(hundredths: float) -> Sprite:
    """A dial gauge: its jaw takes the tip from the left at the origin; one small division is 0.01 mm."""
    grid = Grid(-8, -34, 86, 68, 12.0)
    x, y = grid.axes()
    cx, cy, r = 46.0, 0.0, 27.0
    away = np.hypot(x - cx, y - cy)
    jaw = np.minimum(rounded_box(x, y, 8, -3.4, 26, 4.2, 1), rounded_box(x, y, 8, 3.4, 26, 4.2, 1))
    jaw_colour = lit(
        np.asarray(-0.4 * np.exp(-((jaw / 0.6) ** 2)), np.float32), paint((0.58, 0.60, 0.62), x), grid.scale, 0.5
    )
    ring = lit(
        np.asarray(np.sqrt(np.clip(9 - (away - r) ** 2, 0, None)), np.float32),
        paint((0.62, 0.62, 0.64), x),
        grid.scale,
        0.8,
    )
    face = paint((0.95, 0.94, 0.90), x) * (0.94 + 0.06 * np.clip((x - cx + y) / -30, -1, 1))[..., None]

    def marks(pen: ImageDraw.ImageDraw, scale: float) -> None:
        for number in range(50):
            turn = np.radians(number * 7.2 - 90)
            inner = r - (6.0 if number % 10 == 0 else 4.6 if number % 5 == 0 else 3.4)
            ends = [
                ((cx + q * np.cos(turn) - grid.left) * scale, (q * np.sin(turn) - grid.top) * scale)
                for q in (inner, r - 2.0)
            ]
            pen.line([*ends[0], *ends[1]], fill=255, width=max(1, round(0.45 * scale)))
            if number % 10 == 0:
                q = r - 9.2
                pen.text(
                    ((cx + q * np.cos(turn) - grid.left) * scale, (q * np.sin(turn) - grid.top) * scale),
                    f"{number / 100:.1f}",
                    fill=255,
                    font=font(4.4 * scale, True),
                    anchor="mm",
                )
        pen.text(
            ((cx - grid.left) * scale, (8.6 - grid.top) * scale), "mm", fill=255, font=font(4.0 * scale), anchor="mm"
        )

    face = blend(face.astype(np.float32), (0.1, 0.1, 0.12), ink(grid, marks))
    turn = np.radians(hundredths * 7.2 - 90)
    ux, uy = np.cos(turn), np.sin(turn)
    along, across = (x - cx) * ux + (y - cy) * uy, -(x - cx) * uy + (y - cy) * ux
    needle = np.maximum(
        np.abs(across) - np.interp(along, [-7, 0, 22], [1.2, 0.9, 0.3]), np.maximum(-7 - along, along - 22)
    )
    face = blend(face, (0.78, 0.08, 0.06), cover(np.asarray(needle, np.float32), grid.scale))
    face = blend(face, (0.2, 0.2, 0.2), cover(np.asarray(away - 1.7, np.float32), grid.scale))
    glass = np.exp(-(((x - cx + 9) / 12) ** 2) - (((y + 12) / 6) ** 2)) * 0.10
    return sprite(
        grid,
        *stack(
            grid,
            (jaw_colour, cover(jaw, grid.scale)),
            (ring, cover(np.asarray(away - r - 3, np.float32), grid.scale)),
            (
                np.clip(face + glass[..., None], 0, 1).astype(np.float32),
                cover(np.asarray(away - r, np.float32), grid.scale),
            ),
        ),
        shadow_blur_mm=2,
    )


def cutter() -> tuple[Sprite, Sprite]:
    """A tip cutter: the block, and the lever that comes down; the cut is at x = 0."""
    grid = Grid(-10, -24, 60, 48, 12.0)
    x, y = grid.axes()
    box = rounded_box(x, y, 14, 0, 40, 36, 3)
    slot = rounded_box(x, y, -4, 0, 8, 20, 0.6)
    height = -0.8 * np.exp(-((box / 1.2) ** 2)) - 1.2 * cover(slot, 6)
    block = lit(np.asarray(height, np.float32), paint((0.26, 0.28, 0.31), x), grid.scale, 0.4)
    screws = np.minimum(np.hypot(x - 27, y - 12), np.hypot(x - 27, y + 12)) - 2.4
    block = blend(block, (0.62, 0.60, 0.54), cover(np.asarray(screws, np.float32), grid.scale))
    base = sprite(grid, block, cover(box, grid.scale), 1.6)
    bar, near = capsules(
        x, y, [(1.6, -15, 2.2, 1.6, 15, 2.2, 0), (3, 0, 3.6, 34, 0, 3.2, 1), (36, 0, 5.4, 44, 0, 5.4, 1.5)], 0.8
    )
    hue = paint(STEEL, x)
    hue[x > 31] = (0.60, 0.12, 0.10)
    lever = sprite(grid, lit(bar, hue, grid.scale, 0.6), cover(near, grid.scale), 1.6)
    return base, lever


def cup(rng: np.random.Generator) -> Sprite:
    """A small glazed cup of water from above."""
    grid = Grid(-34, -34, 74, 68, 9.0)
    x, y = grid.axes()
    away = np.hypot(x, y)
    rim = np.sqrt(np.clip(9 - (away - 27) ** 2, 0, None))
    glaze = np.clip(paint((0.82, 0.84, 0.80), x) + 0.02 * noise(rng, grid.shape, 40, 40)[..., None], 0, 1).astype(
        np.float32
    )
    handle = np.abs(np.hypot(x - 29, y) - 6.5) - 2.6
    body = lit(np.asarray(rim, np.float32), glaze, grid.scale, 0.5)
    ear = lit(np.asarray(np.sqrt(np.clip(2.6**2 - (handle + 2.6) ** 2, 0, None)), np.float32), glaze, grid.scale, 0.5)
    depth = np.clip(1 - (away / 26) ** 4, 0, 1)
    ripple = 0.02 * np.sin(away * 1.1) + 0.015 * noise(rng, grid.shape, 60, 60)
    water = paint((0.40, 0.52, 0.53), x) * (0.78 + 0.3 * depth + ripple)[..., None]
    water = water * (1 - 0.45 * np.clip((-x - y) / 40, 0, 1) * (away > 12))[..., None]
    glint = (
        np.exp(-(((x + 8) / 6) ** 2) - (((y + 11) / 2.2) ** 2)) * 0.65
        + np.exp(-(((x - 9) / 3) ** 2) - (((y - 8) / 1.2) ** 2)) * 0.25
    )
    water = np.clip(water + glint[..., None], 0, 1).astype(np.float32)
    return sprite(
        grid,
        *stack(
            grid,
            (ear, cover(np.asarray(handle, np.float32), grid.scale)),
            (body, cover(np.asarray(away - 30, np.float32), grid.scale)),
            (water, cover(np.asarray(away - 25.4, np.float32), grid.scale)),
        ),
        2.5,
    )


def case(rng: np.random.Generator) -> Sprite:
    """An open reed case with two other reeds on their pins."""
    grid = Grid(-32, -24, 64, 48, 8.0)
    x, y = grid.axes()
    box = rounded_box(x, y, 0, 0, 60, 42, 4)
    inner = rounded_box(x, y, 0, 0, 53, 35, 2.5)
    grain = noise(rng, grid.shape, 90, 3)
    wood = paint((0.33, 0.16, 0.09), x) * (1 + 0.13 * grain)[..., None]
    lining = paint((0.30, 0.08, 0.12), x) * (1 + 0.06 * noise(rng, grid.shape, 3, 3))[..., None]
    colour = blend(np.asarray(wood, np.float32), (0, 0, 0), 0 * x)
    on = cover(inner, grid.scale)
    colour = colour * (1 - on[..., None]) + lining * on[..., None]
    height = 1.4 * cover(np.asarray(-inner, np.float32), 2.0)
    for at in (-10, 0, 10):
        half = np.interp(x, [-20, 2, 19], [3.3, 3.6, 5.2])
        if at == 10:
            continue
        edge = cover(np.asarray(np.maximum(np.abs(y - at) - half * 0.8, np.abs(x) - 19), np.float32), grid.scale)
        cane = np.where((x < 2)[..., None], np.array([0.76, 0.55, 0.24]), np.array([0.90, 0.78, 0.52]))
        cane = np.where(
            (np.abs(x + 15) < 4)[..., None], np.array([0.13, 0.33, 0.22]) if at else np.array([0.55, 0.38, 0.10]), cane
        )
        colour = colour * (1 - edge[..., None]) + cane * edge[..., None]
        height = height + 2.2 * np.sqrt(np.clip(1 - ((y - at) / (half * 0.8)) ** 2, 0, 1)) * edge
    return sprite(
        grid,
        lit(np.asarray(height, np.float32), np.clip(colour, 0, 1).astype(np.float32), grid.scale, 0.2),
        cover(box, grid.scale),
        2,
    )


def pencil() -> Sprite:
    """A pencil lying about."""
    grid = Grid(-48, -5, 96, 10, 9.0)
    x, y = grid.axes()
    half = np.interp(x, [-46, -34, 46], [0.4, 3.3, 3.3])
    height = np.sqrt(np.clip(half**2 - y**2, 0, None)) * 0.8
    colour = paint((0.16, 0.36, 0.30), x)
    colour[x < -34] = (0.85, 0.66, 0.42)
    colour[x < -43] = (0.12, 0.12, 0.13)
    colour[x > 40] = (0.75, 0.72, 0.66)
    return sprite(
        grid,
        lit(np.asarray(height, np.float32), colour, grid.scale, 0.4),
        cover(np.asarray(np.maximum(np.abs(y) - half, np.abs(x) - 46), np.float32), grid.scale),
        1.2,
    )


def dust(rng: np.random.Generator, count: int, across_mm: float) -> Sprite:
    """Fine swarf that has come off the cane."""
    grid = Grid(-22, -14, 44, 28, 14.0)
    x, y = grid.axes()
    alpha = np.zeros(grid.shape, np.float32)
    for _ in range(count):
        px, py = rng.normal(3, 7), rng.normal(0, across_mm)
        turn, long, thin = rng.uniform(0, np.pi), rng.uniform(0.15, 0.75), rng.uniform(0.08, 0.17)
        row, column = int((py - grid.top) * grid.scale), int((px - grid.left) * grid.scale)
        if not (14 <= row < alpha.shape[0] - 14 and 14 <= column < alpha.shape[1] - 14):
            continue
        part = np.s_[row - 13 : row + 14, column - 13 : column + 14]
        dx, dy = x[part] - px, y[part] - py
        along, away = dx * np.cos(turn) + dy * np.sin(turn), -dx * np.sin(turn) + dy * np.cos(turn)
        spot = np.hypot(np.clip(np.abs(along) - long, 0, None), away) - thin
        alpha[part] = np.maximum(alpha[part], cover(np.asarray(spot, np.float32), grid.scale))
    colour = paint((0.95, 0.87, 0.66), x)
    return sprite(grid, colour, alpha * 0.9, 0.3)


def lamp_plate() -> Sprite:
    """A bright round plate under the reed: the lamp seen from above."""
    grid = Grid(-75, -75, 150, 150, 5.0)
    x, y = grid.axes()
    away = np.hypot(x, y)
    glow = np.exp(-((away / 52) ** 4))
    colour = paint((1.0, 0.93, 0.74), x) * (0.75 + 0.25 * glow)[..., None]
    return sprite(grid, colour.astype(np.float32), np.clip((72 - away) / 24, 0, 1).astype(np.float32), 2)


def tip_front(opening_mm: float) -> Sprite:
    """The reed seen into its tip: a lens-shaped opening between two pale edges, over a small scale."""
    grid = Grid(-13, -9, 26, 18, 30.0)
    x, y = grid.axes()
    half = 7.4
    profile = np.sqrt(np.clip(1 - (x / half) ** 2, 0, 1)) ** 1.5
    gap = opening_mm / 2 * profile
    shell = gap + 0.20 + 0.10 * profile
    edge = np.maximum(np.abs(y) - shell, np.abs(x) - half)
    body_edge = np.maximum(np.abs(y) - (shell + 1.9 * profile**0.5), np.abs(x) - half)
    cane = lit(
        np.asarray(2.2 * np.sqrt(np.clip(1 - (y / 3.5) ** 2, 0, 1)), np.float32),
        paint((0.70, 0.55, 0.32), x),
        grid.scale,
        0.1,
    )
    rim = paint((0.97, 0.90, 0.70), x)
    dark = paint((0.05, 0.04, 0.04), x)
    hole = np.maximum(np.abs(y) - gap, np.abs(x) - half)
    return sprite(
        grid,
        *stack(
            grid,
            (cane * 0.8, cover(np.asarray(body_edge, np.float32), grid.scale)),
            (rim, cover(np.asarray(edge, np.float32), grid.scale)),
            (dark, cover(np.asarray(hole, np.float32), grid.scale)),
        ),
        0.8,
    )


def feeler(rng: np.random.Generator) -> Sprite:
    """A short upright scale held against the tip, in millimetres, zero in the middle of its left edge."""
    grid = Grid(-1, -7, 12, 14, 30.0)
    x, y = grid.axes()
    box = rounded_box(x, y, 4.6, 0, 9, 13, 0.5)

    def ticks(pen: ImageDraw.ImageDraw, scale: float) -> None:
        for number in range(-30, 31):
            at = number / 5
            long = 2.6 if number % 5 == 0 else 1.2
            pen.rectangle(
                [
                    (0.1 - grid.left) * scale,
                    (at - 0.035 - grid.top) * scale,
                    (0.1 + long - grid.left) * scale,
                    (at + 0.035 - grid.top) * scale,
                ],
                fill=255,
            )
            if number % 5 == 0:
                pen.text(
                    ((4.2 - grid.left) * scale, (at - grid.top) * scale),
                    str(abs(number // 5)),
                    fill=255,
                    font=font(0.95 * scale, True),
                    anchor="mm",
                )
        pen.text(
            ((6.9 - grid.left) * scale, (0 - grid.top) * scale), "mm", fill=255, font=font(1.0 * scale), anchor="mm"
        )

    colour = np.clip(paint((0.80, 0.81, 0.82), x) * (1 + 0.02 * noise(rng, grid.shape, 2, 90))[..., None], 0, 1)
    return sprite(
        grid, blend(colour.astype(np.float32), (0.07, 0.07, 0.08), ink(grid, ticks, 1)), cover(box, grid.scale), 0.6
    )
