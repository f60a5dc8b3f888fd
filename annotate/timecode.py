"""Time in Benchreel: integer milliseconds, half-open ranges ``[start, end)``.

The one place where times are parsed and printed. Float seconds exist only at
the border with decoders and the page's player.
"""

from __future__ import annotations

import re
from fractions import Fraction
from math import floor

from annotate.errors import BadTime

_CLOCK = re.compile(r"^(?:(\d+):)?(\d{1,3}):(\d{1,2})(?:[.,](\d{1,3}))?$")
_SECONDS = re.compile(r"^(\d+)(?:[.,](\d{1,3}))?\s*s?$")


def from_seconds(seconds: float | Fraction) -> int:
    """Seconds to milliseconds, to the nearest, halves up."""
    return floor(Fraction(seconds) * 1000 + Fraction(1, 2))


def to_seconds(ms: int) -> float:
    """Milliseconds to float seconds, for decoders and players."""
    return ms / 1000


def parse(text: str) -> int:
    """Read ``1:02:03.456``, ``2:03``, ``2:03,5`` or ``123.4`` (seconds) as milliseconds.

    Raises
    ------
    BadTime
        If the text is none of these.
    """
    text = text.strip()
    if m := _CLOCK.match(text):
        hours, minutes, seconds, part = m.groups()
        if int(seconds) > 59 or (hours is not None and int(minutes) > 59):
            raise BadTime("minutes and seconds go up to 59", text, "Write for example 1:23.4.")
        whole = int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds)
        return whole * 1000 + int((part or "0").ljust(3, "0"))
    if m := _SECONDS.match(text):
        return int(m.group(1)) * 1000 + int((m.group(2) or "0").ljust(3, "0"))
    raise BadTime("is not a time", text or "(nothing)", "Write minutes and seconds, for example 1:23.4.")


def clock(ms: int) -> str:
    """``m:ss`` or ``h:mm:ss``, cut to whole seconds: for reading."""
    seconds = max(ms, 0) // 1000
    if seconds >= 3600:
        return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
    return f"{seconds // 60}:{seconds % 60:02d}"


def clock_tenths(ms: int) -> str:
    """``m:ss.t``: for trimming, where a second is too coarse."""
    return f"{clock(ms)}.{max(ms, 0) % 1000 // 100}"


def stamp(ms: int, separator: str = ".") -> str:
    """``hh:mm:ss.mmm`` as WebVTT writes it; with ``separator=","`` as SubRip does."""
    ms = max(ms, 0)
    return f"{ms // 3600000:02d}:{ms // 60000 % 60:02d}:{ms // 1000 % 60:02d}{separator}{ms % 1000:03d}"


def check_range(start_ms: int, end_ms: int, duration_ms: int | None = None) -> None:
    """Raise BadTime unless ``0 <= start < end`` (and ``end <= duration``, if known)."""
    if start_ms < 0:
        raise BadTime("starts before the recording does", stamp(start_ms), "Start at 0:00 or later.")
    if end_ms <= start_ms:
        raise BadTime(
            "ends before it starts",
            f"{clock_tenths(start_ms)} to {clock_tenths(end_ms)}",
            "Give an end after the start.",
        )
    if duration_ms is not None and end_ms > duration_ms:
        raise BadTime(
            f"lies past the end of the recording, which is {clock_tenths(duration_ms)} long",
            f"{clock_tenths(start_ms)} to {clock_tenths(end_ms)}",
            "Choose an end inside it.",
        )
