"""Parts that both reeds share: a touchable place, the view from the front, an inner face."""

from __future__ import annotations

from dataclasses import dataclass

from annotate.drawing.outline import Point, lens

WIDTH, HEIGHT = 400, 476


@dataclass(frozen=True)
class Part:
    """A touchable place: its zone, the blade and side it stands for (None where it has none), its SVG path."""

    zone: str
    blade: str | None
    side: str | None
    path: str
    middle: Point

    @property
    def key(self) -> str:
        """A name that is the same on the page, in scripts and in tests."""
        return "-".join(part for part in (self.zone, self.blade, self.side) if part)


def flat(top: float, foot: float) -> list[Point]:
    """A band across the whole width."""
    return [(-1, top), (1, top), (1, foot), (-1, foot)]


def front_view(middle: Point, half_width: float, half_height: float) -> Part:
    """The gap between the blades, seen from the front."""
    return Part("opening", None, None, lens(middle, half_width, half_height), middle)


def inner_face(blade: str, middle_x: float, middle_y: float) -> Part:
    """A blade turned over: its inner face."""
    top, foot, wide, narrow = middle_y - 22, middle_y + 22, 52, 36
    shape = (
        f"M{middle_x - wide} {top + 6}Q{middle_x} {top - 6} {middle_x + wide} {top + 6}"
        f"L{middle_x + narrow} {foot}Q{middle_x} {foot - 8} {middle_x - narrow} {foot}Z"
    )
    return Part("inside", blade, None, shape, (middle_x, middle_y))


def whole_mark(blade: str | None, middle_x: float, middle_y: float) -> Part:
    """The name over a blade: the whole of it."""
    wide, tall = 66, 12
    left, right, top, foot = middle_x - wide, middle_x + wide, middle_y - tall, middle_y + tall
    shape = (
        f"M{left + 8} {top}H{right - 8}Q{right} {top} {right} {top + 8}V{foot - 8}Q{right} {foot} {right - 8} {foot}"
    )
    shape += f"H{left + 8}Q{left} {foot} {left} {foot - 8}V{top + 8}Q{left} {top} {left + 8} {top}Z"
    return Part("whole", blade, None, shape, (middle_x, middle_y))
