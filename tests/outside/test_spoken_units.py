"""Inches in words against the exact conversion factor of NIST SP 811.

Source: A. Thompson, B. N. Taylor, Guide for the Use of the International
System of Units (SI), NIST Special Publication 811, 2008 edition, appendix B.8:
inch to metre 2.54 E-02 (exact, printed bold), mil (0.001 in) to metre
2.54 E-05 (exact). Factors below are written out from it; millimetre values
are those factors multiplied by hand.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from annotate.errors import BadUnit
from annotate.tagging.spoken import amounts, decimal, to_mm

pytestmark = pytest.mark.outside


@pytest.mark.parametrize(
    ("said", "value", "unit", "mm"),
    [
        ("one inch", "1", "in", "25.4"),
        ("one and one eighth inches", "1.125", "in", "28.575"),
        ("three sixteenths of an inch", "0.1875", "in", "4.7625"),
        ("five sixteenths of an inch", "0.3125", "in", "7.9375"),
        ("an eighth of an inch", "0.125", "in", "3.175"),
        ("one sixty fourth of an inch", "0.015625", "in", "0.396875"),
        ("two and five sixteenths inches", "2.3125", "in", "58.7375"),
        ("thirty second of an inch", "0.03125", "in", "0.79375"),
        ("four thou", "4", "thou", "0.1016"),
        ("fifteen thousandths of an inch", "15", "thou", "0.381"),
        ("thirty one point four thou", "31.4", "thou", "0.79756"),
        ("half an inch", "0.5", "in", "12.7"),
        ("1 3/16 inches", "1.1875", "in", "30.1625"),
    ],
)
def test_inches_in_words(said: str, value: str, unit: str, mm: str) -> None:
    found = [a for a in amounts(said.split()) if a.unit == unit]
    assert [str(decimal(a.value)) for a in found] == [value]
    assert to_mm(found[0].value, unit) == Fraction(mm)


def test_the_factor_is_exact() -> None:
    assert to_mm(Fraction(1), "in") == Fraction("25.4")
    assert to_mm(Fraction(1), "thou") * 1000 == to_mm(Fraction(1), "in")


def test_sixteenths_all_agree_with_the_factor() -> None:
    names = "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen".split()  # noqa: SIM905
    for n, name in enumerate(names, start=1):
        part = "sixteenth" if n == 1 else "sixteenths"
        (found,) = amounts([name, part, "of", "an", "inch"])
        assert to_mm(found.value, "in") == Fraction(n * 254, 160)


def test_decimal_is_exact_where_it_ends() -> None:
    assert decimal(Fraction(3, 16)) == Decimal("0.1875")
    assert decimal(Fraction(1, 3)) == Decimal("0.333333")
    assert decimal(Fraction(600)) == Decimal("600")


def test_a_grit_is_no_length() -> None:
    with pytest.raises(BadUnit, match=r"“grit” is not a unit of length"):
        to_mm(Fraction(600), "grit")
