"""The bassoon reed in the picture: zones of both blades, tube, wires, binding.

Proportions are those of a usual German-type reed (tip about 15 mm wide, 8 to 9 mm
at the first wire, blade a little longer than the tube), with the tube shortened and
the small places made large enough to touch. The limits between zones are a common
reading of the words, not a measurement.
"""

from __future__ import annotations

from web.reed_drawing_outline import Outline, Point, curve, mirrored
from web.reed_drawing_parts import Part, flat, front_view, inner_face, whole_mark

LEFT_X, RIGHT_X, TIP_Y = 80.0, 320.0, 36.0
HALF_WIDTHS = ((0, 68), (188, 41), (190, 42.5), (204, 41), (226, 38), (246, 33.5), (268, 33), (290, 34), (360, 35))

TIP_LINE = curve([(0, 20), (0.36, 20.8), (0.74, 23), (1, 27)])
SPINE, RAIL = 0.2, 0.62  # how far from the middle the spine ends and the rail begins
HEART_EDGE = curve([(0.36, 20.8), (0.5, 46), (0.4, 84), (SPINE, 104)])
WING_FOOT = curve([(1, 100), (RAIL, 94), (0.4, 84)])
BACK, COLLAR, BARK = 148.0, 188.0, 204.0
THREAD_TOP, THREAD_FOOT, FOOT = 292.0, 346.0, 364.0


def parts() -> list[Part]:
    """Every touchable place, in the order in which the keyboard walks over them."""
    found: list[Part] = []
    for blade, middle_x in (("up", LEFT_X), ("down", RIGHT_X)):
        outline = Outline(middle_x, TIP_Y, HALF_WIDTHS)
        found.append(whole_mark(blade, middle_x, 12))
        found += _blade(outline, blade)
        found += _tube(outline)
    found += [inner_face("up", LEFT_X, 437), inner_face("down", RIGHT_X, 437)]
    found.append(front_view((200, 437), 62, 15))
    return found


def _blade(outline: Outline, blade: str) -> list[Part]:
    tip = [p for p in TIP_LINE if p[0] <= 0.74]
    corner = [p for p in TIP_LINE if p[0] >= 0.74]
    front = [p for p in TIP_LINE if p[0] <= 0.36]
    upper = [p for p in HEART_EDGE if p[1] <= 84]
    lower = [p for p in HEART_EDGE if p[1] >= 84]
    rail_top = [p for p in WING_FOOT if p[0] >= RAIL]
    channel_top = [p for p in WING_FOOT if p[0] <= RAIL]
    found = [
        Part(
            "tip", blade, None, outline.path([(-0.74, 0), (0.74, 0), *reversed(tip), *_left(tip)]), _at(outline, 0, 11)
        ),
    ]
    found += _pair(outline, "corners", blade, [(0.74, 0), (1, 0), *reversed(corner)], (0.87, 12))
    heart = [*mirrored(front), *front[1:], *HEART_EDGE, (0, 107), *mirrored(HEART_EDGE)]
    found.append(Part("heart", blade, None, outline.path(heart), _at(outline, 0, 56)))
    beside = [p for p in TIP_LINE if p[0] >= 0.36]
    wing = [*beside, *WING_FOOT, *reversed(upper)]
    found += _pair(outline, "wings", blade, wing, (0.76, 60))
    channel = [*channel_top, *lower, (SPINE, BACK), (RAIL, BACK)]
    found += _pair(outline, "channels", blade, channel, (0.42, 126))
    spine = [(-SPINE, 104), (0, 107), (SPINE, 104), (SPINE, BACK), (-SPINE, BACK)]
    found.append(Part("spine", blade, None, outline.path(spine), _at(outline, 0, 128)))
    found += _pair(outline, "rails", blade, [*rail_top, (RAIL, COLLAR), (1, COLLAR)], (0.81, 140))
    back = [(-RAIL, BACK), (RAIL, BACK), (RAIL, COLLAR), (-RAIL, COLLAR)]
    found.append(Part("back", blade, None, outline.path(back), _at(outline, 0, 170)))
    collar = [(-1, COLLAR), (1, COLLAR), (1, BARK), (-1, BARK)]
    found.append(Part("collar", blade, None, outline.path(collar), _at(outline, 0, 196)))
    return found


def _tube(outline: Outline) -> list[Part]:
    """The round part behind the blade; it belongs to no blade alone."""
    bark = outline.path([(-1, BARK), (1, BARK), (1, 220), (-1, 220)])
    rear = outline.path([(-1, 280), (1, 280), (1, THREAD_TOP), (-1, THREAD_TOP)])
    thread = curve([(1.04, THREAD_TOP), (1.22, 304), (1.26, 322), (1.2, 338), (1.04, THREAD_FOOT)])
    ridge = [(-1.25, 318), (1.25, 318), (1.24, 330), (-1.24, 330)]
    return [
        Part("wire_1", None, None, outline.path(_ring(220, 232)), _at(outline, 0, 226)),
        Part("throat", None, None, outline.path(flat(232, 268)), _at(outline, 0, 250)),
        Part("wire_2", None, None, outline.path(_ring(268, 280)), _at(outline, 0, 274)),
        Part("tube", None, None, bark + rear, _at(outline, 0, 286)),
        Part("binding", None, None, outline.path([*thread, *mirrored(thread)]), _at(outline, 0, 306)),
        Part("wire_3", None, None, outline.path(ridge), _at(outline, 0, 324)),
        Part("butt", None, None, outline.path(flat(THREAD_FOOT, FOOT)), _at(outline, 0, 355)),
    ]


def _ring(top: float, foot: float) -> list[Point]:
    """A wire stands out a little over the cane."""
    return [(-1.09, top), (1.09, top), (1.09, foot), (-1.09, foot)]


def _pair(outline: Outline, zone: str, blade: str, right: list[Point], label: Point) -> list[Part]:
    across, along = label
    return [
        Part(zone, blade, "left", outline.path(mirrored(right)), _at(outline, -across, along)),
        Part(zone, blade, "right", outline.path(right), _at(outline, across, along)),
    ]


def _left(points: list[Point]) -> list[Point]:
    return [(-across, along) for across, along in points[1:]]


def _at(outline: Outline, across: float, along: float) -> Point:
    return outline.place((across, along))


def grain() -> list[str]:
    """Fibres of the cane, from the tip to the first wire."""
    found = []
    for middle_x in (LEFT_X, RIGHT_X):
        outline = Outline(middle_x, TIP_Y, HALF_WIDTHS)
        found += [outline.line([(across / 10, 3), (across / 10, 218)]) for across in range(-9, 10, 2)]
    return found


def body() -> list[str]:
    """The outline of each reed, blade and tube, for its round shading."""
    return [Outline(x, TIP_Y, HALF_WIDTHS).path([(-1, 0), (1, 0), (1, FOOT), (-1, FOOT)]) for x in (LEFT_X, RIGHT_X)]


def twist() -> str:
    """The twisted ends of the first wire: they mark the wire-up blade."""
    x, y = LEFT_X, TIP_Y + 226
    return f"M{x - 3} {y - 2}q6 4 0 8q-6 4 0 8q6 3 1 8M{x + 3} {y - 2}q-6 4 0 8q6 4 0 8q-6 3 -1 8"


def thread() -> list[str]:
    """Turns of the binding."""
    found = []
    for middle_x in (LEFT_X, RIGHT_X):
        outline = Outline(middle_x, TIP_Y, HALF_WIDTHS)
        found += [outline.line([(-1.24, y + 2), (0, y + 4), (1.24, y)]) for y in range(300, 344, 5)]
    return found


# Names in the middle: zone, height of the name, the picture its line leads to, and the point it ends in.
NAMES: tuple[tuple[str, float, str, Point], ...] = (
    ("corners", 44, "up", (0.87, 12)),
    ("tip", 60, "down", (-0.5, 12)),
    ("wings", 82, "up", (0.76, 50)),
    ("heart", 100, "down", (-0.2, 62)),
    ("rails", 134, "up", (0.81, 118)),
    ("channels", 152, "down", (-0.42, 118)),
    ("spine", 172, "up", (0.06, 132)),
    ("back", 200, "down", (-0.4, 168)),
    ("collar", 232, "up", (0.8, 196)),
    ("wire_1", 262, "down", (-0.9, 226)),
    ("throat", 286, "up", (0.7, 250)),
    ("wire_2", 310, "down", (-0.9, 274)),
    ("tube", 328, "up", (0.8, 287)),
    ("binding", 344, "down", (-0.9, 308)),
    ("wire_3", 362, "up", (1, 324)),
    ("butt", 388, "down", (-0.7, 355)),
)
OUTLINES = {
    "up": Outline(LEFT_X, TIP_Y, HALF_WIDTHS),
    "down": Outline(RIGHT_X, TIP_Y, HALF_WIDTHS),
}
