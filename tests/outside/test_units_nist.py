"""Conversion against NIST Special Publication 811 (2008), appendix B.

B.8: inch to metre 2.54 E-02 (exact); mil (0.001 in) to millimetre 2.54 E-02
(exact); degree Fahrenheit to degree Celsius t = (t_F - 32)/1.8 (exact).
"""

from decimal import Decimal

import pytest

from annotate.measure.units import convert


@pytest.mark.outside
@pytest.mark.parametrize(
    ("value", "unit", "target", "expected"),
    [
        ("1", "in", "mm", "25.4"),
        ("0.1875", "in", "mm", "4.7625"),
        ("1", "thou", "mm", "0.0254"),
        ("31.4", "thou", "mm", "0.79756"),
        ("25.4", "mm", "in", "1"),
        ("70", "°F", "°C", "21.11111111111111111111111111"),
        ("20", "°C", "°F", "68.0"),
    ],
)
def test_nist_sp_811(value: str, unit: str, target: str, expected: str) -> None:
    assert convert(Decimal(value), unit, target) == Decimal(expected)
