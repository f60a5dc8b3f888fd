"""Draws the bench top: planks of wood, a felt mat with a stitched edge, and what always lies about."""

from __future__ import annotations

import cv2
import numpy as np

from demo_media.drawing.surface import Bytes, Floats, Grid, cover, lit, noise, paint, rounded_box

FIELD = Grid(-230, -190, 460, 380, 7.0)
LOOKS = {  # dark wood, light wood, felt
    "day": ((0.36, 0.21, 0.11), (0.66, 0.45, 0.26), (0.20, 0.27, 0.30)),
    "evening": ((0.36, 0.21, 0.11), (0.66, 0.45, 0.26), (0.20, 0.27, 0.30)),
    "grey": ((0.52, 0.40, 0.28), (0.80, 0.68, 0.52), (0.24, 0.32, 0.24)),
}


def wood(rng: np.random.Generator, grid: Grid, dark: tuple[float, ...], light: tuple[float, ...]) -> Floats:
    """Planks along x, each with its own rings, pores and tone; seams between them."""
    _x, y = grid.axes()
    shape = grid.shape
    plank = np.floor((y + 230) / 82).astype(int)
    shift = rng.uniform(-400, 400, 12)[plank]
    tint = rng.uniform(-0.10, 0.10, 12)[plank]
    bend = noise(rng, shape, 900, 120) * 5 + noise(rng, shape, 260, 40) * 1.2
    rings = np.sin((y * 0.42 + bend * 0.42 + shift) + 0.9 * np.sin(y * 0.11 + bend * 0.3 + shift))
    fine = noise(rng, shape, 300, 3) * 0.5 + noise(rng, shape, 90, 2) * 0.35
    pores = np.clip(noise(rng, shape, 70, 2.4) - 1.7, 0, 1)
    tone = np.clip(0.52 + 0.22 * rings + 0.12 * fine + tint, 0, 1)[..., None]
    colour = np.array(dark, np.float32) * (1 - tone) + np.array(light, np.float32) * tone
    colour *= 1 - 0.45 * pores[..., None]
    seam = np.abs((y + 230) % 82 - 41) - 41
    colour *= 1 - 0.75 * np.exp(-((seam / 0.5) ** 2))[..., None]
    height = 0.05 * fine - 0.25 * np.exp(-((seam / 0.7) ** 2)) - 0.08 * pores
    return lit(np.asarray(height, np.float32), np.clip(colour, 0, 1).astype(np.float32), grid.scale, 0.04)


def top(rng: np.random.Generator, look: str) -> Bytes:
    """The whole bench top as RGB, ``FIELD.scale`` pixels per mm."""
    dark, light, felt = LOOKS[look]
    colour = wood(rng, FIELD, dark, light)
    x, y = FIELD.axes()
    mat = rounded_box(x, y, 6, 0, 214, 132, 5)
    shadow = cv2.GaussianBlur(
        cover(np.asarray(rounded_box(x, y, 7.6, 2.2, 214, 132, 5), np.float32), FIELD.scale), (0, 0), 1.8 * FIELD.scale
    )
    colour *= 1 - 0.5 * shadow[..., None]
    fuzz = (
        noise(rng, FIELD.shape, 2.2, 2.2) * 0.5
        + noise(rng, FIELD.shape, 7, 5) * 0.5
        + 0.6 * noise(rng, FIELD.shape, 120, 90)
    )
    cloth = paint(felt, x) * (1 + 0.042 * fuzz)[..., None]
    stitch = np.exp(-(((mat + 3.2) / 0.42) ** 2)) * (np.sin((x + y) * 1.9) > -0.2)
    cloth += stitch[..., None] * np.array([0.34, 0.30, 0.22], np.float32)
    rim = np.exp(-(((mat + 0.6) / 0.7) ** 2))
    height = 0.06 * fuzz + 0.5 * stitch + 0.4 * rim
    cloth = lit(np.asarray(height, np.float32), np.clip(cloth, 0, 1).astype(np.float32), FIELD.scale, 0.0)
    on = cover(mat, FIELD.scale)[..., None]
    colour = colour * (1 - on) + cloth * on
    return np.asarray(np.clip(colour * 255, 0, 255), np.uint8)


def gain(width: int, height: int, look: str) -> Floats:
    """How bright and warm each pixel of the picture is under the session's light."""
    x, y = np.meshgrid(np.linspace(0, 1, width), np.linspace(0, 1, height))
    if look == "day":
        pool = 0.72 + 0.42 * np.exp(-((x - 0.22) ** 2 + (y - 0.10) ** 2) / 0.55)
        hue = np.array([1.0, 0.99, 0.97])
        bars = 1 + 0.10 * np.clip(np.sin((x * 1.1 + y * 0.55) * 9.0) * 3, -1, 1) * np.exp(
            -((x + y * 0.5 - 0.35) ** 2) / 0.15
        )
        pool = pool * bars
    elif look == "evening":
        pool = 0.44 + 0.66 * np.exp(-((x - 0.45) ** 2 + (y - 0.38) ** 2) / 0.32)
        hue = np.array([1.06, 0.93, 0.76])
    else:
        pool = 0.80 + 0.26 * np.exp(-((x - 0.35) ** 2 + (y - 0.15) ** 2) / 0.8)
        hue = np.array([0.96, 0.99, 1.03])
    edge = 1 - 0.28 * np.clip(np.hypot(x - 0.5, y - 0.5) - 0.32, 0, 1)
    return np.asarray((pool * edge)[..., None] * hue, np.float32)
