"""Draws the two reeds from above, tip to the right, butt at x = 0; sizes in millimetres.

Lengths are kept in the constants below; the first
wire lies 3.2 mm behind the collar, which the rule in the picture shows.
"""

from __future__ import annotations

import cv2
import numpy as np
from scipy.special import expit

from demo_media.drawing.surface import Floats, Grid, Sprite, cover, lit, noise, paint, sprite, stack

BASSOON_LENGTH = 55.0
COLLAR = 28.0
WIRES = (24.8, 16.9, 4.9)
OBOE_LENGTH = 70.0
THREAD = (24.0, 47.0)
TIP_LINE = 66.0
SCALE = 22.0

BARK = (0.80, 0.60, 0.25)
CANE = (0.93, 0.80, 0.53)
BRASS = (0.85, 0.66, 0.30)


def _lens(y: Floats, half: Floats, top: float) -> Floats:
    """Height of a rounded cross-section of that half width."""
    return np.asarray(top * np.sqrt(np.clip(1 - (y / np.maximum(half, 0.1)) ** 2, 0, 1)), np.float32)


def _fibres(rng: np.random.Generator, shape: tuple[int, int]) -> Floats:
    fine = noise(rng, shape, 240, 2.2) * 0.5 + noise(rng, shape, 500, 5) * 0.5
    return np.asarray(fine + 0.4 * noise(rng, shape, 60, 9), np.float32)


def _thread(x: Floats, y: Floats, half: Floats, pitch: float, hue: tuple[float, float, float], scale: float) -> Floats:
    wave = np.abs(np.sin(np.pi * (x + y * 0.06) / pitch))
    height = _lens(y, half, 3.4) + 0.22 * wave
    return lit(np.asarray(height, np.float32), paint(hue, x) * (0.72 + 0.28 * wave)[..., None], scale, 0.08)


def _wire(x: Floats, y: Floats, at: float, half: Floats, scale: float) -> tuple[Floats, Floats]:
    """Two turns of brass wire across the tube and the twisted ends standing to the near side."""
    turns = np.minimum(np.abs(x - at + 0.4), np.abs(x - at - 0.4))
    ridge = np.sqrt(np.clip(0.42**2 - turns**2, 0, None))
    height = _lens(y, half + 0.35, 4.0) + ridge * 1.2
    reach = np.maximum(turns - 0.42, np.abs(y) - half - 0.3)
    away = np.hypot((x - at - 0.3 * np.sin((y - half) * 4)) * 1.0, np.clip(np.abs(y - half - 1.0) - 1.3, 0, None))
    twist = np.sqrt(np.clip(0.55**2 - away**2, 0, None)) + 0.12 * np.sin((y - x) * 9) * (away < 0.55)
    height = np.maximum(height * (reach < 0), twist * 1.6)
    alpha = np.maximum(cover(reach, scale), cover(away - 0.55, scale))
    return lit(np.asarray(height, np.float32), paint(BRASS, x), scale, 0.75), alpha


def bassoon(rng: np.random.Generator, clipped_mm: float = 0.0) -> Sprite:
    """A bassoon reed: bark tube, three wires, red binding, blades with tip, heart, spine, channels and rails."""
    length = BASSOON_LENGTH - clipped_mm
    grid = Grid(-2, -10, BASSOON_LENGTH + 4, 20, SCALE)
    x, y = grid.axes()
    tube_half = np.interp(x, [0, 5, 12, 17, 25, COLLAR], [3.9, 3.9, 3.6, 3.75, 4.25, 4.5]).astype(np.float32)
    blade_half = np.interp(x, [COLLAR - 0.5, 40, 48, 55], [4.45, 5.75, 6.75, 7.5]).astype(np.float32)
    fibre = _fibres(rng, grid.shape)
    tube = _tube(rng, x, y, tube_half, fibre, grid)
    blade = _bassoon_blade(x, y, blade_half, fibre, length, grid.scale)
    layers = [blade, tube]
    bind_half = tube_half + 0.9
    edge = np.maximum(np.abs(y) - bind_half, np.maximum(0.9 - x, x - 9.4))
    gap = np.abs(x - WIRES[2]) - 0.9
    layers.append(
        (
            _thread(x, y, bind_half, 0.62, (0.68, 0.13, 0.14), grid.scale),
            cover(edge, grid.scale) * (1 - cover(gap, grid.scale)),
        )
    )
    for at in WIRES:
        layers.append(_wire(x, y, at, tube_half, grid.scale))
    return sprite(grid, *stack(grid, *layers))


def _tube(
    rng: np.random.Generator, x: Floats, y: Floats, half: Floats, fibre: Floats, grid: Grid
) -> tuple[Floats, Floats]:
    """The bark part: rounded, golden, speckled, with the collar's slanting end."""
    speckle = np.clip(noise(rng, grid.shape, 90, 7) - 1.6, 0, 1)
    colour = paint(BARK, x) * (1 + 0.05 * fibre[..., None]) - speckle[..., None] * np.array(
        [0.22, 0.22, 0.1], np.float32
    )
    flutes = 0.05 * np.cos(y * 5.5) * np.clip((WIRES[0] - x) / 8, 0, 1)
    shade = lit(np.asarray(_lens(y, half, 3.6) + flutes, np.float32), colour.astype(np.float32), grid.scale, 0.35)
    end = COLLAR - 0.035 * y * y
    edge = np.maximum(np.abs(y) - half, np.maximum(-x, x - end))
    return shade, cover(np.asarray(edge, np.float32), grid.scale)


def _bassoon_blade(
    x: Floats, y: Floats, half: Floats, fibre: Floats, length: float, scale: float
) -> tuple[Floats, Floats]:
    """Scraped cane: paler and thinner towards the tip; heart and spine thicker and warmer."""
    side = y / half
    front = np.clip((x - COLLAR) / (length - COLLAR), 0, 1)
    heart = np.exp(-(((front - 0.66) / 0.2) ** 2) - (side / 0.5) ** 2)
    spine = np.exp(-((side / 0.085) ** 2)) * np.clip(1.05 - front, 0, 1)
    channel = np.exp(-(((np.abs(side) - 0.36) / 0.16) ** 2)) * np.clip(1 - front * 1.1, 0, 1)
    rail = np.exp(-(((np.abs(side) - 0.93) / 0.1) ** 2))
    tip = expit((front - 0.885 - 0.03 * side**2) * 60)
    thick = 0.78 - 0.55 * front + 0.17 * heart + 0.12 * spine - 0.1 * channel - 0.12 * rail - 0.13 * tip
    dome = _lens(y, half * 1.08, 1.0) * (1.6 - 1.15 * front)
    colour = paint(CANE, x)
    colour = colour * (1.08 - 0.2 * (heart + 0.55 * spine))[..., None]
    colour -= (heart[..., None] * 0.6 + spine[..., None] * 0.5) * np.array([0.0, 0.05, 0.13], np.float32)
    colour += tip[..., None] * (np.array([0.80, 0.77, 0.66], np.float32) - colour) * 0.75
    colour -= rail[..., None] * (1 - tip[..., None]) * np.array([0.02, 0.05, 0.10], np.float32)
    colour += channel[..., None] * 0.035
    colour *= 1 + 0.028 * fibre[..., None]
    # The step behind the tip and the collar catch the light.
    shade = lit(np.asarray(dome + thick * 0.9, np.float32), np.clip(colour, 0, 1).astype(np.float32), scale, 0.12)
    step = np.exp(-(((x - COLLAR + 0.035 * y * y - 0.35) / 0.3) ** 2))
    shade = shade * (1 - 0.25 * step[..., None])
    edge = np.maximum(np.abs(y) - half, np.maximum(COLLAR - 2 - x, x - length + 0.012 * y * y * 0.2))
    alpha = cover(np.asarray(edge, np.float32), scale) * (1 - 0.14 * tip)
    return shade.astype(np.float32), alpha.astype(np.float32)


def _oboe_half(x: Floats) -> Floats:
    xs, halves = [0, 24, 40, 47, 55, 62, 70], [3.15, 3.05, 2.35, 2.35, 2.85, 3.2, 3.5]
    return np.asarray(np.interp(x, xs, halves), np.float32)


def _oboe_zones(x: Floats, y: Floats, half: Floats) -> dict[str, Floats]:
    side = y / half
    tip_line = TIP_LINE + 1.1 * (1 - np.clip(np.abs(side), 0, 1))
    tip = expit((x - tip_line) * 5)
    heart = np.exp(-(((x - 63.3) / 1.9) ** 2))
    in_back = expit((x - 50.2 - 0.8 * np.abs(side)) * 4) * expit((61.0 - x) * 3)
    window = in_back * np.clip(1 - np.abs((np.abs(side) - 0.46) / 0.34) ** 6, 0, 1)
    bark = expit((50.0 + 0.5 * np.abs(side) - x) * 6)
    return {"tip": tip, "heart": heart, "window": window, "bark": bark, "side": side}


def oboe(rng: np.random.Generator, is_even: bool = False, clipped_mm: float = 0.0) -> Sprite:
    """An oboe reed, long scrape: cork, thread, bark, windows, spine, rails, heart, blend, tip."""
    grid = Grid(-2, -6, OBOE_LENGTH + 4, 12, 26.0)
    x, y = grid.axes()
    half = _oboe_half(x)
    fibre = _fibres(rng, grid.shape)
    zone = _oboe_zones(x, y, half)
    left = 0.95 if is_even else 0.5
    strength = np.where(y < 0, left, 1.0)  # the left window (far side, tip right) is scraped less
    colour = paint((0.80, 0.60, 0.27), x)
    for name, hue, amount in (
        ("bark", BARK, 0.9),
        ("window", CANE, strength),
        ("heart", (0.86, 0.69, 0.38), 0.5),
        ("tip", (0.86, 0.82, 0.68), 0.9),
    ):
        share = (zone[name] * amount)[..., None]
        colour += share * (np.array(hue, np.float32) - colour)
    colour *= 1 + 0.03 * fibre[..., None]
    height = (
        _lens(y, half * 1.05, 1.7) * (1 - 0.45 * zone["tip"]) - 0.16 * zone["window"] * strength - 0.1 * zone["tip"]
    )
    cane = lit(np.asarray(height, np.float32), np.clip(colour, 0, 1).astype(np.float32), grid.scale, 0.15)
    length = OBOE_LENGTH - clipped_mm
    edge = np.maximum(np.abs(y) - half, np.maximum(45 - x, x - length))
    layers = [(cane, cover(np.asarray(edge, np.float32), grid.scale) * (1 - 0.12 * zone["tip"]).astype(np.float32))]
    layers += _oboe_staple(rng, x, y, half, grid)
    return sprite(grid, *stack(grid, *layers), shadow_blur_mm=1.0)


def _oboe_staple(
    rng: np.random.Generator, x: Floats, y: Floats, half: Floats, grid: Grid
) -> list[tuple[Floats, Floats]]:
    metal = lit(_lens(y, half * 0.8, 2.6), paint((0.74, 0.74, 0.76), x), grid.scale, 0.8)
    grain = np.clip(noise(rng, grid.shape, 14, 14) - 0.9, 0, 1)[..., None] * np.array([0.24, 0.18, 0.12], np.float32)
    cork = lit(
        _lens(y, half, 3.1), np.clip(paint((0.70, 0.50, 0.31), x) - grain, 0, 1).astype(np.float32), grid.scale, 0.05
    )
    thread = _thread(x, y, half + 0.15, 0.5, (0.10, 0.36, 0.42), grid.scale)

    def between(low: float, high: float, extra: float | Floats) -> Floats:
        return cover(
            np.asarray(np.maximum(np.abs(y) - half - extra, np.maximum(low - x, x - high)), np.float32), grid.scale
        )

    return [(metal, between(0.0, 2.2, -half * 0.2)), (cork, between(1.4, 24.3, 0)), (thread, between(*THREAD, 0.15))]


def oboe_against_light(rng: np.random.Generator) -> Sprite:
    """The same reed with the lamp behind it: the thinner, the brighter; the left window stays darker."""
    grid = Grid(-2, -6, OBOE_LENGTH + 4, 12, 26.0)
    x, y = grid.axes()
    half = _oboe_half(x)
    fibre = _fibres(rng, grid.shape)
    zone = _oboe_zones(x, y, half)
    window = zone["window"] * np.where(y < 0, 0.35, 0.85)
    glow = 0.16 + 0.62 * window + 0.8 * zone["tip"] - 0.12 * zone["bark"] + 0.1 * zone["heart"]
    glow = np.clip(glow * (1 + 0.05 * fibre), 0.03, 1)
    glow = np.where(x < THREAD[1], 0.05, glow)
    colour = np.stack([np.clip(glow * 1.5, 0, 1), np.clip(glow**1.25, 0, 1), np.clip(glow**2.1 * 0.75, 0, 1)], -1)
    edge = np.maximum(np.abs(y) - half - np.where(x < THREAD[1], 0.1, 0), np.maximum(-x, x - OBOE_LENGTH))
    soft = cv2.GaussianBlur(colour.astype(np.float32), (0, 0), 2)
    return sprite(grid, soft, cover(np.asarray(edge, np.float32), grid.scale))
