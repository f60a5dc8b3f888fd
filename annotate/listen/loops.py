"""Repetition loops: words that a recogniser writes again and again though they were said once.

Found by structure, not by score (scores look good in a loop): the same run of
words follows itself, and the copies take no time, or more of them than anyone
says come in one breath. People do repeat themselves ("no, no, no"); such copies
take time and stay.
"""

from __future__ import annotations

from collections.abc import Sequence

from annotate.model import Word

LONGEST_RUN = 16
# Faster than this nobody speaks: the shortest spoken words last about 80 ms (from memory).
LEAST_MS_PER_WORD = 50
# From this many copies on it is a loop even if it takes time: one word, or a run of several.
COPIES_OF_ONE = 8
COPIES_OF_MANY = 4


def _plain(text: str) -> str:
    return "".join(letter for letter in text.lower() if letter.isalnum())


def without_loops(words: Sequence[Word]) -> tuple[list[Word], bool]:
    """The words with each loop cut down to its first copy, and whether there was one.

    What comes after a loop is kept.
    """
    kept: list[Word] = []
    plain = [_plain(word.text) for word in words]
    at, found = 0, False
    while at < len(words):
        run, copies = _loop(words, plain, at)
        kept.extend(words[at : at + run])
        found = found or copies > 1
        at += run * copies
    return kept, found


def _loop(words: Sequence[Word], plain: Sequence[str], at: int) -> tuple[int, int]:
    """Length of the run that begins a loop here and its number of copies; (1, 1) where there is none."""
    for run in range(1, min(LONGEST_RUN, (len(plain) - at) // 2) + 1):
        first = plain[at : at + run]
        if not any(first):
            continue
        copies = 1
        while plain[at + run * copies : at + run * (copies + 1)] == first:
            copies += 1
        if copies > 1 and _is_loop(words[at + run : at + run * copies], run, copies):
            return run, copies
    return 1, 1


def _is_loop(repeated: Sequence[Word], run: int, copies: int) -> bool:
    if copies >= (COPIES_OF_ONE if run == 1 else COPIES_OF_MANY):
        return True
    spoken_ms = sum(word.end_ms - word.start_ms for word in repeated)
    return spoken_ms < LEAST_MS_PER_WORD * len(repeated)
