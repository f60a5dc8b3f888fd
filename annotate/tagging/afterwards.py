"""What is known of a label only once the whole line is read: its faults, and places named before or after it."""

from __future__ import annotations

from dataclasses import replace

from annotate.tagging.forms import bag
from annotate.tagging.lexicon import BLADE_ZONES
from annotate.tagging.patterns import Find
from annotate.tagging.places import worked_on
from annotate.tagging.sentence import Clause, Reading
from annotate.tagging.values import Label

_FINDING = bag("crow play leak inspect measure")


def with_faults(labels: list[tuple[int, Label]], standing: list[tuple[int, Find]]) -> list[tuple[int, Label]]:
    """Each symptom goes to the test that found it, or to the work it is the reason for."""
    out = [(number, label) for number, label in labels]
    for number, fault in standing:
        before = [i for i, (n, _) in enumerate(out) if n <= number]
        after = [i for i, (n, _) in enumerate(out) if n >= number]
        chosen: list[int] = []
        if before and out[before[-1]][1].step in _FINDING:
            chosen.append(before[-1])
            chosen += [after[0]] if after and after[0] != before[-1] else []
        elif after:
            chosen.append(after[0])
        elif before:
            chosen.append(before[-1])
        for i in chosen:
            n, label = out[i]
            out[i] = (n, replace(label, symptoms=tuple(dict.fromkeys((*label.symptoms, fault.id)))))
    return out


def leak_place(found: Reading, label: Label, standing: list[tuple[int, Find]]) -> Label:
    """ "Leak test, bubbles at wire one": where air came out is where the test found it."""
    if label.step != "leak" or label.zones or "leak" not in label.symptoms:
        return label
    for number, fault in standing:
        if fault.id == "leak":
            zones, _, _ = worked_on(found, found.clauses[number], "leak", None)
            return replace(label, zones=zones)
    return label


def seen_place(found: Reading, number: int, label: Label, labelled: set[int]) -> Label:
    """ "I hold it to the lamp, the heart looks thick": what was looked at is named after the look."""
    after = number + 1
    if label.step != "inspect" or label.zones or after in labelled or after >= len(found.clauses):
        return label
    clause = found.clauses[after]
    if clause.sentence != found.clauses[number].sentence:
        return label
    zones, blade, side = worked_on(found, clause, "inspect", None)
    zones = tuple(z for z in zones if z in BLADE_ZONES)
    side = side or _first_side(found, clause)
    return replace(label, zones=zones, blade=blade, side=side) if zones else label


def _first_side(found: Reading, clause: Clause) -> str | None:
    """ "The right rail's darker than the left": the right one was looked at."""
    sides = [p.id.split(":")[1] for p in found.within(found.places, clause) if p.id.startswith("sides:")]
    return sides[0] if sides else None


def fronted(found: Reading, labels: list[tuple[int, Label]]) -> list[tuple[int, Label]]:
    """ "On the top blade, lighten the left wing, then feather the tip": what opens the sentence holds for all of it."""
    out = list(labels)
    for i, (number, label) in enumerate(out):
        if i == 0 or label.blade or label.step not in ("scrape", "sand", "inspect"):
            continue
        before_number, before = out[i - 1]
        clause = found.clauses[before_number]
        same = clause.sentence == found.clauses[number].sentence
        opens = any(
            p.id.startswith("blades:") and p.start - clause.start <= 3 for p in found.within(found.places, clause)
        )
        if (
            same
            and before.blade
            and opens
            and found.words[clause.start] in ("on", "top", "bottom", "upper", "lower", "wire")
        ):
            out[i] = (number, replace(label, blade=before.blade))
    return out
