"""Puts sprites on the bench top and looks at it from above."""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np

from demo_media.drawing.bench import FIELD
from demo_media.drawing.surface import Bytes, Floats, Sprite

SHADOW_MM = (0.62, 0.80)  # where a shadow falls, per mm of height
SHADOW_DEPTH = 0.52


@dataclass(frozen=True)
class Pose:
    """Where a sprite lies: place and height in mm, turn in degrees.

    ``across`` is its width (1 flat, 0 on edge), ``light`` its brightness, ``shown`` its opacity.
    """

    x: float
    y: float
    turn: float = 0.0
    lift: float = 0.6
    across: float = 1.0
    light: float = 1.0
    shown: float = 1.0

    def moved(self, dx: float, dy: float, lift: float = 0.0) -> Pose:
        """The pose shifted, and raised."""
        return replace(self, x=self.x + dx, y=self.y + dy, lift=self.lift + lift)


@dataclass(frozen=True)
class View:
    """The camera: the point of the bench in the middle, mm across the wide side, roll in degrees."""

    x: float
    y: float
    span: float
    roll: float = 0.0


def mix(one: Pose, two: Pose, share: float) -> Pose:
    """A pose on the way from one to the other; travelling things rise a little."""
    far = min(1.0, np.hypot(two.x - one.x, two.y - one.y) / 40)
    hop = 5.0 * far * 4 * share * (1 - share)
    keep = 1 - share
    return Pose(
        one.x * keep + two.x * share,
        one.y * keep + two.y * share,
        one.turn * keep + two.turn * share,
        one.lift * keep + two.lift * share + hop,
        one.across * keep + two.across * share,
        one.light * keep + two.light * share,
    )


def mix_view(one: View, two: View, share: float) -> View:
    """A view on the way; the span changes evenly in ratio, as a zoom does."""
    keep = 1 - share
    return View(
        one.x * keep + two.x * share,
        one.y * keep + two.y * share,
        float(np.exp(np.log(one.span) * keep + np.log(two.span) * share)),
        one.roll * keep + two.roll * share,
    )


def _onto(view: View, width: int, height: int) -> Floats:
    """Matrix from bench mm to picture pixels."""
    scale = max(width, height) / view.span
    c, s = np.cos(np.radians(view.roll)) * scale, np.sin(np.radians(view.roll)) * scale
    turn = np.array([[c, -s], [s, c]])
    shift = np.array([width / 2, height / 2]) - turn @ np.array([view.x, view.y])
    return np.hstack([turn, shift[:, None]]).astype(np.float32)


def _after(outer: Floats, inner: Floats) -> Floats:
    """The matrix that does inner, then outer."""
    low = np.array([[0, 0, 1]], np.float32)
    return np.asarray((np.vstack([outer, low]) @ np.vstack([inner, low]))[:2], np.float32)


def _reach(matrix: Floats, columns: int, rows: int, width: int, height: int) -> tuple[int, int, int, int] | None:
    corners = np.array([[0, 0, 1], [columns, 0, 1], [0, rows, 1], [columns, rows, 1]], np.float32) @ matrix.T
    low, high = np.floor(corners.min(0)).astype(int), np.ceil(corners.max(0)).astype(int)
    x0, y0, x1, y1 = max(0, low[0]), max(0, low[1]), min(width, high[0]), min(height, high[1])
    return (x0, y0, x1, y1) if x1 > x0 and y1 > y0 else None


class Bench:
    """The bench top at several sizes, ready to be looked at."""

    def __init__(self, top: Bytes) -> None:
        self.levels = [top]
        while len(self.levels) < 4:
            last = self.levels[-1]
            self.levels.append(cv2.resize(last, (last.shape[1] // 2, last.shape[0] // 2), interpolation=cv2.INTER_AREA))

    def seen(self, view: View, width: int, height: int) -> Bytes:
        """The bare bench top in this view."""
        onto = _onto(view, width, height)
        scale = max(width, height) / view.span
        level = int(np.clip(np.floor(np.log2(FIELD.scale / scale) + 0.25), 0, 3))
        pixels = FIELD.scale / 2**level
        place = np.array([[1 / pixels, 0, FIELD.left], [0, 1 / pixels, FIELD.top]], np.float32)
        return np.asarray(
            cv2.warpAffine(
                self.levels[level],
                _after(onto, place),
                (width, height),
                flags=cv2.INTER_LINEAR,
                borderMode=cv2.BORDER_REFLECT,
            ),
            np.uint8,
        )


def _place(pose: Pose, dx: float, dy: float) -> Floats:
    grow = 1 + pose.lift * 0.002
    c, s = np.cos(np.radians(pose.turn)) * grow, np.sin(np.radians(pose.turn)) * grow
    return np.array([[c, -s * pose.across, pose.x + dx], [s, c * pose.across, pose.y + dy]], np.float32)


def put(picture: Bytes, view: View, shape: Sprite, pose: Pose) -> None:
    """Draw a sprite with its shadow into the picture."""
    height, width = picture.shape[:2]
    onto = _onto(view, width, height)
    scale = max(width, height) / view.span
    _put_shadow(picture, onto, shape, pose)
    level = int(np.clip(np.floor(np.log2(shape.grid.scale / scale) + 0.3), 0, len(shape.levels) - 1))
    image = shape.levels[level]
    pixels = image.shape[1] / shape.grid.width
    inner = np.array([[1 / pixels, 0, shape.grid.left], [0, 1 / pixels, shape.grid.top]], np.float32)
    matrix = _after(onto, _after(_place(pose, 0, 0), inner))
    box = _reach(matrix, image.shape[1], image.shape[0], width, height)
    if box is None:
        return
    x0, y0, x1, y1 = box
    matrix[:, 2] -= (x0, y0)
    top = cv2.warpAffine(image, matrix, (x1 - x0, y1 - y0), flags=cv2.INTER_LINEAR).astype(np.float32)
    top *= pose.shown
    part = picture[y0:y1, x0:x1]
    part[:] = np.clip(top[..., :3] * pose.light + part * (1 - top[..., 3:] / 255) + 0.5, 0, 255).astype(np.uint8)


def _put_shadow(picture: Bytes, onto: Floats, shape: Sprite, pose: Pose) -> None:
    height, width = picture.shape[:2]
    rows, columns = shape.shadow.shape
    scale, pad = shape.shadow_scale, shape.shadow_pad
    inner = np.array([[1 / scale, 0, shape.grid.left - pad], [0, 1 / scale, shape.grid.top - pad]], np.float32)
    fall = _place(pose, pose.lift * SHADOW_MM[0], pose.lift * SHADOW_MM[1])
    matrix = _after(onto, _after(fall, inner))
    box = _reach(matrix, columns, rows, width, height)
    if box is None:
        return
    x0, y0, x1, y1 = box
    matrix[:, 2] -= (x0, y0)
    mask = cv2.warpAffine(shape.shadow, matrix, (x1 - x0, y1 - y0), flags=cv2.INTER_LINEAR).astype(np.float32)
    depth = SHADOW_DEPTH / (1 + 0.02 * pose.lift)
    part = picture[y0:y1, x0:x1]
    part[:] = (part * (1 - mask[..., None] * (depth / 255))).astype(np.uint8)
