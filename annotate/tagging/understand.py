"""One line understood: ``understand`` puts the rules together.

The way: tokens and phrases (``sentence``) -> the step of every clause (``steps``)
-> how the clause stands to the work (``modes``) -> its places (``places``),
faults (``faults``) and readings (``readings``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from annotate.tagging.afterwards import fronted, leak_place, seen_place, with_faults
from annotate.tagging.faults import faults
from annotate.tagging.forms import bag
from annotate.tagging.joining import is_means, is_purpose, joined, tells_result
from annotate.tagging.lexicon import BLADE_ZONES, WIRE_ZONES, Lexicon, lexicon
from annotate.tagging.modes import Stand, stands
from annotate.tagging.needs import is_wire_before, says_wire
from annotate.tagging.patterns import Find
from annotate.tagging.places import is_landmark, worked_on
from annotate.tagging.readings import readings
from annotate.tagging.reeds import reed_said
from annotate.tagging.second_opinion import reconsidered
from annotate.tagging.sentence import Clause, Reading, is_next_place, read
from annotate.tagging.stated import DIMENSIONS, bare_measure, is_aim, is_amount_of_clip, is_size_of_fault, zones_in
from annotate.tagging.steps import cue_of, is_strong
from annotate.tagging.values import Context, Label, Measurement, Understanding
from annotate.tagging.weights import features_of, weights

_CARRIES = bag("scrape sand wires inspect measure")
_PRONOUNS = bag("it this that them those these there here each")
_OTHER = {"left": "right", "right": "left", "up": "down", "down": "up"}


@dataclass
class _Carried:
    """What a pronoun may point back to while the line is read."""

    step: str | None
    zones: tuple[str, ...]
    blade: str | None
    side: str | None


def understand(
    text: str, context: Context | None = None, words: Lexicon | None = None, known_reeds: Sequence[str] = ()
) -> Understanding:
    """What ``text`` says of the work, its faults, its readings and the reed in hand."""
    words = words or lexicon()
    found = read(text, words)
    ruled = by_rules(found, context, known_reeds)
    chances = weights().chances(features_of(found, ruled))
    known = {head: chance for head, chance in chances.items() if head[:5] != "zone:" or head[5:] in words.zones}
    weighed = reconsidered(found, ruled, known)
    return _measured_again(found, ruled, weighed)


def _measured_again(found: Reading, ruled: Understanding, weighed: Understanding) -> Understanding:
    """The readings of a line whose one step is another than the rules had: what a number is depends on the step."""
    if len(weighed.labels) != 1 or {one.step for one in ruled.labels} == {weighed.labels[0].step}:
        return weighed
    label = weighed.labels[0]
    said = [m for clause in found.clauses for m in readings(found, clause, label.step, label.zones)]
    said = _made(said, label.mode)
    return replace(weighed, measurements=tuple(said)) if len(said) >= len(ruled.measurements) else weighed


def _made(said: list[Measurement], mode: str) -> list[Measurement]:
    """Without the strokes that are said not to be made."""
    return [m for m in said if mode != "negated" or m.quantity != "strokes"]


def by_rules(found: Reading, context: Context | None = None, known_reeds: Sequence[str] = ()) -> Understanding:
    """What the rules make of a line that was read."""
    context = context or Context()
    reed = reed_said(found, known_reeds)
    cues = _cues(found, context)
    judged = stands(found, cues)
    standing = faults(found, judged, context.test)
    labels, measured = _labels(found, cues, judged, context)
    labels = with_faults(labels, standing)
    labels = [(n, leak_place(found, label, standing)) for n, label in labels]
    labels = [(n, seen_place(found, n, label, {m for m, _ in labels})) for n, label in labels]
    symptoms = tuple(dict.fromkeys(f.id for _, f in standing))
    return Understanding(found.text, tuple(label for _, label in labels), symptoms, reed, tuple(measured))


def _cues(found: Reading, context: Context) -> list[Find | None]:
    carried = context.zones
    out: list[Find | None] = []
    for clause in found.clauses:
        out.append(cue_of(found, clause, carried))
        own = tuple(p.id.split(":")[1] for p in found.within(found.places, clause) if p.id.startswith("zones:"))
        carried = own or carried
    return out


def _labels(
    found: Reading, cues: list[Find | None], judged: list[Stand], context: Context
) -> tuple[list[tuple[int, Label]], list[Measurement]]:
    carried = _Carried(context.step, context.zones, context.blade, context.side)
    labels: list[tuple[int, Label]] = []
    measured: list[Measurement] = []
    for number, (clause, cue, stand) in enumerate(zip(found.clauses, cues, judged, strict=True)):
        label = _label(found, clause, cue, stand, carried) if stand.mode else None
        if stand.mode is None and stand.rule in ("talk", "camera"):
            measured += [
                m for m in readings(found, clause, None, ()) if m.quantity in ("humidity", "temperature", "pitch")
            ]
        if stand.mode is not None:
            step = label.step if label else None
            zones = label.zones if label else zones_in(found, clause)
            if step in (None, "measure") and labels and tells_result(found, clause):
                step = labels[-1][1].step
            said = readings(found, clause, step, zones)
            measured += _made(said, stand.mode)
            said = [m for m in said if not is_aim(found, clause)]
            bare = (
                label is None
                and stand.mode in ("done", "recap")
                and not is_amount_of_clip(found, clause, said, labels)
                and not is_size_of_fault(found, clause)
            )
            if bare and any(m.quantity in DIMENSIONS for m in said):
                label = bare_measure(found, clause, stand, said)
        if label:
            _add(found, labels, number, label)
        _carry(found, clause, label, carried)
    return fronted(found, labels), measured


def _add(found: Reading, labels: list[tuple[int, Label]], number: int, label: Label) -> None:
    """Add a label, or join it to the one before where both speak of the same piece of work."""
    if labels:
        at, before = labels[-1]
        if found.clauses[at].sentence == found.clauses[number].sentence:
            if is_purpose(found, found.clauses[number], before, label):
                return
            if is_means(found, found.clauses[at], found.clauses[number], before, label):
                labels.pop()
                labels.append((number, label))
                return
            if (
                label.step == "scrape"
                and before.step == "sand"
                and (label.zones in ((), before.zones) or not before.zones)
                and "stroke" in label.rules[0]
            ):
                label = replace(label, step="sand")
            one = joined(before, label)
            new = found.words[found.clauses[number].start] == "then" and bool(label.zones) and not before.zones
            if one and not new:
                labels[-1] = (at, replace(one, end=label.end, evidence=found.text[one.start : label.end]))
                return
    labels.append((number, label))


def _label(found: Reading, clause: Clause, cue: Find | None, stand: Stand, carried: _Carried) -> Label | None:
    assert stand.mode is not None
    pointing = {f.id for f in found.within(found.pointing, clause)}
    if cue is None:
        step, rule = _step_without_cue(found, clause, stand, carried, pointing)
        if step is None:
            return None
    else:
        step, rule = cue.id.split("/")[0], cue.said
    if step == "rest" and stand.mode == "negated" and "leav" in rule:
        return None
    zones, blade, side = worked_on(found, clause, step, cue)
    if zones and _is_that_place(found, clause) and carried.zones:
        blade, side = blade or carried.blade, side or carried.side
    confidence = 0.85 if cue and is_strong(cue) else 0.7
    points = _points_back(found, clause, pointing)
    if step in ("scrape", "sand") and cue is not None and side and not zones:
        points = True
    if step in ("scrape", "sand") and cue is not None and not points:
        points = _follows_place(found, clause)
    if step == "wires" and cue is not None and is_wire_before(found, cue, clause):
        points = True
    if is_next_place(found, clause):
        points = not zones
    if step == "clear" and not zones:
        zones = _bore_before(found, clause)
    if step == "clear" and not zones and points:
        zones = tuple(z for z in carried.zones if z in ("inside", "tube", "throat", "butt"))
    if stand.mode == "negated" and cue is None and not zones:
        points = True
    if not zones and points and step in _CARRIES:
        zones = tuple(z for z in carried.zones if _is_fit(step, z))
        if zones:
            blade = blade or (carried.blade if "other_blade" not in pointing else None)
            side = side or (carried.side if "other_side" not in pointing else None)
            confidence -= 0.1
    if "other_blade" in pointing and not blade:
        blade = _OTHER.get(carried.blade or "")
    if "other_side" in pointing and not side:
        side = _OTHER.get(carried.side or "")
    start, end = found.tokens[clause.start].start, found.tokens[clause.end - 1].end
    return Label(
        stand.mode,
        step,
        zones,
        blade,
        side,
        (),
        start,
        end,
        found.text[start:end],
        (f"step:{rule}", f"mode:{stand.rule}"),
        round(confidence, 2),
    )


def _bore_before(found: Reading, clause: Clause) -> tuple[str, ...]:
    """ "There was dust in the throat, which I rinsed away": where it lay is where it was cleared."""
    at = found.clauses.index(clause)
    if at == 0 or found.clauses[at - 1].sentence != clause.sentence:
        return ()
    return tuple(z for z in zones_in(found, found.clauses[at - 1]) if z in ("inside", "tube", "throat", "butt"))


def _is_fit(step: str, zone: str) -> bool:
    return zone in WIRE_ZONES if step == "wires" else zone not in WIRE_ZONES or step in ("inspect", "measure")


def _points_back(found: Reading, clause: Clause, pointing: set[str]) -> bool:
    if "same" in pointing or any(w in _PRONOUNS for w in found.words[clause.start : clause.end]):
        return True
    return _is_of_place_before(found, clause)


def _is_of_place_before(found: Reading, clause: Clause) -> bool:
    """ "The heart, which I do not scrape", "it is the channels I'm paring": the place stands before its verb."""
    first = found.words[clause.start]
    ends_there = any(p.end == clause.start and p.id.startswith("zones:") for p in found.places)
    return first == "which" or (ends_there and first in ("i", "we"))


def _follows_place(found: Reading, clause: Clause) -> bool:
    """ "Right corner thick, four strokes": strokes that name no place are on the place named just before."""
    at = found.clauses.index(clause)
    before = found.clauses[at - 1] if at else None
    strokes = any(a.unit == "strokes" for a in found.amounts if clause.holds(a))
    return before is not None and before.sentence == clause.sentence and strokes


def _is_that_place(found: Reading, clause: Clause) -> bool:
    """ "The tip is thick on the right, I'll dust that corner": that one, on the side just named."""
    places = [p for p in found.within(found.places, clause) if p.id.startswith("zones:")]
    return any(p.start and found.words[p.start - 1] in ("that", "those") for p in places)


def _step_without_cue(
    found: Reading, clause: Clause, stand: Stand, carried: _Carried, pointing: set[str]
) -> tuple[str | None, str]:
    """ "The same on the other side", "I leave the heart alone": work whose step is not said outright."""
    if ("same" in pointing or is_next_place(found, clause)) and carried.step and stand.mode == "done":
        return carried.step, "same again"
    zones = zones_in(found, clause)
    seen = {"look", "looks", "are", "is", "feel", "feels", "'s"} & set(found.words[clause.start : clause.end])
    if "same" in pointing and not seen and stand.mode == "done" and set(zones) & BLADE_ZONES:
        return "scrape", "same again at a place of the blade"
    if stand.mode == "negated" and not zones and _is_let_be(found, clause):
        zones = carried.zones
    if stand.mode in ("negated", "plan", "recap") and not zones and says_wire(found, clause):
        return "wires", "wires alone"
    if stand.mode in ("negated", "plan", "recap") and zones:
        if "opening" in zones:
            return "opening", "place alone"
        if any(z in WIRE_ZONES for z in zones):
            return "wires", "place alone"
        if "butt" in zones:
            return "ream", "place alone"
        praised = {"fine", "good", "ok", "nice", "great", "perfect", "lovely"} & set(
            found.words[clause.start : clause.end]
        )
        words = set(found.words[clause.start : clause.end])
        told = stand.mode != "recap" or words & {"was", "were", "did", "done", "only", "had"}
        if set(zones) & BLADE_ZONES and told and not praised and not found.within(found.symptoms, clause):
            return "scrape", "place alone"
    return None, ""


def _is_let_be(found: Reading, clause: Clause) -> bool:
    """ "I'm skipping that", "I leave it alone": what is let be was named before."""
    words = found.words[clause.start : clause.end]
    return any(w in _PRONOUNS for w in words) and any(
        w.startswith(("skip", "leav", "touch", "omit", "left", "let")) for w in words
    )


def _carry(found: Reading, clause: Clause, label: Label | None, carried: _Carried) -> None:
    places = [p for p in found.within(found.places, clause) if not is_landmark(found, p, clause)]
    zones = tuple(dict.fromkeys(p.id.split(":")[1] for p in places if p.id.startswith("zones:")))
    blade = next((p.id.split(":")[1] for p in places if p.id.startswith("blades:")), None)
    side = next((p.id.split(":")[1] for p in places if p.id.startswith("sides:")), None)
    if label and label.zones:
        carried.zones, carried.blade, carried.side = label.zones, label.blade, label.side
    elif zones:
        carried.zones, carried.blade, carried.side = zones, blade, side
    else:
        carried.blade, carried.side = blade or carried.blade, side or carried.side
    if label and label.step in _CARRIES:
        carried.step = label.step
