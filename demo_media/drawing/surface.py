"""From a height map to a lit picture with soft edges: the one way everything on the bench is drawn.

Lengths are in millimetres on the bench; +x runs right, +y towards the maker,
+z up to the camera. Colours are RGB floats 0..1; a sprite keeps 8-bit
premultiplied RGBA at several sizes so that it can be shrunk cleanly.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[Any]  # float32 or float64: NumPy's own mix of both is fine for drawing
Bytes = npt.NDArray[Any]  # uint8

LIGHT = np.array([-0.46, -0.58, 0.67], np.float32)  # towards the lamp, upper left


@dataclass(frozen=True)
class Grid:
    """A patch of the bench: x and y in mm for every pixel, ``scale`` pixels per mm."""

    left: float
    top: float
    width: float
    height: float
    scale: float

    @property
    def shape(self) -> tuple[int, int]:
        return round(self.height * self.scale), round(self.width * self.scale)

    def axes(self) -> tuple[Floats, Floats]:
        """The x and y of pixel centres."""
        rows, columns = self.shape
        x = self.left + (np.arange(columns, dtype=np.float32) + 0.5) / self.scale
        y = self.top + (np.arange(rows, dtype=np.float32) + 0.5) / self.scale
        across, down = np.meshgrid(x, y)
        return across, down


@dataclass(frozen=True, eq=False)
class Sprite:
    """A drawn thing: sizes from large to small, its shadow mask, and where it lies in its own mm."""

    levels: tuple[Bytes, ...]
    shadow: Bytes
    shadow_scale: float
    shadow_pad: float
    grid: Grid


def cover(distance_mm: Floats, scale: float) -> Floats:
    """How much of a pixel a shape covers, from its signed distance (negative inside)."""
    return np.clip(0.5 - distance_mm * scale, 0, 1)


def noise(rng: np.random.Generator, shape: tuple[int, int], cell_x: float, cell_y: float) -> Floats:
    """Smooth random field of unit deviation; cells in pixels."""
    rows, columns = max(3, int(shape[0] / cell_y) + 2), max(3, int(shape[1] / cell_x) + 2)
    small = rng.standard_normal((rows, columns)).astype(np.float32)
    field = cv2.resize(small, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC)
    return np.asarray(field / max(float(field.std()), 1e-6), np.float32)


def lit(height: Floats, colour: Floats, scale: float, gloss: float = 0.2, ambient: float = 0.46) -> Floats:
    """Shade a coloured height map (mm) with the lamp: diffuse, a soft highlight, darker hollows."""
    gy, gx = np.gradient(height * scale)
    length = np.sqrt(gx * gx + gy * gy + 1)
    normal = np.stack([-gx / length, -gy / length, 1 / length], axis=-1)
    diffuse = np.clip(normal @ LIGHT, 0, 1) / LIGHT[2]
    half = LIGHT + np.array([0, 0, 1], np.float32)
    half /= np.linalg.norm(half)
    shine = np.clip(normal @ half, 0, 1) ** 40 * gloss
    hollow = cv2.GaussianBlur(height, (0, 0), 2.2 * scale) - height
    shade = ambient + (1 - ambient) * diffuse - np.clip(hollow, 0, 3) * 0.07
    return np.asarray(np.clip(colour * shade[..., None] + shine[..., None], 0, 1))


def sprite(grid: Grid, colour: Floats, alpha: Floats, shadow_blur_mm: float = 1.3) -> Sprite:
    """Keep a picture at several sizes, with its blurred shadow."""
    rgba = np.dstack([colour * alpha[..., None], alpha])
    level: Bytes = np.clip(rgba * 255 + 0.5, 0, 255).astype(np.uint8)
    # A clear border, so that turning it never smears its edge pixels.
    level = cv2.copyMakeBorder(level, 8, 8, 8, 8, cv2.BORDER_CONSTANT, value=(0, 0, 0, 0))
    padded = Grid(
        grid.left - 8 / grid.scale,
        grid.top - 8 / grid.scale,
        level.shape[1] / grid.scale,
        level.shape[0] / grid.scale,
        grid.scale,
    )
    levels = [level]
    while min(level.shape[:2]) > 24 and len(levels) < 5:
        level = cv2.resize(level, (level.shape[1] // 2, level.shape[0] // 2), interpolation=cv2.INTER_AREA)
        levels.append(level)
    shadow_scale = min(grid.scale, 4.0)
    pad = 4 * shadow_blur_mm
    mask = cv2.resize(
        levels[0][..., 3],
        None,
        fx=shadow_scale / grid.scale,
        fy=shadow_scale / grid.scale,
        interpolation=cv2.INTER_AREA,
    )
    border = round(pad * shadow_scale)
    mask = cv2.copyMakeBorder(mask, border, border, border, border, cv2.BORDER_CONSTANT, value=0)
    mask = cv2.GaussianBlur(mask, (0, 0), shadow_blur_mm * shadow_scale)
    return Sprite(tuple(levels), mask, shadow_scale, border / shadow_scale, padded)


def stack(grid: Grid, *layers: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    """Lay (colour, alpha) layers of one grid over each other, the last on top."""
    colour = np.zeros((*grid.shape, 3), np.float32)
    alpha = np.zeros(grid.shape, np.float32)
    for top, cover_top in layers:
        out = cover_top + alpha * (1 - cover_top)
        mix = np.where(out > 1e-4, cover_top / np.maximum(out, 1e-4), 0)
        colour = colour + (top - colour) * mix[..., None]
        alpha = out
    return colour, alpha


def capsules(
    x: Floats, y: Floats, bones: list[tuple[float, float, float, float, float, float, float]], soft: float = 1.2
) -> tuple[Floats, Floats]:
    """Rounded limbs melted together: height and signed distance, both in mm.

    A bone is (x0, y0, r0, x1, y1, r1, z): from one end to the other with its radii, lifted by z.
    """
    total = np.zeros_like(x)
    near = np.full_like(x, 1e6)
    for x0, y0, r0, x1, y1, r1, z in bones:
        dx, dy = x1 - x0, y1 - y0
        along = np.clip(((x - x0) * dx + (y - y0) * dy) / max(dx * dx + dy * dy, 1e-6), 0, 1)
        radius = r0 + (r1 - r0) * along
        away = np.hypot(x - x0 - along * dx, y - y0 - along * dy)
        rise = np.sqrt(np.clip(radius**2 - away**2, 0, None))
        top = np.where(away < radius, z + rise, 0)
        total += np.expm1(np.clip(top / soft, 0, 60))
        near = np.minimum(near, away - radius)
    return (soft * np.log1p(total)).astype(np.float32), near.astype(np.float32)


def rounded_box(x: Floats, y: Floats, cx: float, cy: float, w: float, h: float, r: float) -> Floats:
    """Signed distance to a box with rounded corners."""
    qx, qy = np.abs(x - cx) - w / 2 + r, np.abs(y - cy) - h / 2 + r
    inside = np.minimum(np.maximum(qx, qy), 0)
    return np.asarray(np.hypot(np.maximum(qx, 0), np.maximum(qy, 0)) + inside - r, np.float32)


def paint(colour: tuple[float, float, float], like: Floats) -> Floats:
    """One colour over a whole grid."""
    return np.broadcast_to(np.array(colour, np.float32), (*like.shape, 3)).copy()
