"""When a clause speaks of: the tense of its verb, and whether a time named places the work or only ends it."""

from __future__ import annotations

from itertools import pairwise

from annotate.tagging.forms import PAST, bag
from annotate.tagging.patterns import Find
from annotate.tagging.sentence import Clause, Reading

# A cue that begins with one of these names the work without a verb ("eight strokes off each rail").
_NOUNS = bag(
    "stroke strokes pass passes swipes swipe scrapes licks a an another one two three four five six seven eight nine "
    "ten eleven twelve fifteen twenty thirty few couple some bit little half quick more"
)


def tense_of(found: Reading, clause: Clause, cue: Find | None) -> str:
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
    if any(a in ("i", "we") and (b.endswith("ed") or b in PAST) for a, b in pairwise(words)):
        return "past"
    if cue is None:
        return "none"
    first = found.words[cue.start]
    if first in _NOUNS or first[0].isdigit():
        return "none"
    if {"needs", "wants", "need", "want"} & set(upto):
        return "base"  # "needs the wings thinned"
    if upto[-1:] in (["to"], ["must"], ["can"], ["could"], ["would"]):
        return "base"
    if first.endswith("ed") or first in ("cut", "took", "put", "blew", "ground", "ran"):
        return "past"
    return "base"


def is_until(found: Reading, clause: Clause) -> bool:
    """ "Until Thursday", "for Friday's sake": the day ends something and does not place it."""
    days = [f for f in found.within(found.modes, clause) if f.id == "day"]
    return all(
        f.start and found.words[f.start - 1] in ("until", "till", "before", "by", "last", "next", "since", "for")
        for f in days
    )


def only_weekday(found: Reading, clause: Clause) -> bool:
    plans = [f for f in found.within(found.modes, clause) if f.id == "plan"]
    days = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "this evening")
    return all(any(w in days for w in found.words[f.start : f.end]) for f in plans)


def is_done_now(found: Reading, clause: Clause, cue: Find | None, tense: str) -> bool:
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
    ids = mode_ids(found, clause)
    if soft and ("now" in ids):
        return True
    if tense == "now" and cue is not None and all(f.start > cue.start for f in plans):
        return not any("need" in s or "next" in s or "tomorrow" in s for s in said)
    return False


def mode_ids(found: Reading, clause: Clause) -> set[str]:
    return {f.id for f in found.within(found.modes, clause) if not (f.id == "plan" and _is_in_fault(found, f))}


def _is_in_fault(found: Reading, find: Find) -> bool:
    """ "Will not hold its pitch when ..." is no plan."""
    return any(f.start <= find.start < f.end for f in found.symptoms)
