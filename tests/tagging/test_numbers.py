"""Numbers and units as they are said."""

from __future__ import annotations

import pytest

from annotate.tagging.spoken import amounts, decimal


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("one point six millimetres", [("1.6", "mm")]),
        ("three sixteenths", [("0.1875", None)]),
        ("six hundred paper", [("600", "grit")]),
        ("seventy percent humidity", [("70", "%")]),
        ("point oh nine", [("0.09", None)]),
        ("nought point three", [("0.3", None)]),
        ("twenty cents flat", [("20", "cents")]),
        ("eight strokes", [("8", "strokes")]),
        ("six light strokes", [("6", "strokes")]),
        ("half a dozen strokes", [("6", "strokes")]),
        ("half a turn", [("0.5", "turns")]),
        ("three quarters of a turn", [("0.75", "turns")]),
        ("fifteen hundred grit", [("1500", "grit")]),
        ("three twenty grit", [("320", "grit")]),
        ("a hundred and twenty strokes", [("120", "strokes")]),
        ("fifty four point five", [("54.5", None)]),
        ("two tenths of a millimetre", [("0.2", "mm")]),
        ("four hundred forty two hertz", [("442", "Hz")]),
        ("for a minute", [("1", "min")]),
        ("thirty seconds", [("30", "s")]),
        ("twenty two degrees and forty percent", [("22", "°"), ("40", "%")]),
        ("one comma four millimeter", [("1.4", "mm")]),
        ("the third wire and the second wire", []),
        ("this one and that one", [("1", None), ("1", None)]),
        ("3/0 of it", []),
        ("", []),
    ],
)
def test_said_amounts(said: str, expected: list[tuple[str, str | None]]) -> None:
    assert [(str(decimal(a.value)), a.unit) for a in amounts(said.split())] == expected
