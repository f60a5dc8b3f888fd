"""Numbers as they are said: "three sixteenths", "point oh nine", "one and three eighths", "fifteen hundred".

Words come in as lower-case tokens ("1.6", "3/16", "six", "hundred"); values
are exact ``Fraction``; spans are token positions, half-open. Whether a unit
follows decides some readings ("half a millimetre", "a minute"), so the
finder of units comes in as a function.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

UnitAt = Callable[[Sequence[str], int], tuple[str, int] | None]

_SMALL = {
    "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
    "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16,
    "seventeen": 17, "eighteen": 18, "nineteen": 19,
}  # fmt: skip
_TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80,
    "ninety": 90,
}  # fmt: skip
_NOUGHT = frozenset(("oh", "o", "zero", "nought", "naught", "null"))
_PARTS = {
    "half": 2, "halves": 2, "third": 3, "quarter": 4, "fifth": 5, "sixth": 6, "eighth": 8, "tenth": 10,
    "sixteenth": 16, "twentieth": 20, "hundredth": 100, "thousandth": 1000,
}  # fmt: skip
_PARTS |= {f"{w}s": n for w, n in _PARTS.items() if w not in ("half", "halves")}
_TWO_WORD_PARTS = {
    ("thirty", "second"): 32, ("sixty", "fourth"): 64, ("thirty", "seconds"): 32, ("sixty", "fourths"): 64,
}  # fmt: skip
_GLYPHS = {
    "½": Fraction(1, 2), "¼": Fraction(1, 4), "¾": Fraction(3, 4), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3),
    "⅛": Fraction(1, 8), "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip
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
        "back",
        "forward",
        "almost",
        "nearly",
        "of",
    )
)
_AFTER_ONE = frozenset(
    (
        "off",
        "back",
        "forward",
        "from",
        "longer",
        "shorter",
        "wide",
        "long",
        "thick",
        "more",
        "less",
        "too",
        "of",
        "towards",
        "toward",
        "closer",
        "further",
        "nearer",
        "down",
        "up",
    )
)


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


def is_number(word: str) -> bool:
    """Whether a word is a figure or a number by itself."""
    return word[:1].isdigit() or word in _SMALL or word in _TENS


def number_at(words: Sequence[str], i: int, unit_at: UnitAt) -> Amount | None:
    """The longest number that starts at ``i``: mixed, fraction, decimal or whole."""
    lone = _fraction(words, i, unit_at)
    if lone is not None:
        return lone
    whole = _decimal(words, i, unit_at)
    if whole is None:
        return _article(words, i, unit_at)
    value, j = whole
    if tuple(words[j : j + 1]) == ("and",):
        part = _fraction(words, j + 1, unit_at)
        if part is not None and part.value < 1 and value.denominator == 1:
            return Amount(i, part.end, value + part.value, part=part.part)
    part = _fraction(words, j, unit_at)
    if part is not None and words[j][:1].isdigit() and "/" in words[j] and value.denominator == 1:
        return Amount(i, part.end, value + part.value, part=part.part)  # "1 3/16"
    if tuple(words[j : j + 1]) == ("dozen",):
        return Amount(i, j + 1, value * 12)
    return Amount(i, j, value)


def _fraction(words: Sequence[str], i: int, unit_at: UnitAt) -> Amount | None:
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
        return _bare_part(words, i, unit_at)
    top = _small_whole(words, i)
    if top is None:
        return None
    value, j = top
    part = _part(words, j)
    if part and value >= 1 and (value == 1 or words[part[1] - 1].endswith("s") or unit_at(words, part[1])):
        return Amount(i, part[1], Fraction(value, part[0]), part=part[0])
    return None


def _bare_part(words: Sequence[str], i: int, unit_at: UnitAt) -> Amount | None:
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


def _decimal(words: Sequence[str], i: int, unit_at: UnitAt) -> tuple[Fraction, int] | None:
    word = words[i]
    if word in ("minus", "negative") and i + 1 < len(words) and words[i + 1] not in ("minus", "negative"):
        rest = _decimal(words, i + 1, unit_at)
        return (-rest[0], rest[1]) if rest else None
    if word == "point" or (word in _NOUGHT and tuple(words[i + 1 : i + 2]) in (("point",), ("comma",))):
        start = i + 1 if word == "point" else i + 2
        return _after_point(words, start, 0)
    whole = _whole(words, i, unit_at)
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


def _whole(words: Sequence[str], i: int, unit_at: UnitAt) -> tuple[Fraction, int] | None:
    word = words[i]
    if word[:1].isdigit() or word[:1] in (".", "-"):  # "-5": a number that was put right
        try:
            return Fraction(word), i + 1
        except (ValueError, ZeroDivisionError):
            return None
    if word == "a" and tuple(words[i + 1 : i + 2]) in (("hundred",), ("thousand",)):
        return _scaled(words, i + 1, unit_at, 1)
    if word in ("hundred", "thousand"):
        return _scaled(words, i, unit_at, 1)
    start = _below_hundred(words, i)
    if start is None:
        return None
    value, j = start
    if tuple(words[j : j + 1]) in (("hundred",), ("thousand",)):
        return _scaled(words, j, unit_at, value)
    # "three twenty", "two forty", "four oh five": a hundreds figure said short
    if 0 < value < 100 and j < len(words) and words[j] in _TENS and value not in _TENS.values():
        low = _below_hundred(words, j)
        if low and _part(words, j) is None:
            return Fraction(value * 100 + low[0]), low[1]
    return Fraction(value), j


def _scaled(words: Sequence[str], i: int, unit_at: UnitAt, value: int) -> tuple[Fraction, int]:
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


def _article(words: Sequence[str], i: int, unit_at: UnitAt) -> Amount | None:
    """ "For a minute", "a millimetre off", "an inch": the article counts as one before a unit."""
    if words[i] not in ("a", "an") or i + 1 >= len(words):
        return None
    full = words[i + 1] in ("full", "good", "whole", "solid") and i + 2 < len(words)
    unit = unit_at(words, i + 2 if full else i + 1)
    if full and unit and unit[0] in ("min", "h") and i and words[i - 1] in ("for", "about", "only", "another"):
        return Amount(i, i + 2, Fraction(1))
    if unit is None or full or words[i + 1] in ("second", "pass", "grade", "paper", "day", "mil", "draws"):
        return None
    before = words[i - 1] if i else ""
    after = words[unit[1]] if unit[1] < len(words) else ""
    time = (
        unit[0] in ("min", "h") and before in ("for", "about", "only", "in", "another") and after not in ("ago", "or")
    )
    size = unit[0] in ("mm", "in", "thou", "cm") and (before in _BEFORE_ONE or after in _AFTER_ONE)
    turn = unit[0] == "turns" and after in ("of", "with", "on")
    more = tuple(words[unit[1] : unit[1] + 2]) in (("and", "a"), ("and", "an")) and _part(words, unit[1] + 2)
    return Amount(i, i + 1, Fraction(1)) if time or size or turn or bool(more) else None
