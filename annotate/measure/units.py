"""Quantities, their units, and exact conversion.

Conversion factors: NIST SP 811 (2008), appendix B: 1 inch = 25.4 mm exactly;
t/°C = (t/°F - 32) / 1.8 exactly. A thou is a thousandth of an inch (trade
usage).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from annotate.errors import BadInput, BadUnit
from annotate.model import Reading

MM_PER_INCH = Decimal("25.4")

FURTHEST_DIGIT = 12  # powers of ten away from one
LONGEST_NUMBER = 40  # characters

METRIC = ("mm", "cm")
LENGTH = (*METRIC, "in", "thou")


@dataclass(frozen=True)
class Quantity:
    """What can be measured: label for pages, units that fit (the first is the usual one), plausible span in that unit.

    The span only catches slips of the pen (a factor of ten); it is wide and a
    common-practice guess without source.
    """

    id: str
    label: str
    units: tuple[str, ...]
    lowest: Decimal
    highest: Decimal


def _quantity(key: str, label: str, units: tuple[str, ...], lowest: str, highest: str) -> Quantity:
    return Quantity(key, label, units, Decimal(lowest), Decimal(highest))


QUANTITIES = {
    q.id: q
    for q in (
        _quantity("tip_opening", "Tip opening", LENGTH, "0", "10"),
        _quantity("thickness", "Thickness", LENGTH, "0", "10"),
        _quantity("length", "Length", LENGTH, "0", "300"),
        _quantity("width", "Width", LENGTH, "0", "60"),
        _quantity("wire_distance", "Wire distance", LENGTH, "0", "80"),
        _quantity("diameter", "Diameter", LENGTH, "0", "60"),
        _quantity("humidity", "Humidity", ("%",), "0", "100"),
        _quantity("temperature", "Temperature", ("°C", "°F"), "-60", "100"),
        _quantity("grit", "Grit", ("grit",), "1", "20000"),
        _quantity("strokes", "Strokes", ("strokes",), "0", "10000"),
        _quantity("time", "Time", ("s", "min", "h", "d"), "0", "100000000"),
        _quantity("pitch", "Pitch", ("Hz",), "1", "20000"),
        _quantity("cents", "Deviation in pitch", ("cents",), "-2400", "2400"),
        _quantity("count", "Count", ("pcs",), "0", "100000"),
    )
}

# Factor to the quantity's usual unit.
_TO_USUAL = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": Fraction(254, 10),
    "thou": Fraction(254, 10000),
    "s": Fraction(1),
    "min": Fraction(60),
    "h": Fraction(3600),
    "d": Fraction(86400),
}

UNIT_ALIASES = {
    "millimetre": "mm",
    "millimetres": "mm",
    "millimeter": "mm",
    "millimeters": "mm",
    "inch": "in",
    "inches": "in",
    '"': "in",
    "c": "°C",
    "f": "°F",
    "°c": "°C",
    "°f": "°F",
    "percent": "%",
    "hz": "Hz",
    "cent": "cents",
    "mil": "thou",
}


def quantity(name: str) -> Quantity:
    """The quantity of that id, or BadInput."""
    if name not in QUANTITIES:
        raise BadInput("is not a quantity", name or "(nothing)", f"Use one of {', '.join(QUANTITIES)}.")
    return QUANTITIES[name]


def unit_for(name: str, unit: str, written: str = "") -> str:
    """The unit as we write it, if it fits the quantity; BadUnit else.

    An empty unit is the usual one, but not for a value ``written`` as a fraction where inches may be meant.
    """
    allowed = quantity(name).units
    if "/" in written and not unit.strip() and "in" in allowed:
        raise BadUnit("is a fraction without its unit", written.strip(), f"Say {_either(allowed)}.")
    written = unit.strip()
    written = written if written in allowed else UNIT_ALIASES.get(written.lower(), written.lower())
    if not written:
        return allowed[0]
    if written not in allowed:
        raise BadUnit(f"is not a unit of {quantity(name).label.lower()}", unit, f"Use {_either(allowed)}.")
    return written


def _either(units: tuple[str, ...]) -> str:
    """``mm, cm or in``."""
    return " or ".join(part for part in (", ".join(units[:-1]), units[-1]) if part)


# A fraction, after whole ones or not: the sign is of both.
_IN_PARTS = re.compile(r"(-?)(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)", re.ASCII)


def number(text: str) -> Decimal:
    """Read ``1.6``, ``1,6``, ``3/16``, ``2 5/16`` or ``-2 5/16`` as a decimal of up to 28 digits; BadInput else."""
    cleaned = text.strip().replace(",", ".").replace("−", "-")
    try:
        parts = _IN_PARTS.fullmatch(cleaned)
        if parts is None:
            return _handy(Decimal(cleaned), text)
        sign, whole, over, under = parts.groups()
        value = int(whole or 0) + Fraction(int(over), int(under))
        return _handy(Decimal(-value.numerator if sign else value.numerator) / Decimal(value.denominator), text)
    except (InvalidOperation, ValueError, ZeroDivisionError):
        raise BadInput("is not a number", text or "(nothing)", "Write for example 1.6 or 3/16.") from None


def _handy(value: Decimal, text: str) -> Decimal:
    """A number that a bench can produce; not one with a thousand digits."""
    if not value.is_finite() or abs(value.adjusted()) > FURTHEST_DIGIT or len(text) > LONGEST_NUMBER:
        raise BadInput("is no number of a bench", text[:40], "Write for example 1.6 or 3/16.")
    return value


def convert(value: Decimal, unit: str, target: str) -> Decimal:
    """A value in another unit of the same kind, exact up to 28 digits; BadUnit when they do not go together."""
    if unit == target:
        return value
    if {unit, target} == {"°C", "°F"}:
        return (value - 32) / Decimal("1.8") if unit == "°F" else value * Decimal("1.8") + 32
    both_lengths = unit in LENGTH and target in LENGTH
    both_times = unit in ("s", "min", "h", "d") and target in ("s", "min", "h", "d")
    if not (both_lengths or both_times):
        raise BadUnit(f"cannot be turned into {target}", unit)
    factor = _TO_USUAL[unit] / _TO_USUAL[target]
    return value * Decimal(factor.numerator) / Decimal(factor.denominator)


def check_reading(reading: Reading) -> None:
    """Raise BadInput or BadUnit when unit or value do not fit the quantity."""
    what = quantity(reading.quantity)
    if reading.unit not in what.units:
        raise BadUnit(f"is not a unit of {what.label.lower()}", reading.unit, f"Use {_either(what.units)}.")
    usual = convert(reading.value, reading.unit, what.units[0])
    if not what.lowest <= usual <= what.highest:
        raise BadInput(
            f"cannot be a {what.label.lower()} of a reed or a bench",
            f"{plain(reading.value)} {reading.unit}",
            f"Give {what.lowest} to {what.highest} {what.units[0]}.",
        )


def plain(value: Decimal) -> str:
    """A decimal as written by hand: no exponent, no needless zeros beyond those given."""
    return f"{value:f}"


def shown(value: Decimal, unit: str) -> str:
    """A value with its unit, for reading."""
    gap = "" if unit in ("%",) else " "
    return f"{plain(value)}{gap}{unit}"


def both_lengths(value: Decimal, unit: str) -> str:
    """A length in millimetres and inches, the given one first: ``5.0 mm (0.197 in)``."""
    if unit not in LENGTH:
        return shown(value, unit)
    if unit in METRIC:
        return f"{shown(value, unit)} ({convert(value, unit, 'in').quantize(Decimal('0.001')):f} in)"
    return f"{shown(value, unit)} ({convert(value, unit, 'mm').quantize(Decimal('0.01')):f} mm)"


def beside(value: Decimal, unit: str, other_unit: str) -> str:
    """An amount as it stands beside one in ``other_unit``: metric or inch first, as that one; the given one is kept."""
    if unit not in LENGTH or other_unit not in LENGTH or (unit in METRIC) == (other_unit in METRIC):
        return both_lengths(value, unit)
    first, step = ("mm", "0.01") if other_unit in METRIC else ("in", "0.001")
    return f"{convert(value, unit, first).quantize(Decimal(step)):f} {first} ({shown(value, unit)})"
