"""How a clause stands to the work: done, plan, recap, negated, or none of the maker's work here."""

from __future__ import annotations

from dataclasses import dataclass

from annotate.tagging.forms import bag
from annotate.tagging.negation import is_negated, is_refusal, is_short_no
from annotate.tagging.patterns import Find
from annotate.tagging.sentence import Clause, Reading
from annotate.tagging.tenses import is_done_now, is_until, mode_ids, only_weekday, tense_of
from annotate.tagging.tokens import is_participle

_MAKER = bag("i we me us")
_THINGS = bag("blade blades reed today tonight yesterday it that this one side wire let here there what which morning")
_HANDIWORK = bag("retire measure clip scrape sand wires ream profile form soak opening inspect")


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
        stand = _stand(found, clause, cues[i], before)
        if stand.mode == "done" and i and _is_promised(found, clause, cues[i], found.clauses[i - 1]):
            stand = Stand("plan", "promised on a condition")
        out.append(stand)
    _look_back(found, out, cues)
    return out


def _has_maker(found: Reading, clause: Clause) -> bool:
    return any(w in _MAKER for w in found.words[clause.start : clause.end])


def _stand(found: Reading, clause: Clause, cue: Find | None, before: Stand | None) -> Stand:
    none = {
        f.id
        for f in found.within(found.none, clause)
        if not (_is_own_doing(found, f) or _is_in_time(found, f) or _is_of_thing(found, f))
    }
    maker = _has_maker(found, clause)
    if before and before.mode is None and not _starts_anew(found, clause):
        return Stand(None, before.rule)
    for kind in ("tools", "history", "others", "camera", "talk", "rule"):
        if kind in none and not _excuses(found, clause, kind, cue, maker):
            return Stand(None, kind)
    if _is_asking(found, clause):
        return Stand(None, "asked")
    if _is_wished(found, clause, cue):
        return Stand(None, "would but does not")
    if _is_told_you(found, clause, cue):
        return Stand(None, "told to anyone")
    if is_negated(found, clause, cue):
        return Stand("negated", "negated")
    ids = mode_ids(found, clause)
    tense = tense_of(found, clause, cue)
    if "day" in ids and not is_until(found, clause):
        ids = ids | ({"recap"} if tense == "past" else {"plan"})
    if "recap" in ids and _is_had(found, clause):
        ids = ids - {"plan"}
    if "plan" in ids and not is_done_now(found, clause, cue, tense):
        weekday = only_weekday(found, clause)
        if not (weekday and tense == "past"):
            return Stand("plan", "plan")
    if "sofar" in ids and tense == "past":
        return Stand("recap", "told of this sitting")
    if "recap" in ids and tense != "now":
        return Stand("recap", "recap")
    if before and before.mode in ("plan", "recap") and "now" not in ids:
        listing = found.text[found.tokens[clause.start - 1].start] == ":" or before.rule == "listed after a colon"
        if before.mode == "recap" and listing and tense != "future" and not maker:
            return Stand("recap", "listed after a colon")
        listed = tense == "base" and found.words[clause.start] == "and" and not maker
        listed = listed or found.words[clause.start] == "when"
        if before.mode == "recap" and (tense in ("past", "none") or listed):
            return Stand("recap", "recap goes on")
        goes = [found.words[i : i + 2] for i in range(clause.start, clause.end)]
        if before.mode == "plan" and (tense in ("none", "base", "future") or ["going", "to"] in goes):
            return Stand("plan", "plan goes on")
    if before and before.mode == "negated" and found.words[clause.start] in ("or", "nor", "before", "until"):
        return Stand("negated", "negated goes on")
    return Stand("done", "done")


def _is_had(found: Reading, clause: Clause) -> bool:
    """ "Back in the spring I'd put new wires on it": before a time gone by 'd is had."""
    plans = [found.words[f.start : f.end] for f in found.within(found.modes, clause) if f.id == "plan"]
    return bool(plans) and all(said in (["i", "would"], ["we", "would"]) for said in plans)


def _is_own_doing(found: Reading, find: Find) -> bool:
    """ "I am not clipping it, that's for good": doing, not a rule about clipping."""
    before = found.plain[find.start - 1] if find.start else "."
    after = found.plain[find.end] if find.end < len(found.plain) else "."
    if found.plain[find.end - 1] == "always" and after in ("toward", "towards", "from", "with", "away", "in", "to"):
        return True  # "scraping the back, always toward the tip"
    if found.plain[find.start : find.end] == ["always"] and before in (
        "has",
        "is",
        "'s",
        "it",
        "she",
        "this",
        "still",
        "was",
    ):
        return True  # "the tone has always a noise with it": told of this reed
    if find.id == "rule" and found.plain[find.start : find.end] == ["must", "be"] and is_participle(after):
        return True  # "tonight it must be thrown away"
    if found.plain[find.start : find.end] == ["when", "you"] and after in (
        "come",
        "get",
        "go",
        "leave",
        "arrive",
        "next",
    ):
        return True  # said to a student: "when you come back on Friday we'll ..."
    if found.plain[find.start] == "by" and before in (
        "started",
        "start",
        "begin",
        "began",
        "finished",
        "ended",
        "finish",
    ):
        return True
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


def _is_in_time(found: Reading, find: Find) -> bool:
    """ "In the last video", "after the lesson": a time, and no talk of cameras or lunch."""
    return any(m.id in ("day", "recap") and m.start <= find.start and find.end <= m.end for m in found.modes)


def _is_of_thing(found: Reading, find: Find) -> bool:
    """ "The top blade's tip", "today's reed", "he won't go to the mark": nobody else's."""
    if find.id == "others" and found.plain[find.start] in ("he", "she"):
        people = [f for f in found.none if f.id in ("others", "history") and found.plain[f.start] not in ("he", "she")]
        return not people and any(f.start <= find.end + 2 and find.start < f.end for f in found.symptoms)
    if find.id in ("talk", "camera") and found.plain[max(0, find.start - 2) : find.start] in (
        ["as", "a"],
        ["like", "a"],
    ):
        return True  # "as brittle as a biscuit"
    if found.plain[find.end - 1 : find.end + 1] == ["shot", "glass"]:
        return True  # no shot of a camera
    return find.id == "others" and found.plain[find.start] in _THINGS and found.plain[find.start + 1] == "'s"


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


def _is_asking(found: Reading, clause: Clause) -> bool:
    """ "Shall I clip it or not?", "should the wires be that tight?": nothing is done yet."""
    said = [w for w in found.words[clause.start : clause.end] if w not in ("and", "so", "but", "or", "_", ",")]
    return said[-1:] == ["?"] and said[0] in ("shall", "should", "would", "must", "may") and said[1:2] != ["we"]


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
    seen = {"saw", "watched", "heard", "seen"} & set(found.words[clause.start : cue.start]) if cue else set()
    if seen and "me" in before:
        return False  # "you saw me file the rails"
    asked = found.words[clause.start : clause.start + 2] == ["now", "you"]
    return "you" in before and "dare" not in before and not asked


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
        offered = out[i - 1].mode in ("done", "plan") or (out[i - 1].rule == "asked" and cues[i - 1] is not None)
        if asked and cues[i] is None and offered and is_short_no(found, clause):
            out[i - 1] = Stand("negated", "asked and denied")
        if _is_wish_refused(found, clause, before, cues[i - 1], out[i - 1]):
            out[i - 1] = Stand("negated", "wished for and refused")
        if _is_unsaid(found, clause):
            _unsay(found, out, i)
        if clause.sentence != before.sentence or out[i - 1].mode not in ("done", "plan"):
            continue
        late = {
            " ".join(found.words[f.start : f.end]).strip() for f in found.within(found.modes, clause) if f.id == "recap"
        }
        if out[i].mode == "recap" and (
            late & {"so far", "already", "earlier"} or any("remember" in w or "recall" in w for w in late)
        ):
            out[i - 1] = Stand("recap", "recap looks back")
        if out[i].rule == "recap looks back" and tense_of(found, before, cues[i - 1]) == "past":
            out[i - 1] = Stand("recap", "recap looks back")
        if cues[i] is None and (out[i].rule == "refusal" or is_refusal(found, clause)):
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


def _is_wish_refused(found: Reading, clause: Clause, before: Clause, cue: Find | None, stand: Stand) -> bool:
    """ "He wants me to thin it, so I won't": what others wish is refused."""
    said = found.words[before.start : before.end]
    wished = any(said[i : i + 2] == ["me", "to"] for i in range(len(said)))
    return bool(cue) and wished and stand.mode in (None, "negated") and is_refusal(found, clause)


def _is_unsaid(found: Reading, clause: Clause) -> bool:
    """ "No I'm not", "no, that's wrong": a clause that says nothing but that the one before was not so."""
    said = [w for w in found.words[clause.start : clause.end] if w not in (",", ".", "_", "no")]
    return found.words[clause.start - 1] in ("no", ",", ".") and said in (["i", "am", "not"], ["we", "are", "not"])


def _unsay(found: Reading, out: list[Stand], at: int) -> None:
    """The last work told in the same sentence before ``at`` was a slip of the tongue."""
    for i in range(at - 1, -1, -1):
        if found.clauses[i].sentence != found.clauses[at].sentence:
            return
        if out[i].mode == "done" and found.words[found.clauses[i].start : found.clauses[i].end][:1] != ["no"]:
            out[i] = Stand(None, "said by mistake")
            return


def _is_all_one_rule(found: Reading, clause: Clause, before: Clause) -> bool:
    """ "If the crow is low, you clip", "don't touch the heart, that is the rule": both halves are the rule."""
    said = found.words[clause.start : clause.start + 2] in (["that", "is"], ["that", "'s"])
    return said or found.words[before.start] in ("if", "when", "whenever")


def _is_condition(found: Reading, clause: Clause) -> bool:
    first = next(
        (w for w in found.words[clause.start : clause.end] if w not in ("and", "but", "so", "then", ",", "_")), ""
    )
    return first in ("if", "once", "when", "after", "unless")


def _is_promised(found: Reading, clause: Clause, cue: Find | None, before: Clause) -> bool:
    """ "If the top notes still will not come, I'll pinch the wire": work that waits for something."""
    if clause.sentence != before.sentence or not _is_condition(found, before):
        return False
    return tense_of(found, clause, cue) == "future" and not {"now", "here"} & set(
        found.words[clause.start : clause.end]
    )
