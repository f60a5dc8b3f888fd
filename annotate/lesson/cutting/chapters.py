"""Chapters brought into the one form that every reader reads back as it was meant."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from annotate.errors import BadInput, BadTime
from annotate.lesson.cutting.pieces import Chapter
from annotate.timecode import clock_tenths

TITLE_BYTES = 255  # the MP4 chapter list counts a title's bytes in one byte


def settle(chapters: Sequence[Chapter], duration_ms: int, film_title: str = "") -> tuple[Chapter, ...]:
    """Chapters in order, each with a one-line title, the first at 0, all inside the film.

    A film whose first chapter comes later gets one at 0 with the film's title:
    some readers shift all times by the first chapter's start.

    Raises
    ------
    BadInput, BadTime
        If a chapter has no title, starts outside the film, or two start together.
    """
    tidy = [replace(one, title=tidy_title(one.title)) for one in chapters]
    for number, one in enumerate(tidy, 1):
        if not one.title:
            raise BadInput("has no title", f"Chapter {number}", "Give it one.")
        if not 0 <= one.start_ms < duration_ms:
            end = clock_tenths(duration_ms)
            raise BadTime(
                f"starts at {clock_tenths(one.start_ms)}, outside the film of {end}", one.title, "Move it inside."
            )
    tidy.sort(key=lambda one: one.start_ms)
    for before, after in pairwise(tidy):
        if before.start_ms == after.start_ms:
            names = f"{before.title} / {after.title}"
            raise BadTime(f"two chapters start at {clock_tenths(after.start_ms)}", names, "Move one of them.")
    if tidy and tidy[0].start_ms > 0:
        tidy.insert(0, Chapter(0, tidy_title(film_title) or "Start"))
    return tuple(tidy)


def tidy_title(title: str) -> str:
    """One line: line breaks and other control characters become blanks, runs of blanks one; cut if too long."""
    plain = "".join(" " if unicodedata.category(one) in ("Cc", "Zl", "Zp", "Cs") else one for one in title)
    return cut_to_bytes(" ".join(plain.split()), TITLE_BYTES)


def cut_to_bytes(text: str, limit: int) -> str:
    """The text, or its beginning with an ellipsis, in at most ``limit`` UTF-8 bytes; no character is torn."""
    if len(text.encode()) <= limit:
        return text
    room = limit - len("…".encode())
    kept = text.encode()[:room].decode(errors="ignore")
    # Do not part a letter from the marks, joiners or selectors that follow it.
    while kept and len(kept) < len(text) and _clings(text[len(kept)], kept[-1]):
        kept = kept[:-1]
    return kept.rstrip() + "…"


def _clings(following: str, last: str) -> bool:
    joiners = "\u200d\ufe0e\ufe0f"
    return (
        bool(unicodedata.combining(following))
        or following in joiners
        or last == joiners[0]
        or "\U0001f3fb" <= following <= "\U0001f3ff"
    )
