"""Where on the reed: zones, blade and side of a piece of work, without landmarks and the fault's own places."""

from __future__ import annotations

from annotate.tagging.forms import bag
from annotate.tagging.lexicon import WIRE_ZONES
from annotate.tagging.patterns import Find
from annotate.tagging.sentence import Clause, Reading

_LANDMARK_BEFORE = bag(
    "toward towards behind beside near below above past beyond until till against meets than alongside "
    "before short opposite"
)
_SKIP = bag("the a an its this that both each my left right upper lower top bottom front wire up down very two _")
_ONWARD = bag("to forward forwards toward towards back backward backwards up down onward onwards on out inward")
_TO_WORK = bag(
    "goes knife file get getting see on over back next move moved moving go going attention return round "
    "across turn come in apply"
)
_BLENDS = ("blend", "fade", "taper", "run", "smooth", "feather", "ramp", "transition", "merge", "melt")
_PLACELESS = bag("soak crow play rest retire break_in")
_SIDELESS = _PLACELESS | {"ream", "form", "clip", "leak", "clear"}


def worked_on(
    found: Reading, clause: Clause, step: str, cue: Find | None
) -> tuple[tuple[str, ...], str | None, str | None]:
    """Zones, blade and side of the work of ``step`` in this clause."""
    places = [p for p in found.within(found.places, clause) if step == "leak" or not is_landmark(found, p, clause)]
    if step == "inspect":
        places = [p for p in places if not _is_compared(found, clause, p)]
    places = [p for p in places if not _belongs_to_fault(found, p) and not _is_coarser(found, p, places)]
    faults = [s for s in found.within(found.symptoms, clause) if cue is not None and s.start < cue.start]
    if faults and step not in ("inspect", "measure", "leak"):
        own = [p for p in places if p.start > faults[0].start or p.end < (faults[0].start - 8)]
        places = own or [p for p in places if p.id.startswith("zones:")]
    zones = tuple(dict.fromkeys(p.id.split(":")[1] for p in places if p.id.startswith("zones:")))
    return _fitting(zones, step), *_blade_side(found, places, step)


def _is_coarser(found: Reading, place: Find, places: list[Find]) -> bool:
    """ "The tip is four thou at the corners": the finer place is meant."""
    if place.id != "zones:tip":
        return False
    finer = [p for p in places if p.id == "zones:corners" and p.start > place.end]
    return any(
        {"at", "in", "on"} & set(found.words[place.end : p.start]) and "and" not in found.words[place.end : p.start]
        for p in finer
    )


def _is_compared(found: Reading, clause: Clause, place: Find) -> bool:
    """ "The left half is darker than the right": sides compared with each other are those of the fault."""
    if not place.id.startswith(("sides:", "blades:")):
        return False
    uneven = [f for f in found.symptoms if f.id.startswith("uneven")]
    zone = found.words[place.end : place.end + 1]
    near = any(
        p.id.startswith("zones:") and (p.start <= place.end <= p.end or p.end == place.start) for p in found.places
    )
    one = found.words[place.end - 1] in ("side", "half", "one") or zone in (["side"], ["half"], ["one"])
    than = "than" in found.words[max(clause.start, place.start - 3) : place.start]
    return bool(uneven) and any(place.end <= f.start + 8 for f in uneven) and (one or than or not near)


def _belongs_to_fault(found: Reading, place: Find) -> bool:
    """ "The left side is stiffer", "one corner collapsed": the place says where the fault is, not the work."""
    if place.id == "zones:corners":
        return any(f.id == "uneven_opening" and f.start <= place.start < f.end for f in found.symptoms)
    return place.id.startswith(("sides:", "blades:")) and any(
        f.id.startswith("uneven") and f.start <= place.start < f.end for f in found.symptoms
    )


def _fitting(zones: tuple[str, ...], step: str) -> tuple[str, ...]:
    """Only places that the step can be worked on: a wire step's wires, not the tip that is in line with them."""
    if step in _PLACELESS:
        return ()
    if step == "wires":
        return tuple(z for z in zones if z in WIRE_ZONES)
    if step == "opening":
        return tuple(z for z in zones if z in WIRE_ZONES or z in ("corners", "throat"))
    if step == "clip":
        return tuple(z for z in zones if z not in ("tip", "opening", "whole", "corners", "collar", "rails"))
    if step == "ream":
        return tuple(z for z in zones if z in ("tube", "throat", "butt", "staple"))
    if step == "clear":
        return tuple(z for z in zones if z in ("tube", "throat", "butt", "staple", "inside", "tip", "wire_2", "wire_1"))
    if step in ("scrape", "sand", "profile"):
        return tuple(z for z in zones if z not in WIRE_ZONES and z not in ("opening", "binding"))
    if step == "leak":
        return tuple(z for z in zones if z not in ("whole", "tip", "opening", "butt", "tube", "inside", "back"))
    return zones


def _blade_side(found: Reading, places: list[Find], step: str) -> tuple[str | None, str | None]:
    if step in _PLACELESS:
        return None, None
    blades = list(dict.fromkeys(p.id.split(":")[1] for p in places if p.id.startswith("blades:")))
    sides = list(dict.fromkeys(p.id.split(":")[1] for p in places if p.id.startswith("sides:")))
    blade = "both" if len(blades) > 1 else (blades[0] if blades else None)
    side = "both" if len(sides) > 1 else (sides[0] if sides else None)
    if step in _SIDELESS or step == "wires" or (step == "opening" and side == "both"):
        side = None
    if step in _SIDELESS or step in ("wires", "opening"):
        blade = None
    return blade, side


def is_landmark(found: Reading, place: Find, clause: Clause) -> bool:
    """Whether the place only says where from, where to, or beside what."""
    words = found.words
    if place.id.startswith(("blades:", "sides:")):
        before = words[place.start - 1] if place.start else ""
        beside = words[place.start : place.start + 3] in (["either", "side", "of"], ["each", "side", "of"])
        near = words[place.start - 2] if before == "the" and place.start > 1 else before
        lone = place.id in ("sides:left", "sides:right") and (before == "from" or near in ("near", "beside", "behind"))
        return lone or (place.id.startswith("sides:") and beside)
    if words[place.start] == "between":
        return False
    i = place.start - 1
    while i >= clause.start and words[i] in _SKIP:
        i -= 1
    if i < clause.start:
        return False
    word, before = words[i], found.plain[i - 1] if i > clause.start else ""
    if word == "near" and {"not", "never", "nowhere", "anywhere"} & set(words[max(clause.start, i - 4) : i]):
        return False  # "I won't go near the collar"
    if word in _LANDMARK_BEFORE:
        return True
    if word == "of":
        return (
            before in ("side", "sides", "front", "ahead", "short")
            and words[i - 2] in ("either", "in", "each", "just", "on", "short")
            and place.id in ("zones:spine", "zones:collar", "zones:heart", "zones:wire_1", "zones:back", "zones:wire_2")
        )
    if word == "to":
        return before not in _TO_WORK
    if word == "between" or (word in ("and", "or") and "between" in words[max(clause.start, i - 5) : i]):
        return True
    if word in ("into", "onto") and any(w.startswith(_BLENDS) for w in words[clause.start : i]):
        return any(p.id.startswith("zones:") and p.end <= i for p in found.within(found.places, clause))
    if word == "from":
        after = words[place.end] if place.end < len(words) else "."
        measured = any(a.end == i and a.unit in ("mm", "in", "thou", "cm") for a in found.amounts)
        takes = any(
            w in ("off", "take", "took", "taking", "remove", "removed", "removing", "bit", "cane", "wood", "strokes")
            for w in words[clause.start : i]
        )
        return (
            after in _ONWARD
            or (measured and not takes)
            or (not takes and words[i - 1] in ("forward", "back", "away", "down", "up"))
        )
    return False
