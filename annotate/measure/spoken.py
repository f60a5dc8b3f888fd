"""Numbers and units as they are said: "three sixteenths", "point oh nine", "four thou".

Conventions
-----------
Words come in as a sequence of lower-case tokens without punctuation inside
("1.6", "3/16", "six", "hundred"). Spans are token positions, half-open.
Values are exact ``Fraction``. Unit ids are plain: ``mm cm in thou µm % °C °F
grit strokes turns min s h d Hz cents``. A unit stays the one that was said;
``to_mm`` converts lengths by the factors of NIST SP 811 (1 in = 25.4 mm).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from annotate.errors import BadUnit

_SMALL = {
    w: n
    for n, w in enumerate(
        [
            "zero",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        ]
    )
}
_TENS = {
    w: 10 * n
    for n, w in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], start=2)
} | {"fourty": 40}
_NOUGHT = frozenset(("oh", "o", "zero", "nought", "naught", "null"))
_PARTS = {
    "half": 2, "halves": 2, "third": 3, "quarter": 4, "fifth": 5, "sixth": 6, "eighth": 8, "tenth": 10,
    "sixteenth": 16, "twentieth": 20, "hundredth": 100, "thousandth": 1000,
}  # fmt: skip
_PARTS |= {f"{w}s": n for w, n in _PARTS.items() if w not in ("half", "halves")}
_TWO_WORD_PARTS = {("thirty", "second"): 32, ("sixty", "fourth"): 64}
_TWO_WORD_PARTS |= {(a, b + "s"): n for (a, b), n in list(_TWO_WORD_PARTS.items())}
_GLYPHS = {
    "½": Fraction(1, 2), "¼": Fraction(1, 4), "¾": Fraction(3, 4), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3),
    "⅛": Fraction(1, 8), "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip
INCH_PARTS = frozenset({8, 16, 32, 64})

# Longest first where one phrase begins another.
_UNITS: tuple[tuple[str, str], ...] = (
    ("thousandths of an inch", "thou"),
    ("thousandth of an inch", "thou"),
    ("thousandths of inch", "thou"),
    ("degrees celsius", "°C"),
    ("degree celsius", "°C"),
    ("degrees centigrade", "°C"),
    ("degrees c", "°C"),
    ("degrees fahrenheit", "°F"),
    ("degrees f", "°F"),
    ("° c", "°C"),
    ("° f", "°F"),
    ("°", "°"),
    ("degrees", "°"),
    ("degree", "°"),
    ("celsius", "°C"),
    ("centigrade", "°C"),
    ("fahrenheit", "°F"),
    ("per cent", "%"),
    ("percent", "%"),
    ("%", "%"),
    ("percents", "%"),
    ("millimetres", "mm"),
    ("millimetre", "mm"),
    ("millimeters", "mm"),
    ("millimeter", "mm"),
    ("mm", "mm"),
    ("mms", "mm"),
    ("mil", "mm"),
    ("mill", "mm"),
    ("m m", "mm"),
    ("mils", "thou"),
    ("centimetres", "cm"),
    ("centimetre", "cm"),
    ("centimeters", "cm"),
    ("centimeter", "cm"),
    ("cm", "cm"),
    ("microns", "µm"),
    ("micron", "µm"),
    ("micrometres", "µm"),
    ("µm", "µm"),
    ("um", "µm"),
    ("thou", "thou"),
    ("thous", "thou"),
    ("thow", "thou"),
    ("thousandths", "thou"),
    ("inches", "in"),
    ("inch", "in"),
    ('"', "in"),
    ("cents", "cents"),
    ("cent", "cents"),
    ("hertz", "Hz"),
    ("hz", "Hz"),
    ("cycles", "Hz"),
    ("minutes", "min"),
    ("minute", "min"),
    ("mins", "min"),
    ("min", "min"),
    ("seconds", "s"),
    ("second", "s"),
    ("secs", "s"),
    ("sec", "s"),
    ("hours", "h"),
    ("hour", "h"),
    ("hrs", "h"),
    ("days", "d"),
    ("day", "d"),
    ("nights", "d"),
    ("grit", "grit"),
    ("paper", "grit"),
    ("sandpaper", "grit"),
    ("grade", "grit"),
    ("abrasive", "grit"),
    ("wet and dry", "grit"),
    ("wet or dry", "grit"),
    ("micro mesh", "grit"),
    ("micromesh", "grit"),
    ("emery", "grit"),
    ("garnet", "grit"),
    ("strokes", "strokes"),
    ("stroke", "strokes"),
    ("passes", "strokes"),
    ("pass", "strokes"),
    ("scrapes", "strokes"),
    ("swipes", "strokes"),
    ("licks", "strokes"),
    ("flicks", "strokes"),
    ("rubs", "strokes"),
    ("pulls", "strokes"),
    ("draws", "strokes"),
    ("scratches", "strokes"),
    ("half turns", "half turns"),
    ("turns", "turns"),
    ("turn", "turns"),
    ("twists", "turns"),
    ("twist", "turns"),
    ("times", "times"),
    ("revolutions", "turns"),
    ("rotations", "turns"),
    ("wraps", "turns"),
    ("coats", "coats"),
)
_UNIT_WORDS = {tuple(said.split()): unit for said, unit in _UNITS}
_LONGEST_UNIT = max(map(len, _UNIT_WORDS))
_BETWEEN = frozenset(
    (
        "of",
        "a",
        "an",
        "the",
        "more",
        "light",
        "gentle",
        "very",
        "long",
        "short",
        "little",
        "good",
        "full",
        "quick",
        "tiny",
        "single",
    )
)
_PER = frozenset(
    {"strokes", "turns", "half turns", "coats"}
)  # counts take an adjective before them: "six light strokes"
_MM = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": Fraction(254, 10),
    "thou": Fraction(254, 10000),
    "µm": Fraction(1, 1000),
}


@dataclass(frozen=True)
class Amount:
    """A number at tokens ``[start, end)``, with ``unit`` where one was said (``°`` = degrees of a scale not said).

    ``part`` is the denominator of a bare fraction ("three sixteenths": 16), else 0.
    """

    start: int
    end: int
    value: Fraction
    unit: str | None = None
    part: int = 0


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
        number = _number(words, i)
        if number is None:
            i += 1
            continue
        found.append(_with_unit(words, number))
        i = max(found[-1].end, i + 1)
    return found


def _with_unit(words: Sequence[str], number: Amount) -> Amount:
    j = number.end
    if number.part == 1000:  # "four thousandths" is four of the unit the trade calls thou
        unit_end = j + 3 if tuple(words[j : j + 3]) == ("of", "an", "inch") else j
        return Amount(number.start, unit_end, number.value * 1000, "thou")
    limit = j + 3
    while j < min(len(words), limit):
        unit = unit_at(words, j)
        if unit and (j == number.end or unit[0] in _PER or words[j - 1] in ("of", "a", "an", "more")):
            return Amount(number.start, unit[1], number.value, unit[0], number.part)
        if words[j] not in _BETWEEN:
            break
        j += 1
    if number.end < len(words) and words[number.end] in ("of",) and unit_at(words, number.end + 1) is None:
        return number
    return number


def unit_at(words: Sequence[str], i: int) -> tuple[str, int] | None:
    """The unit said at position ``i`` and the position after it, or None."""
    for size in range(min(_LONGEST_UNIT, len(words) - i), 0, -1):
        unit = _UNIT_WORDS.get(tuple(words[i : i + size]))
        if unit:
            return unit, i + size
    return None


def _number(words: Sequence[str], i: int) -> Amount | None:
    """The longest number that starts at ``i``: mixed, fraction, decimal or whole."""
    lone = _fraction(words, i)
    if lone is not None:
        return lone
    whole = _decimal(words, i)
    if whole is None:
        return _article(words, i)
    value, j = whole
    if tuple(words[j : j + 1]) == ("and",):
        part = _fraction(words, j + 1)
        if part is not None and part.value < 1 and value.denominator == 1:
            return Amount(i, part.end, value + part.value, part=part.part)
    part = _fraction(words, j)
    if part is not None and words[j][:1].isdigit() and "/" in words[j] and value.denominator == 1:
        return Amount(i, part.end, value + part.value, part=part.part)  # "1 3/16"
    if tuple(words[j : j + 1]) == ("dozen",):
        return Amount(i, j + 1, value * 12)
    return Amount(i, j, value)


def _article(words: Sequence[str], i: int) -> Amount | None:
    """ "For a minute", "a millimetre off", "an inch": the article counts as one before a unit."""
    if words[i] not in ("a", "an") or i + 1 >= len(words):
        return None
    unit = unit_at(words, i + 1)
    if unit is None or words[i + 1] in ("second", "pass", "grade", "paper", "day", "mil", "draws"):
        return None
    before = words[i - 1] if i else ""
    after = words[unit[1]] if unit[1] < len(words) else ""
    time = (
        unit[0] in ("min", "h") and before in ("for", "about", "only", "in", "another") and after not in ("ago", "or")
    )
    size = unit[0] in ("mm", "in", "thou", "cm") and (before in _BEFORE_ONE or after in _AFTER_ONE)
    turn = unit[0] == "turns" and after in ("of", "with", "on")
    return Amount(i, i + 1, Fraction(1)) if time or size or turn else None


_BEFORE_ONE = frozenset(
    (
        "by",
        "off",
        "about",
        "take",
        "took",
        "taking",
        "clip",
        "clipped",
        "cut",
        "only",
        "another",
        "almost",
        "nearly",
        "of",
    )
)
_AFTER_ONE = frozenset(
    ("off", "back", "forward", "from", "longer", "shorter", "wide", "long", "thick", "more", "less", "too", "of")
)


def _fraction(words: Sequence[str], i: int) -> Amount | None:
    if i >= len(words):
        return None
    word = words[i]
    if word in _GLYPHS:
        return Amount(i, i + 1, _GLYPHS[word], part=_GLYPHS[word].denominator)
    if "/" in word and word.replace("/", "", 1).isdigit() and not word.startswith("/") and not word.endswith("/"):
        over, under = map(int, word.split("/"))
        return Amount(i, i + 1, Fraction(over, under), part=under) if under else None
    if word in ("a", "an") and (part := _part(words, i + 1)):
        if words[i + 1 : i + 2] and words[i + 1] == "half" and tuple(words[i + 2 : i + 3]) == ("dozen",):
            return Amount(i, i + 3, Fraction(6))
        return Amount(i, part[1], Fraction(1, part[0]), part=part[0])
    if word == "a" and tuple(words[i + 1 : i + 2]) == ("dozen",):
        return Amount(i, i + 2, Fraction(12))
    if word == "dozen" and i and words[i - 1] in ("another", "about", "same"):
        return Amount(i, i + 1, Fraction(12))
    if word in ("half", "quarter", "tenth", "eighth", "sixteenth") or (word, *words[i + 1 : i + 2]) in _TWO_WORD_PARTS:
        return _bare_part(words, i)
    top = _small_whole(words, i)
    if top is None:
        return None
    value, j = top
    part = _part(words, j)
    if part and value >= 1 and (value == 1 or words[part[1] - 1].endswith("s")):
        return Amount(i, part[1], Fraction(value, part[0]), part=part[0])
    return None


def _bare_part(words: Sequence[str], i: int) -> Amount | None:
    """ "half a millimetre", "quarter turn", "thirty second of an inch": a part that no number stands before."""
    part = _part(words, i)
    if part is None:
        return None
    size, j = part
    rest = tuple(words[j : j + 3])
    if rest[:1] == ("a",) and rest[1:2] == ("dozen",):
        return Amount(i, j + 2, Fraction(6)) if size == 2 else None
    of_unit = rest[:1] in (("a",), ("an",), ("of",)) and (
        unit_at(words, j + 1) or (rest[1:2] in (("a",), ("an",)) and unit_at(words, j + 2))
    )
    if of_unit or unit_at(words, j):
        return Amount(i, j, Fraction(1, size), part=size)
    return None


def _part(words: Sequence[str], i: int) -> tuple[int, int] | None:
    pair = tuple(words[i : i + 2])
    if pair in _TWO_WORD_PARTS:
        return _TWO_WORD_PARTS[pair], i + 2
    size = _PARTS.get(words[i]) if i < len(words) else None
    return (size, i + 1) if size else None


def _small_whole(words: Sequence[str], i: int) -> tuple[int, int] | None:
    """One to ninety-nine before a part: "three" sixteenths, "twenty five" hundredths, "3" sixteenths."""
    if i < len(words) and words[i].isdigit():
        return int(words[i]), i + 1
    return _below_hundred(words, i)


def _below_hundred(words: Sequence[str], i: int) -> tuple[int, int] | None:
    if i >= len(words):
        return None
    if words[i] in _SMALL:
        return _SMALL[words[i]], i + 1
    if words[i] in _TENS:
        value = _TENS[words[i]]
        if i + 1 < len(words) and 0 < _SMALL.get(words[i + 1], 0) < 10 and _part(words, i) is None:
            return value + _SMALL[words[i + 1]], i + 2
        return value, i + 1
    return None


def _decimal(words: Sequence[str], i: int) -> tuple[Fraction, int] | None:
    word = words[i]
    if word in ("minus", "negative") and i + 1 < len(words):
        rest = _decimal(words, i + 1)
        return (-rest[0], rest[1]) if rest else None
    if word == "point" or (word in _NOUGHT and tuple(words[i + 1 : i + 2]) in (("point",), ("comma",))):
        start = i + 1 if word == "point" else i + 2
        return _after_point(words, start, 0)
    whole = _whole(words, i)
    if whole is None:
        return None
    value, j = whole
    if tuple(words[j : j + 1]) in (("point",), ("comma",)) and value.denominator == 1:
        point = _after_point(words, j + 1, int(value))
        if point:
            return point
    return value, j


def _after_point(words: Sequence[str], i: int, whole: int) -> tuple[Fraction, int] | None:
    """Digits after "point": "oh nine", "two five", "twenty five", "6"."""
    digits = ""
    while i < len(words):
        word = words[i]
        if word in _NOUGHT:
            digits += "0"
        elif word.isdigit():
            digits += word
        elif word in _SMALL:
            digits += str(_SMALL[word])
        elif word in _TENS:
            pair = _below_hundred(words, i)
            assert pair is not None
            digits += str(pair[0])
            i = pair[1] - 1
        else:
            break
        i += 1
    return (Fraction(whole) + Fraction(int(digits), 10 ** len(digits)), i) if digits else None


def _whole(words: Sequence[str], i: int) -> tuple[Fraction, int] | None:
    word = words[i]
    if word[:1].isdigit() or word[:1] == ".":
        try:
            return Fraction(word), i + 1
        except (ValueError, ZeroDivisionError):
            return None
    if word == "a" and tuple(words[i + 1 : i + 2]) in (("hundred",), ("thousand",)):
        return _scaled(words, i + 1, 1)
    if word in ("hundred", "thousand"):
        return _scaled(words, i, 1)
    start = _below_hundred(words, i)
    if start is None:
        return None
    value, j = start
    if tuple(words[j : j + 1]) in (("hundred",), ("thousand",)):
        return _scaled(words, j, value)
    # "three twenty", "two forty", "four oh five": a hundreds figure said short
    if 0 < value < 100 and j < len(words) and words[j] in _TENS and value not in _TENS.values():
        low = _below_hundred(words, j)
        if low and _part(words, j) is None:
            return Fraction(value * 100 + low[0]), low[1]
    return Fraction(value), j


def _scaled(words: Sequence[str], i: int, value: int) -> tuple[Fraction, int]:
    value *= 100 if words[i] == "hundred" else 1000
    i += 1
    if tuple(words[i : i + 1]) == ("hundred",):
        return Fraction(value), i
    j = i + 1 if tuple(words[i : i + 1]) == ("and",) else i
    if value >= 1000 and (more := _below_hundred(words, j)) and tuple(words[more[1] : more[1] + 1]) == ("hundred",):
        return Fraction(value + more[0] * 100), more[1] + 1
    low = _below_hundred(words, j)
    if low and not (j > i and _part(words, j)) and unit_at(words, low[1] - 1) is None:
        return Fraction(value + low[0]), low[1]
    return Fraction(value), i
