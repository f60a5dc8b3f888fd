"""The reed with some places marked, as SVG that stands alone: no style sheet, no script, no letters.

Colours are attributes, so that it looks the same in a page, in print and in a typeset document.
"""

from __future__ import annotations

from collections.abc import Sequence

from annotate.drawing.parts import Part
from annotate.drawing.places import SHAPES, Place, covers, parts_of, place_rest
from annotate.vocabulary import vocabulary

PAPER, CANE, BARK, LINE, THREAD, GAP = "#fffaf0", "#f3e2b3", "#d9b877", "#7a5a28", "#a8473b", "#4b3a22"
MARKED, MARKED_LINE = "#12446b", "#0b2b45"  # dark on light: told apart without colour too
EDGE = 8.0  # round the drawing, in its units
REED_FOOT, VIEWS_FOOT = 408.0, 474.0  # without and with the inner faces and the gap
_BARK = frozenset({"collar", "tube", "throat", "butt", "staple"})


def marked_reed(instrument: str, places: Sequence[Place]) -> str:
    """An SVG of the reed with these places marked; "" when none of them is in the drawing."""
    parts = parts_of(instrument)
    # A reed that is dark all over says nothing; one whole blade does.
    told = [place for place in places if place[0] != "whole" or place[1] in ("up", "down")]
    marked = {part.key for part in parts for place in told if covers(place, part)}
    if not marked:
        return ""
    has_views = any(part.key in marked for part in parts if part.zone in ("inside", "opening"))
    shown = [part for part in parts if part.zone != "whole" and (has_views or part.zone not in ("inside", "opening"))]
    whole = {part.blade for part in parts if part.zone == "whole" and part.key in marked}
    top, foot = 36 - EDGE, VIEWS_FOOT if has_views else REED_FOOT
    drawn = [f'<rect x="0" y="{top:g}" width="400" height="{foot - top:g}" fill="{PAPER}"/>']
    drawn += [_place(part, is_marked=part.key in marked or part.blade in whole - {None}) for part in shown]
    shape = SHAPES[instrument]
    drawn += [f'<path d="{turn}" fill="none" stroke="{LINE}" stroke-width="0.8"/>' for turn in shape.turns()]
    if shape.twist():
        drawn.append(f'<path d="{shape.twist()}" fill="none" stroke="{LINE}" stroke-width="2"/>')
    size = f'viewBox="0 {top:g} 400 {foot - top:g}" width="400" height="{foot - top:g}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{"".join(drawn)}</svg>'


def _place(part: Part, *, is_marked: bool) -> str:
    fill, line, width = (MARKED, MARKED_LINE, "1.4") if is_marked else (_fill(part), LINE, "0.8")
    return f'<path d="{part.path}" fill="{fill}" stroke="{line}" stroke-width="{width}"/>'


def _fill(part: Part) -> str:
    if part.zone in ("binding", "wire_3"):
        return THREAD
    if part.zone == "opening":
        return GAP
    return BARK if part.zone in _BARK else CANE


def place_names(instrument: str, places: Sequence[Place]) -> tuple[str, ...]:
    """What the places are called, for those who read the drawing as text."""
    zones: dict[tuple[str | None, str | None], dict[str, None]] = {}
    for zone, blade, side in places:
        zones.setdefault((blade, side), {})[zone] = None
    words = vocabulary(instrument)
    names = []
    for (blade, side), found in zones.items():
        labels = [words.label("zones", zone).lower() for zone in found]
        listed = " and ".join([", ".join(labels[:-1]), labels[-1]] if labels[1:] else labels)
        names.append(listed[:1].upper() + listed[1:] + place_rest(blade, side, instrument))
    return tuple(names)


def which_is_which(instrument: str) -> str:
    """How the drawing lies."""
    if instrument == "oboe":
        return "Blade one on the left, blade two on the right, tips pointing away."
    return "Wire-up blade on the left, wire-down blade on the right, tips pointing away."
