"""How a clause stands to the work: done, plan, recap, negated, or none of the maker's work here."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from annotate.tagging.forms import bag, forms
from annotate.tagging.patterns import Find
from annotate.tagging.sentence import Clause, Reading

_MAKER = bag("i we me us")
_DONE_AUX = bag("am are going let")
_NOT_NEGATING = bag("only just bad sure yet forget")


_INTERJECTION = bag("the , i it that this we wait not left right no . let now")
_NO_FAULT = bag(
    "change problem problems issue issues leak difference idea doubt way wonder matter one bubbles crow rattle good"
)
_LETS_BE = ("leave", "skip", "omit")
_HANDIWORK = bag("retire measure clip scrape sand wires ream profile form soak opening inspect")
_SAYS_NOT = bag("hands untouched unscraped omitted skipped spared avoided")


@dataclass
class Stand:
    """The mode of a clause and the rule that found it; mode None is no work of the maker's own here."""

    mode: str | None
    rule: str


def stands(found: Reading, cues: list[Find | None]) -> list[Stand]:
    """The stand of every clause, in order; what one clause says may hold for the next."""
    out: list[Stand] = []
    for i, clause in enumerate(found.clauses):
        asked = i > 0 and found.words[found.clauses[i - 1].end - 1] == "?" and out[i - 1].mode == "recap"
        before = out[i - 1] if asked or (i and found.clauses[i - 1].sentence == clause.sentence) else None
        out.append(_stand(found, clause, cues[i], before))
    _look_back(found, out, cues)
    return out


def _ids(found: Reading, clause: Clause) -> set[str]:
    return {f.id for f in found.within(found.modes, clause) if not (f.id == "plan" and _is_in_fault(found, f))}


def _is_in_fault(found: Reading, find: Find) -> bool:
    """ "Will not hold its pitch when ..." is no plan."""
    return any(f.start <= find.start < f.end for f in found.symptoms)


def _has_maker(found: Reading, clause: Clause) -> bool:
    return any(w in _MAKER for w in found.words[clause.start : clause.end])


def _stand(found: Reading, clause: Clause, cue: Find | None, before: Stand | None) -> Stand:
    none = {f.id for f in found.within(found.none, clause) if not _is_own_doing(found, f)}
    maker = _has_maker(found, clause)
    if before and before.mode is None and not _starts_anew(found, clause):
        return Stand(None, before.rule)
    for kind in ("tools", "history", "others", "camera", "talk", "rule"):
        if kind in none and not _excuses(found, clause, kind, cue, maker):
            return Stand(None, kind)
    if _is_wished(found, clause, cue):
        return Stand(None, "would but does not")
    if _is_told_you(found, clause, cue):
        return Stand(None, "told to anyone")
    if _is_negated(found, clause, cue):
        return Stand("negated", "negated")
    ids = _ids(found, clause)
    tense = _tense(found, clause, cue)
    if "day" in ids and not _is_until(found, clause):
        ids = ids | ({"recap"} if tense == "past" else {"plan"})
    if "plan" in ids and not _is_done_now(found, clause, cue, tense):
        weekday = _only_weekday(found, clause)
        if not (weekday and tense == "past"):
            return Stand("plan", "plan")
    if "sofar" in ids and tense == "past":
        return Stand("recap", "told of this sitting")
    if "recap" in ids and tense != "now":
        return Stand("recap", "recap")
    if before and before.mode in ("plan", "recap") and "now" not in ids:
        if before.mode == "recap" and tense in ("past", "none"):
            return Stand("recap", "recap goes on")
        if before.mode == "plan" and tense in ("none", "base", "future"):
            return Stand("plan", "plan goes on")
    if before and before.mode == "negated" and found.words[clause.start] in ("or", "nor", "before", "until"):
        return Stand("negated", "negated goes on")
    return Stand("done", "done")


def _is_own_doing(found: Reading, find: Find) -> bool:
    """ "I am not clipping it, that's for good": doing, not a rule about clipping."""
    before = found.plain[find.start - 1] if find.start else "."
    return found.plain[find.start].endswith("ing") and before in (
        "not",
        "am",
        "are",
        "just",
        "keep",
        "finished",
        "started",
        "start",
        "done",
        "been",
        "now",
        "still",
        "only",
        "'s",
    )


def _starts_anew(found: Reading, clause: Clause) -> bool:
    """ "... so I", "now let me", "but today": the maker's own work begins after a rule or a tale."""
    words = found.words[clause.start : clause.start + 4]
    return bool({"i", "we", "let", "mine", "today", "now", "here", "tonight"} & set(words))


def _excuses(found: Reading, clause: Clause, kind: str, cue: Find | None, maker: bool) -> bool:
    """A none-cue that does not hold: the maker speaks of a strong piece of work in the same breath."""
    if cue is None:
        return False
    if kind in ("camera", "talk"):
        return maker and cue.id.endswith("/") and cue.id != "inspect/"
    return False


def _is_wished(found: Reading, clause: Clause, cue: Find | None) -> bool:
    """ "I'd retire it, but it's my only one": work that is only thought of."""
    if cue is None or "would" not in found.words[clause.start : cue.start]:
        return False
    rest = found.words[clause.end : clause.end + 6]
    return bool({"but", "if", "were"} & set(rest)) or "if" in found.words[clause.start : clause.end]


def _is_told_you(found: Reading, clause: Clause, cue: Find | None) -> bool:
    """ "You squeeze the second wire": said of anyone who makes reeds."""
    before = found.words[max(clause.start, cue.start - 3) : cue.start] if cue else []
    if cue and before[-1:] in (["he"], ["she"], ["they"]) and cue.id.split("/")[0] in _HANDIWORK:
        return True  # "he threw it away", "they measure everything"
    asked = found.words[clause.start : clause.start + 2] == ["now", "you"]
    return "you" in before and "dare" not in before and not asked


def _tense(found: Reading, clause: Clause, cue: Find | None) -> str:
    """past, now (am scraping), future (will), base or none: read off the words before the cue and the cue itself."""
    words = found.words[clause.start : clause.end]
    upto = found.words[clause.start : cue.start] if cue else words
    if any(w in ("will", "shall") for w in words):
        return "future"
    if any(w in ("am", "let") for w in upto) or any(a == "are" and b.endswith("ing") for a, b in pairwise(words)):
        return "now"
    if any(
        w
        in (
            "did",
            "was",
            "were",
            "had",
            "went",
            "took",
            "got",
            "helped",
            "made",
            "came",
            "have",
            "has",
            "tried",
            "gave",
        )
        for w in words
    ):
        return "past"
    if any(a in ("i", "we") and b.endswith("ed") for a, b in pairwise(words)):
        return "past"
    if cue is None:
        return "none"
    first = found.words[cue.start]
    if upto[-1:] in (["to"], ["must"], ["can"], ["could"], ["would"]):
        return "base"
    if first.endswith("ed") or first in ("cut", "took", "put", "blew", "ground", "ran"):
        return "past"
    return "base"


def _is_until(found: Reading, clause: Clause) -> bool:
    """ "Until Thursday", "for Friday's sake": the day ends something and does not place it."""
    days = [f for f in found.within(found.modes, clause) if f.id == "day"]
    return all(
        f.start and found.words[f.start - 1] in ("until", "till", "before", "by", "last", "next", "since", "for")
        for f in days
    )


def _only_weekday(found: Reading, clause: Clause) -> bool:
    plans = [f for f in found.within(found.modes, clause) if f.id == "plan"]
    days = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "this evening")
    return all(any(w in days for w in found.words[f.start : f.end]) for f in plans)


def _is_done_now(found: Reading, clause: Clause, cue: Find | None, tense: str) -> bool:
    """ "I am putting it away until Thursday", "I want to take a bit off here": a plan's word, but done at once."""
    plans = [f for f in found.within(found.modes, clause) if f.id in ("plan", "day")]
    if tense != "past" and plans and all(f.start and found.words[f.start - 1] in ("until", "till") for f in plans):
        return True
    said = [" ".join(found.words[f.start : f.end]) for f in plans]
    soft = all(
        s.startswith(
            (
                "i want",
                "we want",
                "want to",
                "i would like",
                "i need",
                "we need",
                "i have to",
                "we have to",
                "like to",
                "i must",
                "i should",
                "we should",
            )
        )
        for s in said
    )
    ids = _ids(found, clause)
    if soft and ("now" in ids):
        return True
    if tense == "now" and cue is not None and all(f.start > cue.start for f in plans):
        return not any("need" in s or "next" in s or "tomorrow" in s for s in said)
    return False


def _is_negated(found: Reading, clause: Clause, cue: Find | None) -> bool:
    negations = [f for f in found.within(found.modes, clause) if f.id == "negated"]
    for find in negations:
        words = found.plain[find.start : find.end]
        after = found.plain[find.end] if find.end < len(found.plain) else "."
        if words[0] == "no" and after in _INTERJECTION | _NO_FAULT:
            continue
        if words[-1] == "not" and after in _NOT_NEGATING:
            continue
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


def _look_back(found: Reading, out: list[Stand], cues: list[Find | None]) -> None:
    """ "We've done the rails, so far so good": a closing cue tells how the clauses before it stand."""
    for i in range(len(out) - 1, 0, -1):
        clause, before = found.clauses[i], found.clauses[i - 1]
        if (
            out[i].rule in ("rule", "told to anyone")
            and clause.sentence == before.sentence
            and _is_all_one_rule(found, clause, before)
        ):
            out[i - 1] = Stand(None, "part of a rule")
        asked = found.words[before.end - 1] == "?" and clause.sentence == before.sentence + 1
        if asked and cues[i] is None and out[i - 1].mode in ("done", "plan") and _is_short_no(found, clause):
            out[i - 1] = Stand("negated", "asked and denied")
        if clause.sentence != before.sentence or out[i - 1].mode not in ("done", "plan"):
            continue
        late = {
            " ".join(found.words[f.start : f.end]).strip() for f in found.within(found.modes, clause) if f.id == "recap"
        }
        if out[i].mode == "recap" and (
            late & {"so far", "already", "earlier"} or any("remember" in w or "recall" in w for w in late)
        ):
            out[i - 1] = Stand("recap", "recap looks back")
        if out[i].rule == "recap looks back" and _tense(found, before, cues[i - 1]) == "past":
            out[i - 1] = Stand("recap", "recap looks back")
        if cues[i] is None and (out[i].rule == "refusal" or _is_refusal(found, clause)):
            out[i - 1] = Stand("negated", "refusal")
        if out[i].mode == "plan" and _is_condition(found, before):
            out[i - 1] = Stand("plan", "condition of a plan")
        plans = {" ".join(found.words[f.start : f.end]) for f in found.within(found.modes, clause) if f.id == "plan"}
        if (
            out[i].mode == "plan"
            and cues[i] is None
            and any("wait" in p or p.startswith(("next", "tomorrow", "job", "that is for")) for p in plans)
        ):
            out[i - 1] = Stand("plan", "plan looks back")


def _is_all_one_rule(found: Reading, clause: Clause, before: Clause) -> bool:
    """ "If the crow is low, you clip", "don't touch the heart, that is the rule": both halves are the rule."""
    said = found.words[clause.start : clause.start + 2] in (["that", "is"], ["that", "'s"])
    return said or found.words[before.start] in ("if", "when", "whenever")


def _is_refusal(found: Reading, clause: Clause) -> bool:
    """ "... but I don't think this one needs it": takes back what was offered before."""
    words = set(found.words[max(0, clause.start - 3) : clause.end])
    if "wait" in words and {"going", "will", "let", "better"} & words and {"actually", "no", "but", "maybe"} & words:
        return True
    return (
        "not" in words and bool(words & {"need", "needs", "bother", "worth", "necessary"}) and not (words & {"forget"})
    )


def _is_short_no(found: Reading, clause: Clause) -> bool:
    words = found.words[clause.start : clause.end]
    return len(words) <= 7 and bool({"no", "not", "never", "nope", "nah"} & set(words))


def _is_condition(found: Reading, clause: Clause) -> bool:
    return found.words[clause.start] in ("if", "once", "when", "after", "unless")
