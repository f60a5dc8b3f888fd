"""A reed as data (``Shape``), and the one way in which it becomes places and lines of the picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from annotate.drawing.outline import Outline, Point, mirrored
from annotate.drawing.parts import Part, front_view, inner_face, whole_mark

TIP_Y = 36.0
MIDDLE_X = {"up": 80.0, "down": 320.0}  # the wire-up blade is on the left
FRONT_Y = 437.0  # the middle of the views below the reeds


@dataclass(frozen=True)
class Zone:
    """One zone: its corners on a blade and the point that stands for it. A paired zone gives its right half."""

    zone: str
    corners: tuple[tuple[Point, ...], ...]  # one ring, or several where the zone is in pieces
    middle: Point
    is_paired: bool = False


@dataclass(frozen=True)
class Pointer:
    """A name in the middle of the drawing: its height, the reed its line leads to, and the point it ends in."""

    zone: str
    y: float
    blade: str
    at: Point


@dataclass(frozen=True)
class Shape:
    """All that makes the drawing of one instrument's reed.

    ``tube`` are the places that belong to no blade alone; ``thread`` gives for
    each turn of the binding its points; ``twist_along`` is where the twisted ends
    of the first wire lie, None for a reed without.
    """

    half_widths: tuple[Point, ...]
    blade: tuple[Zone, ...]
    tube: tuple[Zone, ...]
    foot: float
    grain_foot: float
    thread: tuple[tuple[Point, ...], ...]
    opening: tuple[float, float]  # half width and half height of the gap between the blades
    pointers: tuple[Pointer, ...]
    twist_along: float | None = None

    def outline(self, blade: str) -> Outline:
        """Where the reed lies that shows this blade."""
        return Outline(MIDDLE_X[blade], TIP_Y, self.half_widths)

    def parts(self) -> list[Part]:
        """Every touchable place, in the order in which the keyboard walks over them."""
        found: list[Part] = []
        for blade, middle_x in MIDDLE_X.items():
            outline = self.outline(blade)
            found.append(whole_mark(blade, middle_x, 12))
            for zone in self.blade:
                found += _pair(outline, zone, blade) if zone.is_paired else [_part(outline, zone, blade)]
            found += [_part(outline, zone, None) for zone in self.tube]
        found += [inner_face(blade, middle_x, FRONT_Y) for blade, middle_x in MIDDLE_X.items()]
        return [*found, front_view((200, FRONT_Y), *self.opening)]

    def grain(self) -> list[str]:
        """Fibres of the cane, from the tip to where the cane is covered."""
        return [
            self.outline(blade).line([(across / 10, 3), (across / 10, self.grain_foot)])
            for blade in MIDDLE_X
            for across in range(-9, 10, 2)
        ]

    def body(self) -> list[str]:
        """The outline of each reed, for its round shading."""
        corners = [(-1.0, 0.0), (1.0, 0.0), (1.0, self.foot), (-1.0, self.foot)]
        return [self.outline(blade).path(corners) for blade in MIDDLE_X]

    def turns(self) -> list[str]:
        """Turns of the binding."""
        return [self.outline(blade).line(turn) for blade in MIDDLE_X for turn in self.thread]

    def twist(self) -> str:
        """The twisted ends of the first wire, which mark the wire-up blade; "" for a reed without."""
        if self.twist_along is None:
            return ""
        x, y = MIDDLE_X["up"], TIP_Y + self.twist_along
        return f"M{x - 3} {y - 2}q6 4 0 8q-6 4 0 8q6 3 1 8M{x + 3} {y - 2}q-6 4 0 8q6 4 0 8q-6 3 -1 8"


def _part(outline: Outline, zone: Zone, blade: str | None, side: str | None = None) -> Part:
    shape = "".join(outline.path(ring) for ring in zone.corners)
    return Part(zone.zone, blade, side, shape, outline.place(zone.middle))


def _pair(outline: Outline, zone: Zone, blade: str) -> list[Part]:
    across, along = zone.middle
    left = Zone(zone.zone, tuple(tuple(mirrored(ring)) for ring in zone.corners), (-across, along))
    return [_part(outline, left, blade, "left"), _part(outline, zone, blade, "right")]


def one(zone: str, corners: Sequence[Point], along: float) -> Zone:
    """A zone in the middle of the reed."""
    return Zone(zone, (tuple(corners),), (0, along))


def two(zone: str, right: Sequence[Point], middle: Point) -> Zone:
    """A zone that is left and right, given by its right half."""
    return Zone(zone, (tuple(right),), middle, is_paired=True)


def both_ways(points: Sequence[Point]) -> list[Point]:
    """The points on the other side of the middle without the first, in the same order."""
    return [(-across, along) for across, along in points[1:]]
