"""What the weight of words changes in what the rules found.

Where words weigh heavily against a step, mode or fault that the rules found, it
goes; where they weigh heavily for one that the rules missed, it comes. A line
with one piece of work takes its places from the weights as well.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from annotate.tagging.faults import denied_faults
from annotate.tagging.sentence import Reading
from annotate.tagging.values import Label, Understanding

# So few words and marks are too few to weigh: "scrape the back." says all, and what it lacks was said before.
SHORT, SHORT_WITHOUT_WORK = 8, 6

LEAST_SURE, MOST_SURE = 0.05, 0.95  # no suggestion is surer or less sure than this


@dataclass(frozen=True)
class Bounds:
    """Chances (0..1) from which something is believed."""

    some: float = 0.88  # that a line has any label
    many: float = 0.7  # that it has several, where the rules found one at most
    many_ruled: float = 0.2  # the same, where they found several
    keep: float = 0.45  # a step or mode that the rules found, where there are several
    add: float = 0.6  # a step that they did not find, there
    mode: float = 0.3  # where none has as much, that of the rules stays
    zone: float = 0.55
    new_zone: float = 0.85  # a place that the rules left out
    step: float = 0.5  # the step of a line in which the rules found none
    side: float = 0.5
    new_side: float = 0.8  # a side or blade that the rules left out
    keep_fault: float = 0.25
    add_fault: float = 0.6


def reconsidered(
    found: Reading, ruled: Understanding, chances: Mapping[str, float], bounds: Bounds | None = None
) -> Understanding:
    """``ruled`` with the changes that the chances of each head speak for."""
    bounds = bounds or Bounds()
    if any(f"step:{one.step}" not in chances for one in ruled.labels):
        return ruled  # a step of the maker's own, which the weights never met
    if len(found.tokens) <= (SHORT if ruled.labels else SHORT_WITHOUT_WORK):
        return ruled
    many = bounds.many_ruled if len({_work(one) for one in ruled.labels}) > 1 else bounds.many
    faults = [one for one in ruled.symptoms if chances.get(f"fault:{one}", 1.0) >= bounds.keep_fault]
    never = {*faults, *denied_faults(found)}
    more = [one for one in _over(chances, "fault", bounds.add_fault) if one not in never]
    likely = ruled.labels or _over(chances, "step", bounds.step)
    if chances["labels:some"] < bounds.some or not likely:
        labels: list[Label] = []
    elif chances["labels:many"] < many:
        one = _the_one(found, ruled.labels, chances, bounds)
        labels = [replace(one, symptoms=(*one.symptoms, *more))]
    else:
        labels = _several(found, ruled.labels, chances, bounds)
    labels = [
        replace(
            one, symptoms=tuple(s for s in one.symptoms if s in (*faults, *more)), confidence=_confidence(one, chances)
        )
        for one in labels
    ]
    return replace(ruled, labels=tuple(labels), symptoms=(*faults, *more))


def _confidence(label: Label, chances: Mapping[str, float]) -> float:
    """The chance that there is work, of this step and in this mode: about the share of such labels that are right.

    On lines unseen by the weights, of labels with 0.98 or more 96 in 100 were right, of 0.9-0.98 90, of 0.7-0.9 79.
    """
    chance = chances["labels:some"] * chances[f"step:{label.step}"] * chances[f"mode:{label.mode}"]
    return round(min(max(chance, LEAST_SURE), MOST_SURE), 2)


def _work(label: Label) -> tuple[object, ...]:
    return label.step, label.mode, label.zones, label.blade, label.side


def _over(chances: Mapping[str, float], kind: str, least: float) -> list[str]:
    """What of a kind has at least this chance, the likeliest first."""
    named = ((chance, head.partition(":")[2]) for head, chance in chances.items() if head.startswith(f"{kind}:"))
    return [name for chance, name in sorted(named, reverse=True) if chance >= least]


def _the_one(found: Reading, labels: Sequence[Label], chances: Mapping[str, float], bounds: Bounds) -> Label:
    """One piece of work: the likeliest step in the likeliest mode, at the places that are likely.

    Places that the line does not name were named before it; of those its words know nothing, and they stay.
    """
    step = _over(chances, "step", 0.0)[0]
    same = [one for one in labels if one.step == step]
    ruled = next((one.mode for one in same), "")
    mode = next(iter(_over(chances, "mode", bounds.mode)), ruled) or _over(chances, "mode", 0.0)[0]
    like = [one for one in same if one.mode == mode] or same or list(labels) or [_whole(found)]
    label = like[0]
    zones = tuple(_over(chances, "zone", bounds.new_zone))
    named = {place.id for place in found.places}
    known = [
        zone
        for one in like
        for zone in one.zones
        if chances.get(f"zone:{zone}", 1.0) >= bounds.zone or f"zones:{zone}" not in named
    ]
    rules = tuple(
        rule if right else f"{rule.partition(':')[0]}:weight of words"
        for rule, right in zip(label.rules, (label.step == step, label.mode == mode), strict=True)
    )
    return replace(
        label,
        step=step,
        mode=mode,
        rules=rules,
        zones=tuple(dict.fromkeys((*known, *zones))),
        blade=_likely(found, chances, "blade", label.blade, bounds),
        side=_likely(found, chances, "side", label.side, bounds),
    )


def _likely(found: Reading, chances: Mapping[str, float], kind: str, ruled: str | None, bounds: Bounds) -> str | None:
    """The likeliest blade or side; one that the rules left out must be likelier, and said of the work."""
    if ruled and all(place.id != f"{kind}s:{ruled}" for place in found.places):
        return ruled
    best = next(iter(_over(chances, kind, bounds.side)), None)
    if best is None or best == ruled:
        return best
    return best if chances[f"{kind}:{best}"] >= bounds.new_side and not _is_of_fault(found, f"{kind}s:{best}") else None


def _is_of_fault(found: Reading, place: str) -> bool:
    """ "The right corner is falling in, so I even it": said only where a fault is told and no work."""
    clauses = [one for one in found.clauses if any(p.id == place for p in found.within(found.places, one))]
    return bool(clauses) and all(
        found.within(found.symptoms, one) and not found.within(found.cues, one) for one in clauses
    )


def _several(found: Reading, labels: Sequence[Label], chances: Mapping[str, float], bounds: Bounds) -> list[Label]:
    """Several pieces of work: those of the rules that can be, and steps that they missed."""
    out = [one for one in labels if chances.get(f"step:{one.step}", 1.0) >= bounds.keep]
    said = {one.step for one in out}
    lost = [one for one in labels if one not in out]
    for step in _over(chances, "step", bounds.add):
        if step not in said:
            at = lost.pop(0) if lost else _whole(found)
            out.append(replace(at, step=step, rules=("step:weight of words", *at.rules[1:])))
    best = _over(chances, "mode", 0.0)[0]
    likely = [one for one in out if one.mode and chances.get(f"mode:{one.mode}", 1.0) >= bounds.keep]
    if likely and any(one.mode == best for one in likely):
        # Beside work in the likely mode, work in an unlikely one was none: "the crow is flat, so I will clip it".
        return [one if one.mode else _in_mode(one, best) for one in out if one in likely or not one.mode]
    return [one if one in likely else _in_mode(one, best) for one in out]


def _in_mode(label: Label, mode: str) -> Label:
    return replace(label, mode=mode, rules=(label.rules[0], "mode:weight of words"))


def _whole(found: Reading) -> Label:
    """A label over the whole line, of no step and mode yet."""
    return Label("", "", start=0, end=len(found.text), evidence=found.text, rules=("step:", "mode:"))
