"""Two labels of one piece of work become one."""

from __future__ import annotations

from dataclasses import replace

from annotate.tagging.sentence import Clause, Reading
from annotate.tagging.values import Label


def is_purpose(found: Reading, clause: Clause, before: Label, label: Label) -> bool:
    """ "Squeeze the wire, to open it up": what the wire was squeezed for is no second piece of work."""
    if label.step == "measure" and before.step != "measure" and tells_result(found, clause):
        return True
    first = next((w for w in found.words[clause.start : clause.end] if w not in ("just", "so", "as")), "")
    return before.step == "wires" and label.step == "opening" and first in ("to", "that", "it")


def tells_result(found: Reading, clause: Clause) -> bool:
    """ "I move the wire so it sits 26 mm from the butt": where the work just told brought it."""
    said = [w for w in found.words[clause.start : clause.start + 4] if w not in ("that", "_")]
    return said[:2] in (["so", "it"], ["so", "they"], ["until", "it"], ["till", "it"])


def is_means(found: Reading, need: Clause, clause: Clause, before: Label, label: Label) -> bool:
    """ "We need to open it, so I squeeze the wire": one piece of work, done on the wire."""
    needs = {"need", "want", "have", "like"} & set(found.words[need.start : need.end])
    return before.step == "opening" and label.step == "wires" and bool(needs) and found.words[clause.start] == "so"


def joined(before: Label, label: Label) -> Label | None:
    """One label of two, where step and mode agree and the places of one say no other thing than those of the other."""
    if (before.step, before.mode) != (label.step, label.mode):
        return None
    if before.zones and label.zones and before.zones != label.zones:
        return None
    if any(a and b and a != b for a, b in ((before.blade, label.blade), (before.side, label.side))):
        return None
    if before.zones and before.zones == label.zones and before.side != label.side and before.side:
        return None
    return replace(
        before, zones=before.zones or label.zones, blade=before.blade or label.blade, side=before.side or label.side
    )
