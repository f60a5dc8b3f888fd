"""Which parts of the drawing a tag's place takes in, and what they are called."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache

from annotate.drawing.bassoon import BASSOON
from annotate.drawing.oboe import OBOE
from annotate.drawing.parts import Part
from annotate.drawing.shape import Shape
from annotate.model import Tag
from annotate.vocabulary import vocabulary

SHAPES: Mapping[str, Shape] = {"bassoon": BASSOON, "oboe": OBOE}
Place = tuple[str, str | None, str | None]  # zone, blade, side


@cache
def parts_of(instrument: str) -> tuple[Part, ...]:
    """Every place of an instrument's drawing."""
    return tuple(SHAPES[instrument].parts())


def places_of(tags: Iterable[Tag]) -> tuple[Place, ...]:
    """The places that tags name, in order, each once."""
    return tuple(dict.fromkeys((zone, tag.blade, tag.side) for tag in tags for zone in tag.zones))


def covers(place: Place, part: Part) -> bool:
    """Whether a tag's place takes in a part of the drawing."""
    zone, blade, side = place
    fits_blade = part.blade is None or blade in (None, "both", part.blade)
    fits_side = part.side is None or side in (None, "both", part.side)
    return zone == part.zone and fits_blade and fits_side


def blade_name(blade: str, instrument: str) -> str:
    """The blade's label; an oboe reed has no wire to tell them apart by, so they are counted."""
    if instrument == "oboe":
        return {"up": "Blade one", "down": "Blade two"}.get(blade, "Both blades")
    return vocabulary(instrument).blades[blade].label


def part_name(part: Part, instrument: str) -> str:
    """What a part of the drawing is called."""
    words = vocabulary(instrument)
    parts = [words.zones[part.zone].label] if part.zone != "whole" or not part.blade else ["Whole blade"]
    parts += [words.sides[part.side].label.lower()] if part.side else []
    parts += [blade_name(part.blade, instrument).lower()] if part.blade else []
    return ", ".join(parts)


def place_rest(blade: str | None, side: str | None, instrument: str) -> str:
    """What follows a zone's name: side and blade, only as much as was said."""
    parts = [vocabulary(instrument).label("sides", side).lower()] if side else []
    parts += [blade_name(blade, instrument).lower()] if blade else []
    return "".join(f", {part}" for part in parts)
