"""The reed drawing: both blades with every zone of the instrument, as input and as picture.

As input each zone is a button that says zone, blade and side of a tag. As picture it
shows where the work went. The drawing is our own: the wire-up blade on the left and the
wire-down blade on the right, each seen from outside with its tip pointing away, so that
left is left; below them the inner faces and the gap between the blades from the front.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from annotate.drawing.outline import Point, path
from annotate.drawing.parts import HEIGHT, WIDTH, Part
from annotate.drawing.places import SHAPES, Place, blade_name, covers, part_name, parts_of
from annotate.drawing.shape import Pointer, Shape
from annotate.model import Tag
from annotate.timecode import clock
from annotate.vocabulary import vocabulary

__all__ = ["Drawing", "blade_name", "covers", "drawing", "heat", "work_of"]

LEVELS = 4  # steps of the picture; each has its own hatching besides its colour
LETTER_WIDTH = 7.2  # of the names, in units of the picture; wide fonts included
GAP = 5.0  # between a name and its line


@dataclass(frozen=True)
class Name:
    """A zone's name beside the drawing, with the line that leads to the place."""

    zone: str
    label: str
    x: float
    y: float
    anchor: str
    leader: str
    dot: Point


@dataclass(frozen=True)
class Spot:
    """A touchable place as the page draws it; ``level`` 0 is no work, ``told`` says the work in words."""

    part: Part
    label: str
    meaning: str
    level: int = 0
    told: str = ""

    @property
    def name(self) -> str:
        """What a screen reader says: the place, and the work that went there."""
        return f"{self.label}: {self.told}" if self.told else self.label


@dataclass(frozen=True)
class Drawing:
    """All that the template needs to draw one reed."""

    instrument: str
    spots: tuple[Spot, ...]
    names: tuple[Name, ...]
    grain: tuple[str, ...]
    body: tuple[str, ...]
    thread: tuple[str, ...]
    twist: str
    width: int = WIDTH
    height: int = HEIGHT

    @property
    def worked(self) -> tuple[Spot, ...]:
        """The places where work went, most first."""
        return tuple(sorted((s for s in self.spots if s.level), key=lambda s: -s.level))


def drawing(instrument: str, work: Mapping[Place, int] | None = None) -> Drawing:
    """The drawing of ``bassoon`` or ``oboe``; ``work`` gives the milliseconds spent on each place."""
    plain = _plain_drawing(instrument)
    if not work:
        return plain
    levels = heat(instrument, work)
    spots = tuple(_warmed(spot, levels) for spot in plain.spots)
    return Drawing(instrument, spots, plain.names, plain.grain, plain.body, plain.thread, plain.twist)


def work_of(tags: Iterable[Tag]) -> dict[Place, int]:
    """Milliseconds of work on each place that the tags name; a tag on two zones counts for both."""
    found: dict[Place, int] = {}
    for tag in tags:
        for zone in tag.zones:
            place = (zone, tag.blade, tag.side)
            found[place] = found.get(place, 0) + tag.end_ms - tag.start_ms
    return found


def heat(instrument: str, work: Mapping[Place, int]) -> dict[str, tuple[int, int]]:
    """For each part that was worked on: its level (1 to 4, relative to the most worked one) and milliseconds.

    A place without blade or side, or with 'both', counts for every part it covers.
    """
    spent: dict[str, int] = {}
    for spot in _plain_drawing(instrument).spots:
        part = spot.part
        if part.key not in spent:
            spent[part.key] = sum(ms for place, ms in work.items() if covers(place, part))
    most = max(spent.values(), default=0)
    return {key: (min(LEVELS, 1 + ms * LEVELS // (most + 1)), ms) for key, ms in spent.items() if ms}


def _warmed(spot: Spot, levels: Mapping[str, tuple[int, int]]) -> Spot:
    level, spent_ms = levels.get(spot.part.key, (0, 0))
    return Spot(spot.part, spot.label, spot.meaning, level, f"{clock(spent_ms)} of work" if level else "")


@cache
def _plain_drawing(instrument: str) -> Drawing:
    shape, words = SHAPES[instrument], vocabulary(instrument)
    return Drawing(
        instrument,
        tuple(Spot(p, part_name(p, instrument), words.zones[p.zone].meaning) for p in parts_of(instrument)),
        tuple(_name(shape, instrument, pointer) for pointer in shape.pointers),
        tuple(shape.grain()),
        tuple(shape.body()),
        tuple(shape.turns()),
        shape.twist(),
    )


def _name(shape: Shape, instrument: str, pointer: Pointer) -> Name:
    dot = shape.outline(pointer.blade).place(pointer.at)
    label = vocabulary(instrument).zones[pointer.zone].label
    x, y = WIDTH / 2, pointer.y
    beside = len(label) * LETTER_WIDTH / 2 + GAP  # a line never begins inside its own name
    start = x - beside if pointer.blade == "up" else x + beside
    return Name(pointer.zone, label, x, y, "middle", path([(start, y - 4), dot], is_closed=False), dot)
