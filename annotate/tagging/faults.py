"""Symptoms as said, without those that are denied, gone, or only told of as a rule."""

from __future__ import annotations

from annotate.tagging.forms import bag
from annotate.tagging.modes import Stand
from annotate.tagging.patterns import Find
from annotate.tagging.sentence import Clause, Reading

_NO = bag("no not never without nor neither hardly less isnt nothing none cured fixed")
_GONE = bag(
    "decreased lessened reduced improved eased gone disappeared vanished cured fixed solved went away better stopped "
    "over"
)


def faults(found: Reading, stands: list[Stand], test: str | None = None) -> list[tuple[int, Find]]:
    """The symptoms that stand, each with the number of its clause; ``test`` is crow or play, if just heard."""
    out: list[tuple[int, Find]] = []
    for number, (clause, stand) in enumerate(zip(found.clauses, stands, strict=True)):
        if stand.mode is None or _is_asked_and_denied(found, number):
            continue
        said = [
            *found.within(found.symptoms, clause),
            *_of_what_went_before(found, number),
            *_of_the_test(found, number, test),
        ]
        said = [_of_opening(found, clause, f) for f in said]
        out += [(number, f) for f in said if not _is_denied(found, clause, f) and not _is_test(found, f)]
    out = _cane_or_blowing(found, out)
    lopsided = any(f.id == "uneven_opening" for _, f in out)
    return [(n, f) for n, f in out if not (lopsided and f.id == "uneven_blades" and f.end - f.start == 1)]


def denied_faults(found: Reading) -> set[str]:
    """Faults named in the line and denied wherever they are named."""
    named = [
        (f, _is_denied(found, clause, f)) for clause in found.clauses for f in found.within(found.symptoms, clause)
    ]
    return {f.id for f, is_denied in named if is_denied} - {f.id for f, is_denied in named if not is_denied}


_CANE = bag("cane wood piece gouge material batch stick blade blades tube flex bend bark stuff")


def _cane_or_blowing(found: Reading, said: list[tuple[int, Find]]) -> list[tuple[int, Find]]:
    """ "So hard, I can barely blow it" is hard to blow, "this gouge is very hard, like bone" is hard cane: not both."""
    ids = {f.id for _, f in said}
    if "deep_crow" in ids:  # a floppy crow is no soft cane
        said = [(n, f) for n, f in said if f.id != "soft_cane" or set(found.words) & _CANE]
    if not {"hard_cane", "resistant"} <= ids:
        return said
    of_cane = {i for i, w in enumerate(found.words) if w in _CANE}
    return [
        (n, f)
        for n, f in said
        if not (f.id == "hard_cane" and f.end - f.start == 1 and not of_cane)
        and not (
            f.id == "resistant" and of_cane & set(range(f.start - 2, f.end)) and "hard" in found.words[f.start : f.end]
        )
    ]


_ADJECTIVES = {
    "opening": {"large": "tip_open", "big": "tip_open", "wide": "tip_open", "open": "tip_open", "small": "tip_closed",
                "closed": "tip_closed", "narrow": "tip_closed", "tight": "tip_closed", "uneven": "uneven_opening"},
    "tip": {"thick": "thick_tip", "heavy": "thick_tip", "thicker": "thick_tip"},
    "corners": {"thick": "thick_tip", "heavy": "thick_tip", "thicker": "thick_tip"},
    "wire_1": {"loose": "loose_wire", "slack": "loose_wire"}, "wire_2": {"loose": "loose_wire", "slack": "loose_wire"},
    "wire_3": {"loose": "loose_wire", "slack": "loose_wire"},
}  # fmt: skip
_MUCH = bag(
    "hair tad too bit little very rather still so quite is 's touch are super really pretty way far and all rather much"
)


def _of_what_went_before(found: Reading, number: int) -> list[Find]:
    """ "The tip opening is 1.6, which is a bit large": an adjective of the place last named."""
    clause = found.clauses[number]
    spoken = [
        p for p in found.places if p.id.startswith("zones:") and p.end <= clause.end and p.start >= clause.start - 25
    ]
    out: list[Find] = []
    for i in range(clause.start + 1, clause.end):
        before = [p for p in spoken if p.end <= i]
        meant = _ADJECTIVES.get(before[-1].id.split(":")[1], {}).get(found.words[i]) if before else None
        taken = any(f.start <= i < f.end for f in found.symptoms)
        if meant and not taken and found.words[i - 1] in _MUCH:
            out.append(Find(meant, i, i + 1, "adjective of the place before"))
    return out


def _of_opening(found: Reading, clause: Clause, fault: Find) -> Find:
    """ "The aperture, it's drooping on the left": the opening hangs, not the pitch; a wobbly wire is loose."""
    near = [p.id for p in found.places if clause.start - 8 <= p.start < fault.start]
    if fault.id == "sagging" and {"zones:opening", "zones:corners"} & set(near):
        return Find("uneven_opening", fault.start, fault.end, fault.said)
    if fault.id == "crack" and _NOTES & set(found.words[max(clause.start, fault.start - 3) : fault.start]):
        return Find("unstable", fault.start, fault.end, fault.said)
    if fault.id == "unstable" and {"wire", "wires"} & set(
        found.words[max(clause.start, fault.start - 6) : fault.start]
    ):
        return Find("loose_wire", fault.start, fault.end, fault.said)
    return fault


_NOTES = bag("note notes attack attacks slur slurs octave register b c d e f g")
_CROW_WORDS = {
    "tight": "high_crow",
    "high": "high_crow",
    "pinched": "high_crow",
    "deep": "deep_crow",
    "low": "deep_crow",
    "loose": "deep_crow",
}


def _of_the_test(found: Reading, number: int, test: str | None) -> list[Find]:
    """ "Still too tight" after a crow judges that crow."""
    clause = found.clauses[number]
    crows = test == "crow" or any(c.id == "crow/" for c in found.cues if c.start < clause.start)
    if not crows or found.within(found.places, clause):
        return []
    out = []
    for i in range(clause.start, clause.end):
        taken = any(f.start <= i < f.end for f in found.symptoms)
        alone = clause.end - clause.start <= 2
        if not taken and found.words[i] in _CROW_WORDS and i and (alone or found.words[i - 1] in _MUCH):
            out.append(Find(_CROW_WORDS[found.words[i]], i, i + 1, "adjective of the crow before"))
    return out


def _is_asked_and_denied(found: Reading, number: int) -> bool:
    """ "Is that a crack? No." """
    clause = found.clauses[number]
    after = found.words[clause.end : clause.end + 1]
    return found.words[clause.end - 1] == "?" and after in (["no"], ["nope"], ["nah"], ["not"])


def _is_test(found: Reading, fault: Find) -> bool:
    """ "Check for leaks" and "leak test" name the test, "no crow" and the like stay what they say."""
    return fault.id == "leak" and any(
        c.id.startswith("leak/") and c.start < fault.end and fault.start < c.end and c.end - c.start > 1
        for c in found.cues
    )


def _is_denied(found: Reading, clause: Clause, fault: Find) -> bool:
    words = found.words
    before = words[max(clause.start, fault.start - 5) : fault.start]
    if fault.id == "tip_closed" and any(
        w.startswith(("press", "squeez", "pinch", "push", "hold", "get", "to", "with", "suck", "draw"))
        for w in before[-3:]
    ):
        return True
    if fault.id in ("flat", "sharp") and "to" in before and {"bring", "lower", "raise", "lift", "get"} & set(before):
        return True  # "to bring the pitch down" is an aim
    if any(w in ("which", "whether") and i and before[i - 1] != "," for i, w in enumerate(before)):
        return True  # "tell me which corner is thicker"
    if (
        fault.id == "resistant"
        and before[-1:] == ["i"]
        and words[fault.start] in ("play", "blow", "playing", "blowing")
    ):
        return True  # "when I play strong"
    others = [f.end for f in found.symptoms if clause.start <= f.end <= fault.start]
    if others and "or" not in before and "nor" not in before:
        before = words[max(others[-1], fault.start - 5) : fault.start]
    for i, word in enumerate(before):
        following = before[i + 1] if i + 1 < len(before) else words[fault.start]
        if (
            word in _NO
            and following not in ("only", "just", "sure", "yet", "change", "improvement", "difference")
            and not (word == "no" and following == ",")
        ):
            return True
    after = words[fault.end : fault.end + 4]
    if after[:1] in (["none"], ["nil"], ["zero"]):
        return True
    if any(
        w in _GONE and before != "all" for before, w in zip([words[fault.end - 1], *after], after[:3], strict=False)
    ) and not {"still", "not"} & set(after):
        return fault.id not in ("no_crow",)
    return " ".join(after[:2]) in ("no longer", "any more", "at all") and "not" in words[clause.start : fault.start]
