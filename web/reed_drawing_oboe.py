"""The oboe reed in the picture: long scrape with windows, blend and catch, on its staple.

Proportions follow a long-scrape reed of 70 mm: the tip about 4 mm at the sides and
2 mm further forward in the middle (an inverted shallow V), a heart of about 5 mm, a
back of about 11 mm, some bark left before the thread. Staple and cork are shortened.
The limits between zones are a common reading of the words, not a measurement.
"""

from __future__ import annotations

from web.reed_drawing_outline import Outline, Point, curve, mirrored
from web.reed_drawing_parts import Part, flat, front_view, inner_face, whole_mark

LEFT_X, RIGHT_X, TIP_Y = 80.0, 320.0, 36.0
HALF_WIDTHS = ((0, 64), (90, 56), (222, 40), (228, 42), (276, 37), (282, 35), (352, 31), (354, 25), (366, 24))

TIP_LINE: list[Point] = [(0, 22), (0.78, 37), (1, 41)]
BLEND_LINE = curve([(0, 42), (0.5, 49), (1, 62)])
CATCH, BACK_TOP, BARK = 102.0, 118.0, 222.0
SPINE, RAIL = 0.18, 0.76
WINDOW_FOOT = curve([(RAIL, 178), (0.62, 194), (0.36, 196), (SPINE, 184)])
THREAD_FOOT, FOOT = 278.0, 366.0


def parts() -> list[Part]:
    """Every touchable place, in the order in which the keyboard walks over them."""
    found: list[Part] = []
    for blade, middle_x in (("up", LEFT_X), ("down", RIGHT_X)):
        outline = Outline(middle_x, TIP_Y, HALF_WIDTHS)
        found.append(whole_mark(blade, middle_x, 12))
        found += _blade(outline, blade)
        found.append(Part("binding", None, None, outline.path(flat(BARK, THREAD_FOOT)), outline.place((0, 250))))
        found.append(Part("staple", None, None, outline.path(flat(THREAD_FOOT, FOOT)), outline.place((0, 322))))
    found += [inner_face("up", LEFT_X, 437), inner_face("down", RIGHT_X, 437)]
    found.append(front_view((200, 437), 50, 17))
    return found


def _blade(outline: Outline, blade: str) -> list[Part]:
    tip = [(0, 22), (0.72, 36)]
    corner = [(0.72, 36), (0.78, 37), (1, 41)]
    found = [
        Part(
            "tip",
            blade,
            None,
            outline.path([(-0.72, 0), (0.72, 0), *reversed(tip), (-0.72, 36)]),
            outline.place((0, 11)),
        )
    ]
    found += _pair(outline, "corners", blade, [(0.72, 0), (1, 0), *reversed(corner)], (0.86, 18))
    blend = [(-1, 41), (-0.72, 36), (0, 22), (0.72, 36), (1, 41), *reversed(BLEND_LINE), *_left(BLEND_LINE)]
    found.append(Part("blend", blade, None, outline.path(blend), outline.place((0, 34))))
    heart = [*mirrored(BLEND_LINE), *BLEND_LINE[1:], (1, CATCH), (-1, CATCH)]
    found.append(Part("heart", blade, None, outline.path(heart), outline.place((0, 76))))
    catch = [(-RAIL, CATCH), (RAIL, CATCH), (RAIL, BACK_TOP), (-RAIL, BACK_TOP)]
    found.append(Part("catch", blade, None, outline.path(catch), outline.place((0, 110))))
    window = [(SPINE, BACK_TOP), (RAIL, BACK_TOP), *WINDOW_FOOT]
    found += _pair(outline, "windows", blade, window, (0.47, 152))
    spine = [(-SPINE, BACK_TOP), (SPINE, BACK_TOP), (SPINE, 184), (-SPINE, 184)]
    found.append(Part("spine", blade, None, outline.path(spine), outline.place((0, 150))))
    found += _pair(outline, "rails", blade, [(RAIL, CATCH), (1, CATCH), (1, BARK), (RAIL, BARK)], (0.88, 150))
    back = [*reversed(WINDOW_FOOT), (RAIL, BARK), (-RAIL, BARK), *mirrored(list(reversed(WINDOW_FOOT)))]
    found.append(Part("back", blade, None, outline.path(back), outline.place((0, 206))))
    return found


def _pair(outline: Outline, zone: str, blade: str, right: list[Point], label: Point) -> list[Part]:
    across, along = label
    return [
        Part(zone, blade, "left", outline.path(mirrored(right)), outline.place((-across, along))),
        Part(zone, blade, "right", outline.path(right), outline.place((across, along))),
    ]


def _left(points: list[Point]) -> list[Point]:
    return [(-across, along) for across, along in points[1:]]


def grain() -> list[str]:
    """Fibres of the cane, from the tip to the thread."""
    found = []
    for outline in OUTLINES.values():
        found += [outline.line([(across / 10, 3), (across / 10, BARK - 2)]) for across in range(-9, 10, 2)]
    return found


def body() -> list[str]:
    """The outline of each reed, for its round shading."""
    return [outline.path([(-1, 0), (1, 0), (1, FOOT), (-1, FOOT)]) for outline in OUTLINES.values()]


def twist() -> str:
    """An oboe reed has no wire twist; the maker marks a blade as they like."""
    return ""


def thread() -> list[str]:
    """Turns of the binding."""
    found = []
    for outline in OUTLINES.values():
        found += [outline.line([(-1, y + 1), (0, y + 3), (1, y)]) for y in range(226, 276, 5)]
    return found


OUTLINES = {
    "up": Outline(LEFT_X, TIP_Y, HALF_WIDTHS),
    "down": Outline(RIGHT_X, TIP_Y, HALF_WIDTHS),
}
# Names in the middle: zone, height of the name, the picture its line leads to, and the point it ends in.
NAMES: tuple[tuple[str, float, str, Point], ...] = (
    ("corners", 46, "up", (0.86, 14)),
    ("tip", 62, "down", (-0.5, 14)),
    ("blend", 84, "up", (0.7, 46)),
    ("heart", 110, "down", (-0.5, 80)),
    ("catch", 138, "up", (0.5, 110)),
    ("windows", 164, "down", (-0.46, 146)),
    ("spine", 186, "up", (0.05, 160)),
    ("rails", 210, "down", (-0.88, 172)),
    ("back", 236, "up", (0.45, 208)),
    ("binding", 284, "down", (-0.8, 250)),
    ("staple", 350, "up", (0.7, 322)),
)
