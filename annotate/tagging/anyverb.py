"""Work said with a verb nobody foresaw: "I'm hoovering the rails", "let me baptise the second wire".

What is done to a place tells the step: cane places are scraped, wires worked,
the aperture opened or closed. Only doing verbs of the maker's own count, with
the place as their object.
"""

from __future__ import annotations

from annotate.tagging.forms import bag, forms
from annotate.tagging.lexicon import BLADE_ZONES, WIRE_ZONES
from annotate.tagging.patterns import Find
from annotate.tagging.sentence import Clause, Reading

_SUBJECTS = bag("i we us me am are")
_ALSO = bag("just now then also so lightly gently quickly carefully slowly really only still again first finally _")
_OBJECT = bag(
    "the a an its that this both each all my those these left right upper lower top bottom wire up down out off over "
    "at in on away back along across into very little bit of two same other outer inner one _"
)
# Seeing, having, being, speaking: verbs that do nothing to the reed.
_IDLE = (
    "be have do see look hear listen feel know think say tell like love hate want need hope wish remember forget "
    "mean mind trust miss call name show explain describe film record mention discuss talk speak watch wait worry "
    "wonder find notice note believe guess prefer keep leave let get go come stay stop start try use compare check "
    "inspect measure examine study own buy sell order bring lose break ruin avoid spare skip omit ignore respect "
    "protect save learn teach read write draw mark sign photograph judge blame fear care understand can will would "
    "should could must may might shall play hit happen become seem appear make give take put hold "
    "support steady brace cradle rest"
)
_IDLE_FORMS = frozenset(form for verb in _IDLE.split() for form in forms(verb))
_NO_VERB = _IDLE_FORMS | bag(
    "not no never very too quite rather almost about around to of for with from and or but as than that if when "
    "in on at by under over up down out off here there always often happy glad sorry afraid sure fond proud ready "
    "done tired aware careful good better going getting using having being all more less much many gonna"
)


def any_verb(found: Reading, clause: Clause) -> Find | None:
    """The step of a doing verb of the maker's own with a place right after it, or None."""
    words = found.words
    for place in found.within(found.places, clause):
        kind, zone = place.id.split(":")
        step = _step(zone) if kind == "zones" else None
        if step is None:
            continue
        i = place.start - 1
        while i > clause.start and words[i] in _OBJECT:
            i -= 1
        if i < clause.start or words[i] in _NO_VERB or not words[i].isalpha() or len(words[i]) < 3:
            continue
        if _is_doing(words, i, clause):
            return Find(step, i, i + 1, "any verb with a place")
    return None


def _step(zone: str) -> str | None:
    if zone in WIRE_ZONES:
        return "wires/"
    if zone == "opening":
        return "opening/"
    return "scrape/" if zone in BLADE_ZONES else None


def _is_doing(words: list[str], i: int, clause: Clause) -> bool:
    """ "I am x-ing", "let me x", "I x", "X-ing" at the head."""
    j = i - 1
    while j >= clause.start and words[j] in _ALSO:
        j -= 1
    at_head = j < clause.start or words[j] in (",", ".", "and", "then")
    if at_head:
        return (words[i].endswith("ing") and len(words[i]) > 5) or _is_told_short(words, i, j, clause)
    if words[j] == "to":
        return words[j - 1] in ("going", "want", "need", "start")
    if words[j] in ("am", "are"):
        return words[i].endswith("ing")
    return words[j] in _SUBJECTS or (words[j] in ("will", "have") and words[j - 1] in ("i", "we"))


def _is_told_short(words: list[str], i: int, j: int, clause: Clause) -> bool:
    """ "Razored the right corner a hair": the past at the head of a note, its subject left out."""
    first = j < clause.start or words[j] == "."
    return first and words[i].endswith("ed") and len(words[i]) > 5 and words[i + 1] in ("the", "both", "each")
