"""Keeps the times of words when the maker changes the text of a line."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher

from annotate.model import Word


def retimed(words: Sequence[Word], text: str) -> tuple[Word, ...]:
    """The words of the new text: unchanged words keep their times, changed ones share the time of those they replace.

    New words where none stood before get no time, since nothing is known of them.
    """
    new = text.split()
    old = [word.text.strip() for word in words]
    found: list[Word] = []
    for what, first, last, new_first, new_last in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if what == "equal":
            found += words[first:last]
        elif what == "replace":
            found += _shared(words[first:last], new[new_first:new_last])
    return tuple(found)


def _shared(words: Sequence[Word], new: Sequence[str]) -> list[Word]:
    """New words over the time of the old ones, each by its share of the letters."""
    start, end = words[0].start_ms, words[-1].end_ms
    letters = sum(len(word) for word in new)
    found, done = [], 0
    for word in new:
        first = start + (end - start) * done // letters
        done += len(word)
        found.append(Word(first, start + (end - start) * done // letters, word))
    return found
