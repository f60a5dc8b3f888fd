"""Quantities and units: reading, converting, refusing."""

from decimal import Decimal

import pytest

from annotate.errors import BadInput, BadUnit
from annotate.measure.units import beside, both_lengths, convert, number, unit_for


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1.6", "1.6"),
        ("1,6", "1.6"),
        ("-20", "-20"),
        ("−20", "-20"),
        ("3/16", "0.1875"),
        (" 3 / 16 ", "0.1875"),
        ("2 5/16", "2.3125"),
        ("2  5 / 16", "2.3125"),
        ("-2 5/16", "-2.3125"),
    ],
)
def test_numbers_as_written_at_the_bench(text: str, value: str) -> None:
    assert number(text) == Decimal(value)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "abc",
        "1/0",
        "1 2",
        "nan mm",
        "nan",
        "sNaN",
        "1e-200000",
        "1e99999999",
        "1 2 3/4",
        "3/4 3/4",
        "2 -5/16",
        "3/",
        "/16",
    ],
)
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match=r"is (not a|no) number"):
        number(text)


def test_units_are_known_by_their_names() -> None:
    assert unit_for("tip_opening", "millimetres") == "mm"
    assert unit_for("humidity", "") == "%"
    assert unit_for("temperature", "c") == "°C"
    with pytest.raises(BadUnit, match="Use mm, cm, in or thou"):
        unit_for("length", "kg")


def test_lengths_show_both_systems_the_given_one_first() -> None:
    assert both_lengths(Decimal("5.0"), "mm") == "5.0 mm (0.197 in)"
    assert both_lengths(Decimal("4"), "thou") == "4 thou (0.10 mm)"
    assert both_lengths(Decimal("70"), "%") == "70%"


@pytest.mark.parametrize(
    ("value", "unit", "other", "text"),
    [
        ("3", "thou", "mm", "0.08 mm (3 thou)"),
        ("5.0", "mm", "in", "0.197 in (5.0 mm)"),
        ("5.0", "mm", "cm", "5.0 mm (0.197 in)"),
        ("-3", "cents", "cents", "-3 cents"),
    ],
)
def test_amounts_stand_beside_one_another(value: str, unit: str, other: str, text: str) -> None:
    assert beside(Decimal(value), unit, other) == text


def test_what_does_not_go_together_is_refused() -> None:
    with pytest.raises(BadUnit, match="cannot be turned into"):
        convert(Decimal(1), "mm", "Hz")


def test_a_fraction_of_a_length_needs_its_unit() -> None:
    with pytest.raises(BadUnit, match="a fraction without its unit"):
        unit_for("tip_opening", "", "3/16")
    assert unit_for("tip_opening", "in", "3/16") == "in"
    assert unit_for("tip_opening", "", "1.6") == "mm"
    assert unit_for("strokes", "", "1/2") == unit_for("strokes", "")
