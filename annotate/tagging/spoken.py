"""Numbers with their units as they are said: "four thou", "six hundred paper", "an eighth of an inch".

A unit stays the one that was said. Unit ids are plain: ``mm cm in thou µm %
°C °F grit strokes turns times coats min s h d Hz cents``; ``°`` is a degree of
a scale that was not said. How they are said stands in the vocabulary
(``units.toml``).
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cache
from importlib import resources

from annotate.errors import BadUnit
from annotate.tagging.numerals import Amount, number_at

__all__ = ["INCH_PARTS", "Amount", "amounts", "decimal", "to_mm", "unit_at"]

INCH_PARTS = frozenset({8, 16, 32, 64})
# Counts take an adjective before them: "six light strokes".
_COUNTS = frozenset({"strokes", "turns", "half turns", "coats"})
_BETWEEN = frozenset(
    ("of", "a", "an", "the", "more", "light", "gentle", "very", "long", "short", "little", "good", "full", "quick",
     "tiny", "single", "slow", "small", "careful", "even", "firm", "soft", "fine", "easy")
)  # fmt: skip
_NO_ADJECTIVE = frozenset(
    ("and", "or", "on", "off", "to", "from", "for", "with", "then", "in", "at", "by", "is", "took")
)
_MM = {
    "mm": Fraction(1), "cm": Fraction(10), "in": Fraction(254, 10), "thou": Fraction(254, 10000),
    "µm": Fraction(1, 1000),
}  # fmt: skip


@cache
def _units() -> dict[tuple[str, ...], str]:
    text = resources.files("annotate.vocabulary").joinpath("units.toml").read_text("utf-8")
    return {tuple(said.split()): unit for unit, phrases in tomllib.loads(text)["units"].items() for said in phrases}


@cache
def _longest_unit() -> int:
    return max(map(len, _units()))


def to_mm(value: Fraction, unit: str) -> Fraction:
    """A length in millimetres, exactly.

    Parameters
    ----------
    value : Fraction
        The length in ``unit``.
    unit : str
        ``mm``, ``cm``, ``in``, ``thou`` or ``µm``.

    Returns
    -------
    Fraction
        Millimetres. Factor 25.4 mm to the inch: NIST SP 811 (2008), appendix B.8.
    """
    if unit not in _MM:
        raise BadUnit("is not a unit of length", unit or "(nothing)", f"Use one of {', '.join(_MM)}.")
    return value * _MM[unit]


def decimal(value: Fraction) -> Decimal:
    """The value as a decimal: exact where it ends within six places, else rounded there."""
    out = Decimal(value.numerator) / Decimal(value.denominator)
    out = round(out, 6).normalize()
    return out.quantize(Decimal(1)) if out == out.to_integral_value() else out


def amounts(words: Sequence[str]) -> list[Amount]:
    """Every number in the words, with its unit where one follows."""
    found: list[Amount] = []
    i = 0
    while i < len(words):
        number = number_at(words, i, unit_at)
        if number is None:
            i += 1
            continue
        one = _with_unit(words, number)
        before = found[-1] if found else None
        if before and _is_decimal_said_short(before, one, words):
            found[-1] = Amount(before.start, one.end, before.value + one.value / 10, one.unit)
        else:
            found.append(one)
        i = max(one.end, i + 1)
    return found


def _is_decimal_said_short(whole: Amount, tenths: Amount, words: Sequence[str]) -> bool:
    """ "Fifty-four eight on the rule" is 54.8; "two, four" and "five 5" are two numbers."""
    plain = whole.unit is None and not whole.part and not tenths.part and whole.end == tenths.start
    led = words[whole.start - 1] if whole.start else ""
    sizes = 10 < whole.value < 80 and whole.value.denominator == 1 and 1 <= tenths.value <= 9
    after = words[tenths.end] if tenths.end < len(words) else "."
    return (
        plain and sizes and after in ("on", "across", "by", "long", "wide", "overall") and led not in ("reed", "number")
    )


def _with_unit(words: Sequence[str], number: Amount) -> Amount:
    j = number.end
    if number.part == 1000:  # "four thousandths" is four of the unit the trade calls thou
        unit_end = j + 3 if tuple(words[j : j + 3]) == ("of", "an", "inch") else j
        return Amount(number.start, unit_end, number.value * 1000, "thou")
    limit = j + 3
    while j < min(len(words), limit):
        unit = unit_at(words, j)
        if unit and (j == number.end or unit[0] in _COUNTS or words[j - 1] in ("of", "a", "an", "more")):
            more = _and_part(words, unit[1])
            if more and number.value.denominator == 1:
                return Amount(number.start, more.end, number.value + more.value, unit[0], number.part)
            return Amount(number.start, unit[1], number.value, unit[0], number.part)
        if words[j] not in _BETWEEN and not _is_how(words, j):
            break
        j += 1
    if number.end < len(words) and words[number.end] in ("of",) and unit_at(words, number.end + 1) is None:
        return number
    return number


def _is_how(words: Sequence[str], j: int) -> bool:
    """ "Five cheeky little strokes": whatever word stands before the adjective of a count is one too."""
    unit = unit_at(words, j + 2)
    plain = words[j].isalpha() and words[j] not in _NO_ADJECTIVE
    return (
        plain
        and words[j + 1 : j + 2] != [","]
        and set(words[j + 1 : j + 2]) <= _BETWEEN
        and bool(unit and unit[0] in _COUNTS)
    )


def _and_part(words: Sequence[str], i: int) -> Amount | None:
    """ "A millimetre and three quarters", "two millimetres and a half"."""
    part = number_at(words, i + 1, unit_at) if tuple(words[i : i + 1]) == ("and",) and i + 1 < len(words) else None
    if part is None or not 0 < part.value < 1 or part.part not in (2, 3, 4, 8, 10, 16, 32):
        return None
    return part if unit_at(words, part.end) is None else None


def unit_at(words: Sequence[str], i: int) -> tuple[str, int] | None:
    """The unit said at position ``i`` and the position after it, or None."""
    for size in range(min(_longest_unit(), len(words) - i), 0, -1):
        unit = _units().get(tuple(words[i : i + size]))
        if unit:
            return unit, i + size
    return None
