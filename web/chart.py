"""A small line chart of values over days, as numbers for an SVG: round ticks, days placed by time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil, floor, log10

WIDTH, HEIGHT = 320, 130  # user units of the drawing
LEFT, RIGHT, TOP, BOTTOM = 46, 12, 26, 24
MOST_STEPS = 4  # between the ticks of the values
NICE = (1, 2, 5, 10)  # times a power of ten: the steps people count in
DAY_WIDTH = 68  # user units that "28 Mar 2026" needs with the gap to the next
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True)
class Point:
    """A value on a day; ``text`` says it in words."""

    day: date
    value: float
    text: str


@dataclass(frozen=True)
class Dot:
    """A point's place in the drawing."""

    x: float
    y: float
    text: str


@dataclass(frozen=True)
class Tick:
    """A place on an axis (user units along it) with what it says; ``anchor`` is where its text is held."""

    place: float
    text: str
    anchor: str = "middle"


@dataclass(frozen=True)
class Chart:
    """The drawing: ``title`` with the unit, dots, the line through them, ticks up the values and along the days.

    ``zero`` is where the value 0 lies, when both sides of it are drawn.
    """

    title: str
    dots: tuple[Dot, ...]
    line: str
    up: tuple[Tick, ...]
    along: tuple[Tick, ...]
    zero: float | None
    summary: str
    width: int = WIDTH
    height: int = HEIGHT
    left: int = LEFT
    right: int = WIDTH - RIGHT
    top: int = TOP
    bottom: int = HEIGHT - BOTTOM


def chart(points: Sequence[Point], title: str, *, is_signed: bool = False) -> Chart | None:
    """The chart of two or more points, in order of day; None when there is nothing to compare.

    ``is_signed`` values (such as cents from a note) carry their sign, and zero is always among them.
    """
    if len(points) < 2:
        return None
    ordered = sorted(points, key=lambda point: point.day)
    values = [point.value for point in ordered] + ([0.0] if is_signed else [])
    marks = ticks(min(values), max(values))
    low, high = marks[0], marks[-1]
    places = _along([point.day for point in ordered])
    dots = tuple(
        Dot(x, _y(point.value, low, high), f"{short_day(point.day)}: {point.text}")
        for x, point in zip(places, ordered, strict=True)
    )
    first, last = ordered[0], ordered[-1]
    lowest, highest = (choose(ordered, key=lambda point: point.value).text for choose in (min, max))
    return Chart(
        title,
        dots,
        " ".join(f"{dot.x:.1f},{dot.y:.1f}" for dot in dots),
        tuple(Tick(_y(mark, low, high), _number(mark, is_signed=is_signed)) for mark in marks),
        _days([point.day for point in ordered], places),
        _y(0.0, low, high) if low < 0 < high else None,
        f"{title}: {first.text} on {short_day(first.day)} to {last.text} on {short_day(last.day)}, "
        f"{len(ordered)} in all; lowest {lowest}, highest {highest}",
    )


def ticks(low: float, high: float) -> list[float]:
    """Round values in even steps of 1, 2 or 5 times a power of ten; the first and last take in ``low`` and ``high``."""
    spread = high - low or abs(high) / 2 or 1.0
    power = 10.0 ** floor(log10(spread / MOST_STEPS))
    step = next(nice * power for nice in NICE if nice * power >= spread / MOST_STEPS * (1 - 1e-9))
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    if first == last:
        first, last = first - 1, last + 1
    digits = max(0, -floor(log10(step)))
    return [round(number * step, digits) for number in range(first, last + 1)]


def short_day(day: date) -> str:
    """``3 Mar 2026``."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def _along(days: Sequence[date]) -> list[float]:
    """Where days lie: by time; in order when all are the same."""
    first, span = days[0], (days[-1] - days[0]).days
    shares = [(day - first).days / span if span else number / (len(days) - 1) for number, day in enumerate(days)]
    return [LEFT + share * (WIDTH - LEFT - RIGHT) for share in shares]


def _days(days: Sequence[date], places: Sequence[float]) -> tuple[Tick, ...]:
    """The first and last day, and those between that leave each other room."""
    if days[0] == days[-1]:
        return (Tick(LEFT, short_day(days[0]), "start"),)
    made = [Tick(places[0], short_day(days[0]), "start")]
    end: float = LEFT + DAY_WIDTH
    for day, place in zip(days, places, strict=True):
        if place - DAY_WIDTH / 2 >= end and place + DAY_WIDTH / 2 <= WIDTH - RIGHT - DAY_WIDTH:
            made.append(Tick(place, short_day(day)))
            end = place + DAY_WIDTH / 2
    return (*made, Tick(places[-1], short_day(days[-1]), "end"))


def _y(value: float, low: float, high: float) -> float:
    return HEIGHT - BOTTOM - (value - low) / (high - low) * (HEIGHT - TOP - BOTTOM)


def _number(value: float, *, is_signed: bool) -> str:
    text = f"{abs(value):g}"
    if value < 0:
        return f"−{text}"
    return f"+{text}" if is_signed and value > 0 else text
