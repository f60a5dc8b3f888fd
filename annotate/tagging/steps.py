"""Which step a clause speaks of: the strongest cue whose need is met."""

from __future__ import annotations

from fractions import Fraction

from annotate.tagging.anyverb import any_verb
from annotate.tagging.circumstance import is_fault
from annotate.tagging.counts import by_numbers, names_paper
from annotate.tagging.lexicon import WIRE_ZONES
from annotate.tagging.needs import is_met
from annotate.tagging.patterns import Find
from annotate.tagging.sentence import Clause, Reading

# One clause is one piece of work. Where several cues stand in it, the one that says more wins.
_ORDER = [
    "retire",
    "break_in",
    "leak",
    "soak",
    "clear",
    "ream",
    "form",
    "measure",
    "sand",
    "clip",
    "wires",
    "opening",
    "crow",
    "rest",
    "profile",
    "inspect",
    "play",
    "scrape",
]


def cue_of(found: Reading, clause: Clause, carried: tuple[str, ...]) -> Find | None:
    """The cue that names the clause's step, or None. ``carried`` are the zones spoken of before."""
    zones = {f.id.split(":")[1] for f in found.within(found.places, clause) if f.id.startswith("zones:")}
    met = _met(found.cues, found, clause, zones, carried)
    met = _looks_at(found, clause, zones, carried, met) or met
    if not met:
        counted = by_numbers(found, clause, zones, carried)
        met = [counted] if counted else _met(found.families, found, clause, zones, carried)
    if not met:
        return any_verb(found, clause)
    # "open the tip by squeezing the wire" is about the opening, "squeeze the wire to open the tip" about the wire.
    pair = [c for c in met if c.id.split("/")[0] in ("wires", "opening")]
    if zones & WIRE_ZONES and any(c.id.startswith("wires") for c in pair):
        squeezes = [c for c in pair if c.id.startswith("opening") and not _says_opening(found, c)]
        met, pair = [c for c in met if c not in squeezes], [c for c in pair if c not in squeezes]
    of_wire = set(carried) & WIRE_ZONES or {"wire", "wires"} & set(found.words[: clause.start])
    if of_wire and any(c.id.startswith("wires") for c in met) and not zones:
        met = [c for c in met if not c.id.startswith("clip")]
    if zones & WIRE_ZONES:
        met = [c for c in met if not c.id.startswith("form")] or met
        met = [c for c in met if not _has_wire_object(found, c)] or met
        pair = [c for c in pair if c in met]
    looks = [c.start for c in met if c.id == "inspect/"]
    if looks and any(c.id.startswith("opening") and c.start >= min(looks) for c in pair):
        met, pair = [c for c in met if c not in pair], []
    if pair:
        first = min(pair, key=lambda c: (c.start, c.id != "wires/wire"))
        met = [c for c in met if c not in pair or c.id == first.id]
    if any(c.id in ("scrape/cane", "scrape/zone") for c in met) and _is_clip_by_length(found, clause, zones):
        return Find("clip/tip", met[0].start, met[0].end, f"{met[0].said} + length off the tip")
    best = min(met, key=lambda c: (_ORDER.index(c.id.split("/")[0]), c.start, -c.end))
    if best.id.startswith("crow/") and _is_on_instrument(found, clause):
        return Find("play/", best.start, best.end, f"{best.said} + on the instrument")
    if best.id.startswith("scrape/") and names_paper(found, clause):
        return Find("sand/", best.start, best.end, f"{best.said} + paper")
    return best


def _looks_at(found: Reading, clause: Clause, zones: set[str], carried: tuple[str, ...], met: list[Find]) -> list[Find]:
    """ "Check the collar next": a place with no verb of its own is worked by the verb before it."""
    if not met or any(c.id != "scrape/zone" or found.words[c.start] not in ("the", "both") for c in met):
        return []
    first = min(c.start for c in met)
    looks = [f for f in found.families if f.id.startswith("inspect/") and f.end == first]
    return _met(looks, found, clause, zones, carried)


def _is_on_instrument(found: Reading, clause: Clause) -> bool:
    """ "A quick toot on the bassoon" is played, not crowed."""
    words = found.words[clause.start : clause.end]
    return any(
        w in ("bassoon", "instrument", "oboe", "horn", "fagott")
        and words[max(0, i - 2)] in ("on", "in", "into", "onto")
        for i, w in enumerate(words)
    )


def _met(cues: list[Find], found: Reading, clause: Clause, zones: set[str], carried: tuple[str, ...]) -> list[Find]:
    near = [c for c in found.within(cues, clause) if is_met(c, found, clause, zones, carried)]
    return [c for c in near if not is_fault(c, found)]


def _has_wire_object(found: Reading, cue: Find) -> bool:
    """ "I opened the first wire": the wire was worked, whatever the verb."""
    at = next((i for i in range(cue.start + 1, cue.start + 5) if found.words[i : i + 1] == ["wire"]), None)
    wires = [p for p in found.places if p.id.split(":")[1] in WIRE_ZONES]
    return cue.id.startswith("opening") and at is not None and any(0 < p.start - cue.start <= 2 for p in wires)


def _is_clip_by_length(found: Reading, clause: Clause, zones: set[str]) -> bool:
    """ "Half a millimetre off the tip" is a length; a tip is never that thick."""
    far = any(
        clause.holds(a)
        and ((a.unit == "mm" and Fraction(15, 100) <= a.value <= 3) or (a.unit == "in" and a.part >= 16))
        for a in found.amounts
    )
    off = {"off", "from"} & set(found.words[clause.start : clause.end])
    return far and bool(off) and zones <= {"tip", "whole"} and "tip" in zones


def _says_opening(found: Reading, cue: Find) -> bool:
    """Open, close or even, and not the squeeze by which it is done."""
    verb = found.words[cue.start]
    return not verb.startswith(
        (
            "squee",
            "pinch",
            "press",
            "push",
            "squi",
            "squa",
            "mash",
            "mass",
            "gentle",
            "little",
            "bit",
            "small",
            "slight",
            "tiny",
            "quick",
            "down",
            "up",
            "give",
            "gav",
            "coax",
            "bend",
        )
    )


def is_strong(cue: Find) -> bool:
    """A cue that needs nothing beside itself."""
    return cue.id.endswith("/")
