"""How templates write times, dates, trade words and values."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from flask import Flask, g

from annotate.instants import day_of, in_words
from annotate.measure.units import both_lengths, quantity, shown
from annotate.model import Reading, Session
from annotate.timecode import clock, clock_tenths
from annotate.vocabulary import vocabulary
from annotate.vocabulary.counted import counted
from annotate.vocabulary.words import INSTRUMENTS
from web.context import library

STATE_LABELS = {
    "blank": "Blank",
    "in_progress": "In progress",
    "breaking_in": "Breaking in",
    "playing": "Playing",
    "resting": "Resting",
    "retired": "Retired",
}
SHARING_LABELS = {
    "undecided": "Sharing not decided: ask first",
    "free": "Free to share",
    "people": "People in the picture: ask first",
    "private": "Not to share",
}
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def label(group: str, word_id: str, instrument: str = "bassoon") -> str:
    """The label of a trade word, whichever instrument's it is."""
    for name in (instrument, *INSTRUMENTS):
        word = vocabulary(name).group(group).get(word_id)
        if word:
            return word.label
    return word_id


def long_date(iso: str | None) -> str:
    """``14 March 2026``: a day, or the day of a moment where the maker is."""
    if not iso:
        return "no date"
    day = date.fromisoformat(day_of(iso))
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def value_of(reading: Reading) -> str:
    """A reading's value with its unit, as it stands beside the quantity: lengths in mm and inches, a true minus.

    A unit that the quantity names is not said twice: strokes 8, grit 600.
    """
    told = both_lengths(reading.value, reading.unit)
    if reading.unit == quantity_label(reading.quantity).lower():
        told = told.removesuffix(f" {reading.unit}")
    return unbroken(told.replace("-", "\u2212", 1) if reading.value < 0 else told)


def unbroken(told: str) -> str:
    """A value that stays on one line with its unit."""
    return re.sub(r"(?<=\d) (?=[^\s(])", "\u00a0", told)


def quantity_label(name: str) -> str:
    """The label of a quantity."""
    return quantity(name).label


def weather_of(session: Session) -> str:
    """Temperature and humidity of a session in a few words, or nothing."""
    parts = []
    if session.temperature_c is not None:
        parts.append(unbroken(shown(session.temperature_c, "°C")))
    if session.humidity_percent is not None:
        parts.append(f"{shown(session.humidity_percent, '%')} humidity")
    return ", ".join(parts)


def session_name(session: Session) -> str:
    """The title of a session, or its date; numbered where several of that day would have the same name."""
    same = _alike().get((session.date, session.title), ())
    number = same.index(session.id) + 1 if len(same) > 1 and session.id in same else 0
    if session.title:
        return f"{session.title} ({number})" if number else session.title
    return f"Session {number} of {long_date(session.date)}" if number else f"Session of {long_date(session.date)}"


def _alike() -> dict[tuple[str, str], list[int]]:
    """The ids of the sessions of each day and title, in order; read once for one answer."""
    if "alike" not in g:
        found: dict[tuple[str, str], list[int]] = {}
        for session in library().sessions.all():
            found.setdefault((session.date, session.title), []).append(session.id)
        g.alike = found
    known: dict[tuple[str, str], list[int]] = g.alike
    return known


def bytes_shown(size: int) -> str:
    """A file size for reading."""
    for unit, step in (("GB", 10**9), ("MB", 10**6), ("kB", 10**3)):
        if size >= step:
            return f"{size / step:.1f} {unit}"
    return f"{size} bytes"


def register(app: Flask) -> None:
    """Give these to every template."""
    filters: dict[str, Any] = {
        "clock": clock,
        "clock_tenths": clock_tenths,
        "long_date": long_date,
        "in_words": in_words,
        "value_of": value_of,
        "quantity_label": quantity_label,
        "weather_of": weather_of,
        "session_name": session_name,
        "bytes_shown": bytes_shown,
        "counted": counted,
    }
    app.jinja_env.filters.update(filters)
    app.jinja_env.globals.update(
        label=label, STATE_LABELS=STATE_LABELS, SHARING_LABELS=SHARING_LABELS, vocabulary=vocabulary
    )
