"""Geometry under the reed drawing: a place on a blade becomes a place in the picture.

A point of a blade is ``(across, along)``: ``across`` runs from -1 (left edge) to 1
(right edge), seen from above with the tip pointing away; ``along`` is the distance
behind the tip, in units of the picture. Neighbouring zones are given by the same
points, so that no gap or overlap lies between them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

Point = tuple[float, float]
STEP = 5.0  # units of the picture between the points of an edge; finer is not seen at any size we show


@dataclass(frozen=True)
class Outline:
    """One blade with its tube in the picture: its middle, its tip and its half widths behind the tip."""

    middle_x: float
    tip_y: float
    half_widths: tuple[Point, ...]  # (along, half width), in order

    def half_width(self, along: float) -> float:
        """Half the width at a distance behind the tip, on straight lines between the given ones."""
        for (start, width), (end, next_width) in pairwise(self.half_widths):
            if along <= end:
                share = (along - start) / (end - start)
                return width + (next_width - width) * max(share, 0.0)
        return self.half_widths[-1][1]

    def place(self, point: Point) -> Point:
        """Where a point of the blade lies in the picture."""
        across, along = point
        return self.middle_x + across * self.half_width(along), self.tip_y + along

    def path(self, corners: Sequence[Point]) -> str:
        """The SVG path of a zone with these corners, its edges bent as the blade is."""
        return path([self.place(point) for point in _dense([*corners, corners[0]], self)[:-1]])

    def line(self, points: Sequence[Point]) -> str:
        """An open SVG path through these points of the blade."""
        return path([self.place(point) for point in _dense(list(points), self)], is_closed=False)


def _dense(points: list[Point], outline: Outline) -> list[Point]:
    """The points with others between, close enough to follow the outline."""
    found = [points[0]]
    for (across, along), (next_across, next_along) in pairwise(points):
        count = max(1, round(abs(next_along - along) / STEP))
        found += [
            (across + (next_across - across) * k / count, along + (next_along - along) * k / count)
            for k in range(1, count + 1)
        ]
    return found


def path(points: Sequence[Point], *, is_closed: bool = True) -> str:
    """An SVG path through points of the picture."""
    text = "L".join(f"{_short(x)} {_short(y)}" for x, y in points)
    return f"M{text}Z" if is_closed else f"M{text}"


def _short(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".").replace("-0", "0") if abs(value) < 0.05 else f"{value:.1f}"


def curve(knots: Sequence[Point], pieces: int = 6) -> list[Point]:
    """Points of a smooth line through the knots (Catmull-Rom, uniform).

    Notes
    -----
    Catmull and Rom, "A class of local interpolating splines" (1974); cubic form
    with tangents of half the neighbours' distance.
    """
    ends = [knots[0], *knots, knots[-1]]
    found = [knots[0]]
    for before, start, end, after in zip(ends, ends[1:], ends[2:], ends[3:], strict=False):
        for k in range(1, pieces + 1):
            found.append(_between(before, start, end, after, k / pieces))
    return found


def _between(before: Point, start: Point, end: Point, after: Point, share: float) -> Point:
    weights = (
        (-share + 2 * share**2 - share**3) / 2,
        (2 - 5 * share**2 + 3 * share**3) / 2,
        (share + 4 * share**2 - 3 * share**3) / 2,
        (-(share**2) + share**3) / 2,
    )
    x, y = (sum(w * p[axis] for w, p in zip(weights, (before, start, end, after), strict=True)) for axis in (0, 1))
    return x, y


def mirrored(points: Sequence[Point]) -> list[Point]:
    """The same points on the other side of the middle, in reverse order, so that both halves join into a ring."""
    return [(-across, along) for across, along in reversed(points)]


def ellipse(middle: Point, half_width: float, half_height: float) -> str:
    """An SVG path of an ellipse."""
    x, y = middle
    left, right = _short(x - half_width), _short(x + half_width)
    arc = f"A{_short(half_width)} {_short(half_height)} 0 0 1"
    return f"M{left} {_short(y)}{arc} {right} {_short(y)}{arc} {left} {_short(y)}Z"


def lens(middle: Point, half_width: float, half_height: float) -> str:
    """An SVG path of two arcs that meet in points: the gap between two blades seen from the front."""
    x, y = middle
    left, right = _short(x - half_width), _short(x + half_width)
    top, bottom = _short(y - 2 * half_height), _short(y + 2 * half_height)
    return f"M{left} {_short(y)}Q{_short(x)} {top} {right} {_short(y)}Q{_short(x)} {bottom} {left} {_short(y)}Z"
