"""Places in a line of words, and self-corrections: of "left, sorry, right" only the last word counts."""

from __future__ import annotations

import re
from itertools import pairwise

from annotate.tagging.forms import bag
from annotate.tagging.lexicon import Lexicon
from annotate.tagging.numerals import number_at
from annotate.tagging.patterns import Find, longest
from annotate.tagging.spoken import amounts, decimal, unit_at
from annotate.tagging.tokens import Token


def places_in(words: Lexicon, plain: list[str]) -> list[Find]:
    """Zones, blades and sides; of each kind the longest, and a wire named by a blade's word is a wire."""
    found = words.places.find(plain)
    kinds = {kind: longest([f for f in found if f.id.startswith(kind)]) for kind in ("zones", "blades", "sides")}
    zones = kinds["zones"]
    blades = [b for b in kinds["blades"] if not any(z.start <= b.start and b.end <= z.end for z in zones)]
    sides = [s for s in kinds["sides"] if not any(z.start < s.start and s.end <= z.end for z in zones)]
    zones = [z for z in zones if not any(b.start <= z.start and z.end <= b.end for b in blades)]
    said = {s.start for s in sides}
    sides += [
        Find(f"sides:{plain[z.start - 1]}", z.start - 1, z.start)
        for z in zones
        if z.start
        and plain[z.start - 1] in ("left", "right")
        and z.start - 1 not in said
        and not any(s.start <= z.start - 1 < s.end for s in sides)
    ]
    return sorted([*zones, *blades, *sides], key=lambda f: f.start)


# Phrases that can only take something back: after them a verb replaces the verb before, a fault any fault before.
_FOR_VERBS = (
    "i mean",
    "i meant",
    "lie",
    "correction",
    "scratch that",
    "strike that",
    "rather",
    "make that",
    "rephrase",
)
# After any other phrase a fault replaces only one of its own scale: "flat, no, sharp" but not "flat, wait, a leak".
_SCALES = (
    bag("flat sharp"),
    bag("high_crow deep_crow"),
    bag("tip_open tip_closed"),
    bag("resistant free"),
    bag("stuffy buzzy bright"),
    bag("hard_cane soft_cane"),
)
_ONE_OF_THEM = bag("front first middle second back third bottom top")
# "Lower blade I should say": said after what it puts right; the last only of numbers.
_CLOSING = (("i", "should", "say"), ("i", "mean"), ("rather",), ("sorry",), ("actually",))


def taken_back(text: str, tokens: list[Token], words: Lexicon) -> list[str]:
    """Self-corrections: of "left, sorry, right" only the last word counts; what it replaces is blanked."""
    plain = [t.word for t in tokens]
    out = _hesitated(text, tokens, words)
    _contrasted(words, out)
    _closed(words, out)
    for fix in _joined(words.corrections.find(plain), plain):
        said = plain[fix.start : fix.end]
        is_sure = " ".join(said).rstrip(" ,").endswith(_FOR_VERBS)
        if is_sure:
            _verb_taken_back(words, out, fix)
        fix = _past_denial(words, out, fix)
        _one_is_wire(words, out, fix)
        after = _first_kind(words, out, fix.end, min(len(out), fix.end + (3 if said == ["no"] else 7)))
        after += _amount_after_all(out, fix) if not after else []
        before = _last_of_each(words, out, max(0, fix.start - 10), fix.start)
        pairs = [(kind, before.get(kind), new) for kind, new in after]
        pairs = [(k, old, new) for k, old, new in pairs if old and (k != "fault" or is_sure or _is_scale(old, new))]
        changed = {kind for kind, old, new in pairs if old and old.id != new.id}
        for kind, old, new in pairs:
            if old and (kind in changed or (kind == "amount" and "fault" in changed)):
                _replace(out, old, new)
                if kind != "amount" or fix.start - old.end <= 1:
                    _one_breath(out, old.end, fix, new.start)
        if pairs or "said" in said:
            out[fix.start : fix.end] = ["_"] * (fix.end - fix.start)
    return out


def _joined(fixes: list[Find], plain: list[str]) -> list[Find]:
    """ "No, hang on, I misread that": phrases with nothing but commas between them take back as one."""
    out: list[Find] = []
    for fix in fixes:
        if out and all(w == "," for w in plain[out[-1].end : fix.start]):
            out[-1] = Find(fix.id, out[-1].start, max(fix.end, out[-1].end), out[-1].said)
        else:
            out.append(fix)
    return out


def _is_scale(old: Find, new: Find) -> bool:
    """Whether two faults lie on one scale, so that the reed cannot have both."""
    return any({old.id, new.id} <= scale for scale in _SCALES)


def _past_denial(words: Lexicon, out: list[str], fix: Find) -> Find:
    """ "The tip, no, not the tip, the corners": what is said again to be denied belongs to the phrase."""
    if out[fix.end : fix.end + 1] == [","]:
        fix = Find(fix.id, fix.start, fix.end + 1, fix.said)
    if out[fix.end : fix.end + 1] != ["not"]:
        return fix
    end = next((i for i in range(fix.end, min(len(out), fix.end + 5)) if out[i] in (",", "but")), None)
    last = _last_of_each(words, out, max(0, fix.start - 10), fix.start)
    before = {old.id for kind, old in last.items() if kind != "amount"}
    denied = {f.id for _, f in _first_kind(words, out, fix.end, end)} if end else set()
    return Find(fix.id, fix.start, end + 1, fix.said) if end and denied & before else fix


def _one_is_wire(words: Lexicon, out: list[str], fix: Find) -> None:
    """ "The front wire, no, the bottom one": one of the wires."""
    for i in range(fix.end + 1, min(len(out), fix.end + 4)):
        if out[i] != "one" or out[i - 1] not in _ONE_OF_THEM:
            continue
        old = _last_of_each(words, out, max(0, fix.start - 10), fix.start).get("zones")
        if old and old.id.startswith("zones:wire"):
            out[i] = "wire"
            if old.end - old.start == 2:  # what was said of the first holds for the second
                out[old.start : old.end] = out[i - 1 : i + 1]


def _contrasted(words: Lexicon, out: list[str]) -> None:
    """ "Not the left, the right rail": only the second is worked on."""
    if not any(w == "not" and (i == 0 or out[i - 1] in (",", ".")) for i, w in enumerate(out)):
        return
    places = places_in(words, out)
    for kind in ("blades", "sides", "zones"):
        said = [p for p in places if p.id.startswith(kind)]
        if kind == "sides":  # "the left" before a comma is no place elsewhere
            said = [Find(f"sides:{w}", i, i + 1) for i, w in enumerate(out) if w in ("left", "right")]
        for one, two in pairwise(said):
            denied = next((i for i in range(max(0, one.start - 2), one.start) if out[i] == "not"), None)
            between = [w for w in out[one.end : two.start] if w not in ("the", "but", "my", "on", "in", "off")]
            begins = denied is not None and (denied == 0 or out[denied - 1] in (",", "."))
            if begins and one.id != two.id and between == [","]:
                out[denied : one.end] = ["_"] * (one.end - (denied or 0))


def _closed(words: Lexicon, out: list[str]) -> None:
    """ "Off the upper, lower blade I should say", "ten strokes, eleven actually": put right by what comes after."""
    for said in _CLOSING:
        for i in range(1, len(out) - len(said)):
            if tuple(out[i : i + len(said)]) != said or out[i + len(said)] not in (",", "."):
                continue
            for kind, new in _last_of_each(words, out, max(0, i - 4), i).items():
                if said == ("actually",) and kind != "amount":
                    continue
                old = _last_of_each(words, out, max(0, i - 10), new.start).get(kind)
                if old and old.id != new.id and new.end >= i - 1 and "," in out[old.end : new.start]:
                    _replace(out, old, new)


def _replace(out: list[str], old: Find, new: Find) -> None:
    """Blank the old; a number that leaves out its unit takes the place of the old number before its unit."""
    number, unit = number_at(out, old.start, unit_at), next((a.unit for a in amounts(out) if a.start == new.start), "")
    if number and old.end > number.end and unit is None:
        out[new.start : new.end] = ["_"] * (new.end - new.start)
        out[number.end - 1] = new.id.removeprefix("amount:")
        old = Find(old.id, old.start, number.end - 1)
    out[old.start : old.end] = ["_"] * (old.end - old.start)


def _one_breath(out: list[str], start: int, fix: Find, end: int) -> None:
    """ "Tightened wire one, I mean wire two": the verb keeps its object though commas stand between."""
    if end - fix.end <= 2 and all(w in (",", "_") for w in out[start : fix.start]):
        out[start:end] = ["_" if w == "," else w for w in out[start:end]]


def _hesitated(text: str, tokens: list[Token], words: Lexicon) -> list[str]:
    """ "Top blade, er, bottom blade": a place of the same kind right after a hesitation replaces the one before."""
    out = [t.word for t in tokens]
    if not re.search(r",\s*(er|erm|uh|um)\b", text, re.IGNORECASE):
        return out
    for kind in ("blades", "sides", "zones"):
        places = [p for p in places_in(words, out) if p.id.startswith(kind)]
        for one, two in pairwise(places):
            between = text[tokens[one.end - 1].end : tokens[two.start].start]
            if one.id != two.id and re.fullmatch(
                r"[,.\s]*(er|erm|uh|um)[,.\s]*(the|on the|)\s*", between, re.IGNORECASE
            ):
                out[one.start : one.end] = ["_"] * (one.end - one.start)
    return out


def _verb_taken_back(words: Lexicon, out: list[str], fix: Find) -> None:
    """ "I scraped, I tell a lie, I sanded the tip": only sanding was done."""
    cues = words.cues.find(out)
    after = next((c for c in cues if 0 <= c.start - fix.end <= 4), None)
    before = [c for c in cues if 0 <= fix.start - c.end <= 6 and "." not in out[c.end : fix.start]]
    if after and before and before[-1].id.split("/")[0] != after.id.split("/")[0]:
        for cue in before:
            out[cue.start] = "_"


def _amount_after_all(out: list[str], fix: Find) -> list[tuple[str, Find]]:
    """ "Seventeen, no, I read it upside down, eleven hundredths": a number taken back at once."""
    if not any(fix.start - 2 <= a.end <= fix.start for a in amounts(out[: fix.start])):
        return []
    near = [a for a in amounts(out) if fix.end <= a.start <= fix.end + 8]
    if not near or "." in out[fix.end : near[0].start]:
        return []
    return [("amount", Find(f"amount:{decimal(near[0].value)}", near[0].start, near[0].end))]


def _kinds_in(words: Lexicon, piece: list[str]) -> list[tuple[str, Find]]:
    """Every place and fault of a piece of the line, each with its kind."""
    places = [(f.id.split(":")[0], f) for f in places_in(words, [*piece, "."])]
    return sorted(
        [*places, *(("fault", f) for f in longest(words.symptoms.find([*piece, "."])))], key=lambda one: one[1].start
    )


def _first_kind(words: Lexicon, plain: list[str], start: int, end: int) -> list[tuple[str, Find]]:
    stop = next((i for i in range(start, end) if plain[i] in (".", "?")), end)
    piece = plain[start:stop]
    out: list[tuple[str, Find]] = []
    for kind, find in _kinds_in(words, piece):
        if kind not in [k for k, _ in out]:
            out.append((kind, Find(find.id, find.start + start, find.end + start)))
    for amount in amounts(piece)[:1]:
        if amount.start <= 2:
            out.append(("amount", Find(f"amount:{decimal(amount.value)}", amount.start + start, amount.end + start)))
    return out


def _last_of_each(words: Lexicon, plain: list[str], start: int, end: int) -> dict[str, Find]:
    """The last place, fault and amount of each kind in a piece of the line."""
    piece = plain[start:end]
    found = {kind: Find(f.id, f.start + start, f.end + start) for kind, f in _kinds_in(words, piece)}
    for said in amounts(piece)[-1:]:
        found["amount"] = Find(f"amount:{decimal(said.value)}", said.start + start, said.end + start)
    return found
