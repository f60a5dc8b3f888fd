"""Readings as said: which quantity a number is, and the unit where the trade leaves no doubt."""

from __future__ import annotations

from fractions import Fraction

from annotate.tagging.counts import GRITS, counts_strokes
from annotate.tagging.forms import bag
from annotate.tagging.lexicon import BLADE_ZONES, WIRE_ZONES
from annotate.tagging.sentence import Clause, Reading
from annotate.tagging.spoken import INCH_PARTS, Amount, decimal
from annotate.tagging.unsaid import LENGTHS, hundredths_before, like_before, plain_unit, says_gauge
from annotate.tagging.values import Measurement

_SEATS = bag("seats sits goes fits stops reaches seat sit go fit seated sitting seating going slides slid mark")
_BY_UNIT = {
    "%": "humidity", "°": "temperature", "°C": "temperature", "°F": "temperature", "grit": "grit", "strokes": "strokes",
    "min": "time", "s": "time", "h": "time", "d": "time", "Hz": "pitch", "cents": "cents", "turns": "count",
    "half turns": "count", "coats": "count", "times": "count",
}  # fmt: skip
_LOW_WORDS = ("flat", "low", "lower", "flatter", "under", "below", "down")
_HOT_F = 45  # degrees above this are Fahrenheit: no workshop is 45 °C
_DAMP = (
    "humid", "rh", "hygro", "in the room", "in here", "degrees", "moisture", "dry", "air", "sticky", "sensor",
    "outside", "overnight", "weather", "damp", "soaked", "case", "thermometer",
)  # fmt: skip
_COLD = bag("temperature outside weather winter frost frosty freezing cold snow ice")
_AFTER_CENTS = bag(", . ? on at in so it that now again and but which still too today until when with this here")
# Dimensions, those first whose words leave least doubt.
_DIMENSIONS = ("wire_distance", "tip_opening", "diameter", "width", "length", "thickness")
_ORDER = {quantity: place for place, quantity in enumerate(_DIMENSIONS)}


def readings(found: Reading, clause: Clause, step: str | None, zones: tuple[str, ...]) -> list[Measurement]:
    """Every reading in the clause. ``step`` and ``zones`` are those of its work, if any."""
    out: list[Measurement] = []
    for amount in found.amounts:
        if clause.holds(amount) and not _is_other_number(found, amount) and not _is_range(found, amount):
            reading = _reading(found, clause, amount, step, _nearest_first(found, amount, zones))
            if reading:
                out.append(reading)
    return out


def _is_other_number(found: Reading, amount: Amount) -> bool:
    """Numbers that name something: a wire, a blade, a reed, a note, a clock time."""
    inside = any(p.start <= amount.start < p.end and p.end - p.start > amount.end - amount.start for p in found.places)
    before = found.words[amount.start - 1] if amount.start else ""
    if amount.unit is None and amount.value == 1 and before in ("this", "that", "other", "which", "another", "each"):
        return True  # "this one I gauge at ..."
    named = found.words[amount.start - 2] if amount.start > 1 else ""
    if before == "number" and named in ("paper", "grit", "sandpaper"):
        return False
    if amount.unit is None and len(before) == 1 and before.isalpha() and before not in ("a", "i"):
        return True  # "reed S four", "low C four"
    if before in ("hyphen", "dash"):
        return True  # "C hyphen eight"
    return inside or (
        amount.unit is None
        and not amount.part  # "take three", but "I take three hundredths"
        and before
        in ("reed", "number", "blade", "wire", "camera", "take", "part", "episode", "chapter", "lesson", "step")
    )


def _is_of_work(found: Reading, clause: Clause) -> bool:
    """A time is a reading only where the sentence speaks of work."""
    sentence = [c for c in found.clauses if c.sentence == clause.sentence]
    return any(found.within(found.cues, c) or found.within(found.families, c) for c in sentence)


def _is_range(found: Reading, amount: Amount) -> bool:
    """ "Four or five swipes" is no count."""
    near = [a for a in found.amounts if a.end == amount.start - 1 or a.start == amount.end + 1]
    words = found.words
    return any(
        words[a.end] == "or" if a.end < amount.start else words[amount.end] == "or"
        for a in near
        if a.unit is None or amount.unit is None
    )


def _reading(
    found: Reading, clause: Clause, amount: Amount, step: str | None, zones: tuple[str, ...]
) -> Measurement | None:
    unit, value = amount.unit, amount.value
    words = found.words
    if unit in _BY_UNIT:
        quantity: str | None = _BY_UNIT[unit]
        if unit == "°":
            unit = "°F" if value > _HOT_F else "°C"
        if unit == "half turns":
            unit, value = "turns", value / 2
        if unit == "%" and step != "measure" and not _near_humidity(found, clause, amount):
            return None
        if unit == "grit" and value not in GRITS:
            return None
        if quantity == "time" and not _is_of_work(found, clause):
            return None
        if unit == "times" and step not in ("ream", "clip", "crow", "soak", "wires"):
            return None
        if unit == "d" and step not in ("rest", "soak", "break_in"):
            return None
        if quantity == "cents" and _is_low(words, amount, clause):
            value = -abs(value)
        return _made(found, quantity, value, unit, None, amount, said=amount.unit is not None)
    if unit in LENGTHS:
        quantity = _dimension(found, clause, amount, step, zones)
        return _made(found, quantity, value, unit, _zone(quantity, zones), amount, said=True)
    return _unsaid(found, clause, amount, step, zones)


def _nearest_first(found: Reading, amount: Amount, zones: tuple[str, ...]) -> tuple[str, ...]:
    """ "Point five at the heart, point three at the rails": of several places the one said with the number first."""
    said = [p for p in found.places if p.id.removeprefix("zones:") in zones]
    after = [p for p in said if 0 <= p.start - amount.end <= 3]
    before = [p for p in said if p.end <= amount.start]
    near = [p.id.removeprefix("zones:") for p in (*after[:1], *before[-1:])]
    return tuple(dict.fromkeys((*near, *zones)))


def _made(
    found: Reading,
    quantity: str | None,
    value: Fraction,
    unit: str | None,
    zone: str | None,
    amount: Amount,
    *,
    said: bool,
) -> Measurement | None:
    if quantity is None or unit is None:
        return None
    return Measurement(quantity, decimal(value), unit, zone, found.said(amount.start, amount.end), said)


def _zone(quantity: str | None, zones: tuple[str, ...]) -> str | None:
    if quantity == "tip_opening":
        return "opening"
    return zones[0] if zones else None


def _is_low(words: list[str], amount: Amount, clause: Clause) -> bool:
    near = words[amount.end : amount.end + 4] + words[max(clause.start, amount.start - 4) : amount.start]
    first = next((w for w in near if w in _LOW_WORDS or w in ("sharp", "high", "above", "over", "up")), "")
    if first:
        return first in _LOW_WORDS
    return "flat" in words[max(0, amount.start - 12) : amount.start]  # "it's flat on the E, about six cents"


def _near_humidity(found: Reading, clause: Clause, amount: Amount) -> bool:
    near = " ".join(found.plain[max(0, amount.start - 8) : amount.end + 8])
    return any(word in near for word in _DAMP)


def _dimension(found: Reading, clause: Clause, amount: Amount, step: str | None, zones: tuple[str, ...]) -> str:
    """The quantity of a length, from its work, its size and the nearest naming word."""
    named = _named(found, clause, amount)
    after = found.words[amount.end] if amount.end < len(found.words) else "."
    if (
        after in ("from", "back", "behind")
        and step in ("measure", None)
        and amount.unit in ("mm", "in")
        and named in ("thickness", None)
    ):
        return "length"
    if step == "clip":
        return "length"
    if _is_of_opening(found, clause):
        return "tip_opening"
    words = set(found.words[clause.start : clause.end])
    if step in ("measure", None) and words & {"bocal", "mandrel"} and words & _SEATS:
        return "length"
    if step == "ream":
        seated = words & {"bocal", "mandrel"} or "goes on" in " ".join(found.words[clause.start : amount.start])
        return "length" if seated or named == "length" else "diameter"
    if step == "wires" and not {"diameter", "bore", "width", "wide", "thickness", "thick"} & words:
        return "wire_distance"
    if step in ("scrape", "sand", "profile") and amount.unit in ("thou", "µm"):
        return "thickness"
    wires = {p.id.split(":")[1] for p in found.within(found.places, clause)} & WIRE_ZONES
    if wires and named not in ("diameter", "width", "tip_opening"):
        return "wire_distance"
    if named == "width" and "butt" in zones:
        return "diameter"
    named = named or _named_before(found, clause)
    if named:
        return named
    if amount.unit in ("thou", "µm"):
        return "thickness"
    if "opening" in zones or step == "opening":
        return "tip_opening"
    size_mm = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction(254, 10)}[amount.unit or "mm"] * amount.value
    return "thickness" if size_mm < Fraction(13, 10) and set(zones) & BLADE_ZONES else "length"


def _is_of_opening(found: Reading, clause: Clause) -> bool:
    """The clause, or the one after it in the sentence, calls the opening too wide or too small."""
    at = found.clauses.index(clause)
    near = [c for c in found.clauses[at : at + 2] if c.sentence == clause.sentence]
    return any(f.id in ("tip_open", "tip_closed") for c in near for f in found.within(found.symptoms, c))


def _named(found: Reading, clause: Clause, amount: Amount) -> str | None:
    """The quantity whose word stands in the clause: the first in the file's order, strong words before weak ones."""
    finds = [q for q in found.within(found.quantities, clause) if q.id in _DIMENSIONS]
    best = min(finds, key=lambda q: (_ORDER[q.id], abs(q.start - amount.start)), default=None)
    return best.id if best else None


def _named_before(found: Reading, clause: Clause) -> str | None:
    """ "Let's measure the tip opening, and I get one point six": the clause before names the quantity."""
    at = found.clauses.index(clause)
    before = found.clauses[at - 1] if at else None
    if before is None or before.sentence != clause.sentence:
        return None
    words = set(found.words[before.start : before.end])
    strong = bool(words & {"thickness", "gauge", "dial", "micrometer"})
    finds = {q.id for q in found.within(found.quantities, before)} & _ORDER.keys()
    return min(finds - (set() if strong else {"thickness"}), key=_ORDER.__getitem__, default=None)


def _is_off_pitch(found: Reading, amount: Amount) -> bool:
    """ "Needle says minus eight on the A", "plus six now"; not "ten minutes plus two more", "plus or minus two"."""
    words = found.words
    sign = amount.start if words[amount.start] == "minus" else amount.start - 1
    is_sum = words[sign - 1] == "or" or any(other.end == sign for other in found.amounts)
    return (
        words[sign] in ("plus", "minus")
        and not is_sum
        and words[amount.end] in _AFTER_CENTS
        and amount.value.denominator == 1
        and 0 < abs(amount.value) <= 60
    )


def _unsaid(
    found: Reading, clause: Clause, amount: Amount, step: str | None, zones: tuple[str, ...]
) -> Measurement | None:
    """A number without a unit: filled in where size and words leave no doubt."""
    value, words = amount.value, found.words
    if amount.part in INCH_PARTS and amount.part and amount.value.denominator > 4:
        quantity = _dimension(found, clause, Amount(amount.start, amount.end, value, "in"), step, zones)
        return _made(found, quantity, value, "in", _zone(quantity, zones), amount, said=False)
    if amount.part == 10 or amount.part == 100:
        quantity = _dimension(found, clause, Amount(amount.start, amount.end, value, "mm"), step, zones)
        if quantity == "length" and amount.part == 100:
            quantity = "thickness"  # hundredths of a millimetre are read off a dial
        return _made(found, quantity, value, "mm", _zone(quantity, zones), amount, said=False)
    if step == "scrape" and counts_strokes(found, amount) and not says_gauge(found, clause):
        return _made(found, "strokes", value, "strokes", None, amount, said=False)
    like = like_before(found, clause, amount)
    if like:
        quantity = (
            "strokes"
            if like == "strokes"
            else _dimension(found, clause, Amount(amount.start, amount.end, value, like), step, zones)
        )
        return _made(found, quantity, value, like, _zone(quantity, zones), amount, said=False)
    hundredths = hundredths_before(found, clause, amount)
    if hundredths is not None:
        return _made(found, "thickness", hundredths, "mm", _zone("thickness", zones), amount, said=False)
    said = words[clause.start : clause.end]
    tuned = words[max(0, amount.start - 2) : amount.start] in (
        ["are", "at"],
        ["is", "at"],
        ["tune", "to"],
        ["tuned", "to"],
    )
    if 410 <= value <= 460 and (
        step == "play" or words[amount.start - 1] in ("a", "equals") or tuned or "pitch" in said
    ):
        return _made(found, "pitch", value, "Hz", None, amount, said=False)
    if _is_off_pitch(found, amount) and not _COLD & set(said):
        return _made(found, "cents", value, "cents", None, amount, said=False)
    if words[amount.end : amount.end + 2] == ["c", "in"] and 5 <= value <= 40:
        return _made(found, "temperature", value, "°C", None, amount, said=False)
    if value in GRITS and step == "sand":
        return _made(found, "grit", value, "grit", None, amount, said=False)
    if (
        "temperature" not in words[max(0, amount.start - 3) : amount.start]
        and any(w in ("humidity", "humid", "hygrometer", "rh") for w in words[clause.start : clause.end])
        and 5 <= value <= 100
    ):
        return _made(found, "humidity", value, "%", None, amount, said=False)
    if {"temperature", "thermometer"} & set(words[clause.start : clause.end]) and -10 <= value <= 110:
        return _made(found, "temperature", value, "°F" if value > _HOT_F else "°C", None, amount, said=False)
    named = _named(found, clause, amount) or _named_before(found, clause)
    if named == "thickness" and value.denominator == 1 and not says_gauge(found, clause):
        named = None
    if step in ("clip",) and value < 3 and value.denominator > 1:
        named = "length"
    if step == "ream" and 3 <= value <= 10:
        named = "diameter"
    unit = plain_unit(named, value)
    if named is None and value.denominator > 1 and value < 1 and step in ("measure", None) and zones:
        named, unit = "thickness", "mm"
    return _made(found, named, value, unit, _zone(named, zones), amount, said=False) if named and unit else None
