"""Numbers that tell the work: strokes counted at a place, a grit, an amount taken off."""

from __future__ import annotations

from annotate.tagging.forms import bag
from annotate.tagging.lexicon import BLADE_ZONES
from annotate.tagging.patterns import Find
from annotate.tagging.sentence import Clause, Reading
from annotate.tagging.spoken import Amount

GRITS = frozenset((150, 180, 220, 240, 280, 320, 360, 400, 500, 600, 800, 1000, 1200, 1500, 2000, 2500, 3000, 4000))
_STROKED = bag("rails channels wings back heart corners tip spine collar windows")
_GAUGES = bag("gauge dial micrometer thickness thick measure measured measures reads reading thou mm indicator")


def by_numbers(found: Reading, clause: Clause, zones: set[str], carried: tuple[str, ...]) -> Find | None:
    """ "Six on the left rail" is strokes, "with eight hundred" is paper, though no verb says so."""
    if names_paper(found, clause):
        return Find("sand/", clause.start, clause.end, "paper named")
    for a in found.amounts:
        after = found.words[a.end] if a.end < len(found.words) else "."
        if clause.holds(a) and a.unit in ("mm", "thou", "in", "µm") and after in ("off", "out") and zones & BLADE_ZONES:
            return Find("scrape/cane", a.start, a.end, "amount off a place")
    places = zones or set(carried)
    if not places & _STROKED or _GAUGES & set(found.words[max(0, clause.start - 8) : clause.end]):
        return None
    for a in found.amounts:
        if clause.holds(a) and counts_strokes(found, a) and (zones or _is_of_strokes(found, a)):
            return Find("scrape/cane", a.start, a.end, "number of strokes at a place")
    return None


_AFTER_STROKES = bag("on up down along off across each per more apiece here there light gentle quick short . , at")


def _is_of_strokes(found: Reading, amount: Amount) -> bool:
    """ "Ten per side", "four more": strokes at the place named before."""
    return found.words[amount.end] in ("per", "each", "more", "apiece", "a")


def counts_strokes(found: Reading, amount: Amount) -> bool:
    """Whether a bare number can only be a number of strokes where cane is worked."""
    whole = amount.value.denominator == 1 and 2 <= amount.value <= 100 and amount.unit is None
    before = found.words[amount.start - 1] if amount.start else "."
    if not whole or before in _NAMED_BY_NUMBER or (len(before) == 1 and before.isalpha()) or amount.value in GRITS:
        return False
    if any(b.part in (10, 100) and 0 <= amount.start - b.end <= 8 for b in found.amounts):
        return False  # "eleven hundredths on the left and thirteen on the right"
    after = found.words[amount.end] if amount.end < len(found.words) else "."
    if after == "a":
        return found.words[amount.end + 1] == "side"
    if after in (",", "and") and _counts_on(found, amount):
        return False
    return after in _AFTER_STROKES


_NAMED_BY_NUMBER = bag("or to number wire wires blade blades reed grit point room page bar bars at the take minus")


def _counts_on(found: Reading, amount: Amount) -> bool:
    """ "Five, six, seven": only the last is said for all."""
    return any(
        b.start - amount.end <= 2 and b.start >= amount.end and b.value == amount.value + 1 for b in found.amounts
    )


def names_paper(found: Reading, clause: Clause) -> bool:
    """A grit or "with four hundred": the work is done with paper."""
    for amount in found.amounts:
        if not clause.holds(amount):
            continue
        before = found.words[amount.start - 1] if amount.start else ""
        after = found.words[amount.end] if amount.end < len(found.words) else "."
        if (
            amount.unit is None
            and amount.value in GRITS
            and amount.value >= 220
            and after in ("for", "on", "inside", "over")
        ):
            return True
        if amount.unit == "grit" or (
            amount.unit is None and amount.value in GRITS and before in ("with", "using", "the", "of")
        ):
            return True
    return False
