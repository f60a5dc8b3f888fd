"""A dimension that is stated was measured, though no verb says so."""

from __future__ import annotations

from annotate.tagging.forms import bag
from annotate.tagging.lexicon import WIRE_ZONES
from annotate.tagging.modes import Stand
from annotate.tagging.places import is_landmark, worked_on
from annotate.tagging.sentence import Clause, Reading
from annotate.tagging.values import Label, Measurement

DIMENSIONS = bag("tip_opening thickness length width wire_distance diameter")


def is_amount_of_clip(found: Reading, clause: Clause, said: list[Measurement], labels: list[tuple[int, Label]]) -> bool:
    """ "Chop, there goes half a mil", "How much? One millimetre": how far the clip just named went."""
    if not labels or labels[-1][1].step != "clip" or zones_in(found, clause):
        return False
    near = found.clauses[labels[-1][0]].sentence >= clause.sentence - 2
    return near and all(m.quantity == "length" and m.value < 10 for m in said)


def is_size_of_fault(found: Reading, clause: Clause) -> bool:
    """ "A bump of three hundredths": how large a fault is; what was done to learn it is not told."""
    faults = found.within(found.symptoms, clause)
    amounts = [a for a in found.amounts if clause.holds(a)]
    return any(0 < a.start - f.end <= 3 and "of" in found.words[f.end : a.start] for f in faults for a in amounts)


def is_aim(found: Reading, clause: Clause) -> bool:
    """ "My goal is seventy thou", "a hump five millimetres back": a number that nobody measured now."""
    words = set(found.words[clause.start : clause.end])
    placed = any(found.words[a.end] in ("back", "behind") for a in found.amounts if clause.holds(a))
    return placed or bool(words & {"goal", "target", "aim", "aiming", "should", "ideally", "ideal", "spec", "shooting"})


def bare_measure(found: Reading, clause: Clause, stand: Stand, said: list[Measurement]) -> Label:
    """A dimension that is stated was measured."""
    zones = zones_in(found, clause)
    if any(m.quantity == "wire_distance" for m in said):
        wires = [p.id.split(":")[1] for p in found.within(found.places, clause)]
        zones = tuple(dict.fromkeys(z for z in wires if z in WIRE_ZONES))
    if not zones and said[0].zone:
        zones = (said[0].zone,)
    start, end = found.tokens[clause.start].start, found.tokens[clause.end - 1].end
    if "butt" in zones:
        zones = tuple(z for z in zones if z != "inside")
    _, blade, side = worked_on(found, clause, "measure", None)
    return Label(
        stand.mode or "done",
        "measure",
        zones,
        blade,
        side,
        (),
        start,
        end,
        found.text[start:end],
        ("step:reading stated", f"mode:{stand.rule}"),
        0.75,
    )


def zones_in(found: Reading, clause: Clause) -> tuple[str, ...]:
    places = [p for p in found.within(found.places, clause) if not is_landmark(found, p, clause)]
    return tuple(dict.fromkeys(p.id.split(":")[1] for p in places if p.id.startswith("zones:")))
