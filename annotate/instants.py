"""Moments as files and marks tell them, and the maker's day and clock.

Cameras write a moment in UTC. The day of a session and the times on pages are those
where the maker is: in the time zone that is set on this computer (the ``TZ``
variable, else the system's), with its summer time of that day. A moment without a
zone was told by a clock at the bench and is taken as it stands. Some files tell only
a day: it has no clock time and is never shown as midnight.
"""

from __future__ import annotations

from datetime import date, datetime

# How a day alone was stored by earlier versions.
_BARE_MIDNIGHT = "T00:00:00"


def instant(text: str) -> datetime:
    """An ISO 8601 moment, in the maker's own zone."""
    return datetime.fromisoformat(text).astimezone()


def has_clock_time(text: str) -> bool:
    """Whether more than a day is told."""
    return len(text) > len("2026-03-14") and not text.endswith(_BARE_MIDNIGHT)


def day_of(text: str) -> str:
    """The maker's day of a moment, ``2026-03-14``."""
    return instant(text).date().isoformat() if has_clock_time(text) else text[:10]


def clock_time(text: str) -> str:
    """The clock where the maker is, ``20:30``; nothing where only a day is told."""
    return instant(text).strftime("%H:%M") if has_clock_time(text) else ""


def in_words(text: str) -> str:
    """The maker's day and clock, ``2026-03-14 20:30``, or the day alone."""
    return f"{day_of(text)} {clock_time(text)}".rstrip()


def today() -> str:
    """The maker's day now."""
    return date.today().isoformat()
