"""The bassoon reed as data: zones of both blades, tube, wires, binding.

Proportions are those of a usual German-type reed (tip about 15 mm wide, 8 to 9 mm
at the first wire, blade a little longer than the tube), with the tube shortened and
the small places made large enough to touch. The limits between zones are a common
reading of the words, not a measurement.
"""

from __future__ import annotations

from annotate.drawing.outline import Point, curve, mirrored
from annotate.drawing.parts import flat
from annotate.drawing.shape import Pointer, Shape, Zone, both_ways, one, two

HALF_WIDTHS = ((0, 68), (188, 41), (190, 42.5), (204, 41), (226, 38), (246, 33.5), (268, 33), (290, 34), (360, 35))

TIP_LINE = curve([(0, 20), (0.36, 20.8), (0.74, 23), (1, 27)])
SPINE, RAIL = 0.2, 0.62  # how far from the middle the spine ends and the rail begins
HEART_EDGE = curve([(0.36, 20.8), (0.5, 46), (0.4, 84), (SPINE, 104)])
WING_FOOT = curve([(1, 100), (RAIL, 94), (0.4, 84)])
BACK, COLLAR, BARK = 148.0, 188.0, 204.0
THREAD_TOP, THREAD_FOOT, FOOT = 292.0, 346.0, 364.0


def _blade() -> tuple[Zone, ...]:
    tip = [p for p in TIP_LINE if p[0] <= 0.74]
    corner = [p for p in TIP_LINE if p[0] >= 0.74]
    front = [p for p in TIP_LINE if p[0] <= 0.36]
    beside = [p for p in TIP_LINE if p[0] >= 0.36]
    upper = [p for p in HEART_EDGE if p[1] <= 84]
    lower = [p for p in HEART_EDGE if p[1] >= 84]
    rail_top = [p for p in WING_FOOT if p[0] >= RAIL]
    channel_top = [p for p in WING_FOOT if p[0] <= RAIL]
    heart = [*mirrored(front), *front[1:], *HEART_EDGE, (0, 107), *mirrored(HEART_EDGE)]
    spine = [(-SPINE, 104), (0, 107), (SPINE, 104), (SPINE, BACK), (-SPINE, BACK)]
    return (
        one("tip", [(-0.74, 0), (0.74, 0), *reversed(tip), *both_ways(tip)], 11),
        two("corners", [(0.74, 0), (1, 0), *reversed(corner)], (0.87, 12)),
        one("heart", heart, 56),
        two("wings", [*beside, *WING_FOOT, *reversed(upper)], (0.76, 60)),
        two("channels", [*channel_top, *lower, (SPINE, BACK), (RAIL, BACK)], (0.42, 126)),
        one("spine", spine, 128),
        two("rails", [*rail_top, (RAIL, COLLAR), (1, COLLAR)], (0.81, 140)),
        one("back", [(-RAIL, BACK), (RAIL, BACK), (RAIL, COLLAR), (-RAIL, COLLAR)], 170),
        one("collar", flat(COLLAR, BARK), 196),
    )


def _tube() -> tuple[Zone, ...]:
    """The round part behind the blade; it belongs to no blade alone."""
    bark, rear = tuple(flat(BARK, 220)), tuple(flat(280, THREAD_TOP))
    thread = curve([(1.04, THREAD_TOP), (1.22, 304), (1.26, 322), (1.2, 338), (1.04, THREAD_FOOT)])
    ridge = [(-1.25, 318), (1.25, 318), (1.24, 330), (-1.24, 330)]
    return (
        one("wire_1", _ring(220, 232), 226),
        one("throat", flat(232, 268), 250),
        one("wire_2", _ring(268, 280), 274),
        Zone("tube", (bark, rear), (0, 286)),
        one("binding", [*thread, *mirrored(thread)], 306),
        one("wire_3", ridge, 324),
        one("butt", flat(THREAD_FOOT, FOOT), 355),
    )


def _ring(top: float, foot: float) -> list[Point]:
    """A wire stands out a little over the cane."""
    return [(-1.09, top), (1.09, top), (1.09, foot), (-1.09, foot)]


POINTERS = (
    Pointer("corners", 44, "up", (0.87, 12)),
    Pointer("tip", 60, "down", (-0.5, 12)),
    Pointer("wings", 82, "up", (0.76, 50)),
    Pointer("heart", 100, "down", (-0.2, 62)),
    Pointer("rails", 134, "up", (0.81, 118)),
    Pointer("channels", 152, "down", (-0.42, 118)),
    Pointer("spine", 172, "up", (0.06, 132)),
    Pointer("back", 200, "down", (-0.4, 168)),
    Pointer("collar", 232, "up", (0.8, 196)),
    Pointer("wire_1", 262, "down", (-0.9, 226)),
    Pointer("throat", 286, "up", (0.7, 250)),
    Pointer("wire_2", 310, "down", (-0.9, 274)),
    Pointer("tube", 328, "up", (0.8, 287)),
    Pointer("binding", 344, "down", (-0.9, 308)),
    Pointer("wire_3", 362, "up", (1, 324)),
    Pointer("butt", 388, "down", (-0.7, 355)),
)
BASSOON = Shape(
    half_widths=HALF_WIDTHS,
    blade=_blade(),
    tube=_tube(),
    foot=FOOT,
    grain_foot=218,
    thread=tuple(((-1.24, y + 2), (0, y + 4), (1.24, y)) for y in range(300, 344, 5)),
    opening=(62, 15),
    pointers=POINTERS,
    twist_along=226,
)
