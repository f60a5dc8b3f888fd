"""The oboe reed as data: long scrape with windows, blend and catch, on its staple.

Proportions follow a long-scrape reed of 70 mm: the tip about 4 mm at the sides and
2 mm further forward in the middle (an inverted shallow V), a heart of about 5 mm, a
back of about 11 mm, some bark left before the thread. Staple and cork are shortened.
The limits between zones are a common reading of the words, not a measurement.
"""

from __future__ import annotations

from annotate.drawing.outline import Point, curve, mirrored
from annotate.drawing.parts import flat
from annotate.drawing.shape import Pointer, Shape, Zone, both_ways, one, two

HALF_WIDTHS = ((0, 64), (90, 56), (222, 40), (228, 42), (276, 37), (282, 35), (352, 31), (354, 25), (366, 24))

BLEND_LINE = curve([(0, 42), (0.5, 49), (1, 62)])
CATCH, BACK_TOP, BARK = 102.0, 118.0, 222.0
SPINE, RAIL = 0.18, 0.76
WINDOW_FOOT = curve([(RAIL, 178), (0.62, 194), (0.36, 196), (SPINE, 184)])
THREAD_FOOT, FOOT = 278.0, 366.0


def _blade() -> tuple[Zone, ...]:
    tip: list[Point] = [(0, 22), (0.72, 36)]
    corner: list[Point] = [(0.72, 36), (0.78, 37), (1, 41)]
    blend = [(-1, 41), (-0.72, 36), (0, 22), (0.72, 36), (1, 41), *reversed(BLEND_LINE), *both_ways(BLEND_LINE)]
    foot = list(reversed(WINDOW_FOOT))
    return (
        one("tip", [(-0.72, 0), (0.72, 0), *reversed(tip), (-0.72, 36)], 11),
        two("corners", [(0.72, 0), (1, 0), *reversed(corner)], (0.86, 18)),
        one("blend", blend, 34),
        one("heart", [*mirrored(BLEND_LINE), *BLEND_LINE[1:], (1, CATCH), (-1, CATCH)], 76),
        one("catch", [(-RAIL, CATCH), (RAIL, CATCH), (RAIL, BACK_TOP), (-RAIL, BACK_TOP)], 110),
        two("windows", [(SPINE, BACK_TOP), (RAIL, BACK_TOP), *WINDOW_FOOT], (0.47, 152)),
        one("spine", [(-SPINE, BACK_TOP), (SPINE, BACK_TOP), (SPINE, 184), (-SPINE, 184)], 150),
        two("rails", [(RAIL, CATCH), (1, CATCH), (1, BARK), (RAIL, BARK)], (0.88, 150)),
        one("back", [*foot, (RAIL, BARK), (-RAIL, BARK), *mirrored(foot)], 206),
    )


POINTERS = (
    Pointer("corners", 46, "up", (0.86, 14)),
    Pointer("tip", 62, "down", (-0.5, 14)),
    Pointer("blend", 84, "up", (0.7, 46)),
    Pointer("heart", 110, "down", (-0.5, 80)),
    Pointer("catch", 138, "up", (0.5, 110)),
    Pointer("windows", 164, "down", (-0.46, 146)),
    Pointer("spine", 186, "up", (0.05, 160)),
    Pointer("rails", 210, "down", (-0.88, 172)),
    Pointer("back", 236, "up", (0.45, 208)),
    Pointer("binding", 284, "down", (-0.8, 250)),
    Pointer("staple", 350, "up", (0.7, 322)),
)
OBOE = Shape(
    half_widths=HALF_WIDTHS,
    blade=_blade(),
    tube=(one("binding", flat(BARK, THREAD_FOOT), 250), one("staple", flat(THREAD_FOOT, FOOT), 322)),
    foot=FOOT,
    grain_foot=BARK - 2,
    thread=tuple(((-1.0, y + 1), (0, y + 3), (1.0, y)) for y in range(226, 276, 5)),
    opening=(50, 17),
    pointers=POINTERS,
)
