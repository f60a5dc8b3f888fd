"""Work said not to be done: negations of the clause itself, and refusals that take back what was offered before."""

from __future__ import annotations

from annotate.tagging.forms import bag, forms
from annotate.tagging.patterns import Find
from annotate.tagging.sentence import Clause, Reading

_INTERJECTION = bag("the , i it that this we wait not left right no . let now")


_NO_FAULT = bag(
    "change problem problems issue issues leak difference idea doubt way wonder matter one bubbles crow rattle good"
)


_NOT_NEGATING = bag("only just bad sure yet forget")


_LETS_BE = ("leave", "skip", "omit", "spare", "avoid", "ignore", "forgo")


_SAYS_NOT = bag("hands nowhere untouched unscraped omitted skipped spared avoided")


def is_negated(found: Reading, clause: Clause, cue: Find | None) -> bool:
    negations = [f for f in found.within(found.modes, clause) if f.id == "negated"]
    for find in negations:
        words = found.plain[find.start : find.end]
        after = found.plain[find.end] if find.end < len(found.plain) else "."
        if words[0] == "no" and after in _INTERJECTION | _NO_FAULT:
            continue
        if words[-1] == "not" and after in _NOT_NEGATING:
            continue
        if words[0] == "wait" and find.start and found.plain[find.start - 1] in ("can", "could"):
            continue  # "the reaming can wait until Friday" is a plan
        if any(f.start <= find.start < f.end for f in found.symptoms):
            continue
        if _is_of_test(cue, find) or _is_in_condition(found, clause, find):
            continue
        if len(words) > 2 or any(words[0] in forms(verb) for verb in _LETS_BE) or words[0] in ("wait", *_SAYS_NOT):
            return True
        if cue is None:
            near = [p for p in found.within(found.places, clause) if 0 <= p.start - find.end <= 2]
            placed = any(f.id.startswith("zones:") for f in found.within(found.places, clause))
            if (placed and words[0] in ("no", "nothing", "without")) or (near and words == ["not"]):
                return True
            continue
        if find.start <= cue.start and cue.start - find.end <= 6:
            return not _is_about_fault(found, find, cue)
        if find.start > cue.start and (
            find.start < cue.end
            or (words == ["not"] and find.start <= cue.start + 1 and after in ("more", "any", "further"))
        ):
            return True
    return False


def _is_of_test(cue: Find | None, find: Find) -> bool:
    """ "Leak none": the none is what the test found."""
    return cue is not None and cue.id == "leak/" and cue.start < find.start < cue.end


def _is_in_condition(found: Reading, clause: Clause, find: Find) -> bool:
    """ "If it does not improve by Friday I retire it": the not belongs to the condition."""
    return bool({"if", "unless"} & set(found.words[max(clause.start, find.start - 4) : find.start]))


def _is_about_fault(found: Reading, negation: Find, cue: Find) -> bool:
    """ "It does not speak so I clip": the not belongs to a fault that stands before the work."""
    return any(f.start <= negation.end + 1 and negation.start <= f.end and f.end <= cue.start for f in found.symptoms)


def is_refusal(found: Reading, clause: Clause) -> bool:
    """ "... but I don't think this one needs it", "... but I won't": takes back what was offered before."""
    words = set(found.words[max(0, clause.start - 3) : clause.end])
    said = [w for w in found.words[clause.start : clause.end] if w not in (".", ",", "_")]
    heads = (["but", "i"], ["but", "we"], ["and", "i"], ["but", "no"], ["so", "i"], ["so", "we"])
    if len(said) <= 6 and said[:2] in heads and "not" in said[2:4]:
        return bool({"will", "do", "did", "would", "shall", "am", "better", "should"} & set(said[2:4]))
    if "wait" in words and {"going", "will", "let", "better"} & words and {"actually", "no", "but", "maybe"} & words:
        return True
    return (
        "not" in words and bool(words & {"need", "needs", "bother", "worth", "necessary"}) and not (words & {"forget"})
    )


def is_short_no(found: Reading, clause: Clause) -> bool:
    words = found.words[clause.start : clause.end]
    return len(words) <= 7 and bool({"no", "not", "never", "nope", "nah"} & set(words))
