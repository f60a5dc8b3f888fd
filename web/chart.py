"""A small line chart of readings over days, as numbers for an SVG."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

WIDTH, HEIGHT = 320, 110  # user units of the drawing
LEFT, RIGHT, TOP, BOTTOM = 46, 12, 14, 24


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
class Chart:
    """The drawing: dots, the line through them, and the ends of both axes."""

    dots: tuple[Dot, ...]
    line: str
    lowest: str
    highest: str
    first_day: str
    last_day: str
    summary: str


def chart(points: Sequence[Point], unit: str) -> Chart | None:
    """The chart of two or more points, in order of day; None when there is nothing to compare."""
    if len(points) < 2:
        return None
    ordered = sorted(points, key=lambda point: point.day)
    values = [point.value for point in ordered]
    low, high = min(values), max(values)
    first, last = ordered[0].day, ordered[-1].day
    days = (last - first).days
    dots = tuple(
        Dot(_x(point, number, len(ordered), first, days), _y(point.value, low, high), _dot_text(point))
        for number, point in enumerate(ordered)
    )
    return Chart(
        dots,
        " ".join(f"{dot.x:.1f},{dot.y:.1f}" for dot in dots),
        _number(low),
        _number(high),
        first.isoformat(),
        last.isoformat(),
        f"{len(ordered)} readings from {ordered[0].text} to {ordered[-1].text}; "
        f"lowest {_number(low)} {unit}, highest {_number(high)} {unit}",
    )


def _x(point: Point, number: int, count: int, first: date, days: int) -> float:
    """By day; by order when all are of one day."""
    share = (point.day - first).days / days if days else number / (count - 1)
    return LEFT + share * (WIDTH - LEFT - RIGHT)


def _y(value: float, low: float, high: float) -> float:
    share = (value - low) / (high - low) if high > low else 0.5
    return HEIGHT - BOTTOM - share * (HEIGHT - TOP - BOTTOM)


def _dot_text(point: Point) -> str:
    return f"{point.day.isoformat()}: {point.text}"


def _number(value: float) -> str:
    return f"{value:.4g}"
