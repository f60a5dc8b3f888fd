"""Gives every word of a line a time, also after the maker has corrected the text.

Words that stand as they were heard keep their time; those that were changed or
added share the time between their neighbours by length. Words are split at
blanks; scripts written without blanks are split where a character is wide.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from annotate.model import Line, Word


@dataclass(frozen=True)
class Piece:
    """A word as it is shown: ``glued`` if no blank stands before it."""

    start_ms: int
    end_ms: int
    text: str
    glued: bool = False


def width(text: str) -> int:
    """Columns the text takes: wide East Asian characters and emoji two, marks on letters none (UAX 11)."""
    return sum(_columns(character) for character in text)


def _columns(character: str) -> int:
    if unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def pieces(line: Line) -> list[Piece]:
    """The line's words with times, in order, never running backwards, inside the line's own range."""
    shown = list(_split(line.text))
    heard = [(word, text, glued) for word in line.words for text, glued in _split(word.text)]
    known: list[tuple[int, int] | None] = [None] * len(shown)
    match = SequenceMatcher(None, [_key(text) for _, text, _ in heard], [_key(text) for text, _ in shown], False)
    for block in match.get_matching_blocks():
        for offset in range(block.size):
            word = heard[block.a + offset][0]
            known[block.b + offset] = _part(word, heard, block.a + offset)
    return list(_timed(line, shown, known))


def _split(text: str) -> Iterator[tuple[str, bool]]:
    """Words, and whether each follows the one before without a blank."""
    for word in text.split():
        glued = False
        for part in _narrow_runs(word):
            yield part, glued
            glued = True


def _narrow_runs(word: str) -> list[str]:
    """A word cut where wide letters allow a line to break; punctuation and marks stay with what they follow."""
    parts: list[str] = []
    for character in word:
        is_letter = unicodedata.category(character)[0] in "LN"
        breaks = is_letter and (width(character) == 2 or (parts and _ends_wide(parts[-1])))
        if parts and not breaks:
            parts[-1] += character
        else:
            parts.append(character)
    return parts


def _ends_wide(part: str) -> bool:
    letters = [one for one in part if unicodedata.category(one)[0] in "LN"]
    return bool(letters) and width(letters[-1]) == 2


def _key(text: str) -> str:
    return re.sub(r"[^\w]", "", text).casefold() or text


def _part(word: Word, heard: Sequence[tuple[Word, str, bool]], at: int) -> tuple[int, int]:
    """The share of a heard word's time that one of its parts takes (parts of equal length)."""
    same = [number for number, (one, _, _) in enumerate(heard) if one is word]
    span, place = word.end_ms - word.start_ms, same.index(at)
    return word.start_ms + span * place // len(same), word.start_ms + span * (place + 1) // len(same)


def _timed(line: Line, shown: Sequence[tuple[str, bool]], known: Sequence[tuple[int, int] | None]) -> Iterator[Piece]:
    at, now_ms = 0, line.start_ms
    while at < len(shown):
        times = known[at]
        if times is not None:
            start_ms = min(max(times[0], now_ms), line.end_ms)
            now_ms = min(max(times[1], start_ms), line.end_ms)
            yield Piece(start_ms, now_ms, *shown[at])
            at += 1
            continue
        stop = next((number for number in range(at, len(shown)) if known[number] is not None), len(shown))
        following = known[stop] if stop < len(shown) else None
        until_ms = max(now_ms, min(following[0] if following else line.end_ms, line.end_ms))
        lengths = [max(1, len(text)) for text, _ in shown[at:stop]]
        total, done, from_ms = sum(lengths), 0, now_ms
        for number, length in zip(range(at, stop), lengths, strict=True):
            start_ms = from_ms + (until_ms - from_ms) * done // total
            done += length
            now_ms = from_ms + (until_ms - from_ms) * done // total
            yield Piece(start_ms, now_ms, *shown[number])
        at = stop
