"""Units that were not said, where size and words leave no doubt which is meant."""

from __future__ import annotations

from fractions import Fraction

from annotate.tagging.sentence import Clause, Reading
from annotate.tagging.spoken import Amount

LENGTHS = ("mm", "cm", "in", "thou", "µm")


def hundredths_before(found: Reading, clause: Clause, amount: Amount) -> Fraction | None:
    """ "Nine hundredths left, eleven right": the part said before holds for the next number of the line."""
    near = [a for a in found.amounts if a.end <= amount.start and amount.start - a.end <= 8 and a.part in (10, 100)]
    whole = amount.value.denominator == 1 and 2 <= amount.value < 100
    after = found.words[amount.end]
    if not near or not whole or after not in ("at", "on", "in", "left", "right", "_", ".", ",", "behind", "the"):
        return None
    return amount.value / near[-1].part


def like_before(found: Reading, clause: Clause, amount: Amount) -> str | None:
    """ "Ten thou at the collar and four at the tip": the unit said before holds for a number with its place."""
    after = found.words[amount.end] if amount.end < len(found.words) else "."
    before = [a for a in found.amounts if a.end <= amount.start and a.start >= clause.start - 12]
    if not before or after not in ("at", "on", "up", "down", "along", "by", "in", "across"):
        return None
    unit = before[-1].unit
    return unit if unit in LENGTHS or unit == "strokes" else None


def says_gauge(found: Reading, clause: Clause) -> bool:
    """A bare whole number is a thickness only where a gauge or the word itself stands near it."""
    near = set(found.words[max(0, clause.start - 8) : clause.end])
    return bool(
        near
        & {
            "gauge",
            "dial",
            "micrometer",
            "thickness",
            "thick",
            "caliper",
            "calipers",
            "measure",
            "measured",
            "measures",
            "indicator",
            "reads",
            "reading",
        }
    )


def plain_unit(quantity: str | None, value: Fraction) -> str | None:
    """The unit a bare number of this quantity can only have, or None."""
    if quantity == "tip_opening":
        return (
            "thou"
            if value >= 20
            else ("mm" if Fraction(3, 10) <= value <= 4 else ("in" if value < Fraction(15, 100) else None))
        )
    if quantity == "thickness":
        whole = value.denominator == 1
        return (
            "thou"
            if whole and 2 <= value <= 60
            else ("in" if value < Fraction(2, 100) else ("mm" if value <= Fraction(3, 2) else None))
        )
    decimals = value.denominator > 1
    if quantity == "length":
        return "mm" if 20 <= value <= 80 or (decimals and value < 3) else None
    if quantity == "width":
        return "mm" if 4 <= value <= 20 else None
    if quantity == "diameter":
        return "mm" if 3 <= value <= 12 and decimals else None
    if quantity == "wire_distance":
        return "mm" if value <= 12 and decimals else None
    return None
