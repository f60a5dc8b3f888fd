"""Repetition loops: words that a recogniser writes again and again though they were said once.

Found by structure, not by score (scores look good in a loop): the same run of
words follows itself, and the copies take no time ("squeezed"), or there are
more of them in one breath than anyone says ("many"). People do repeat
themselves ("no, no, no"); such copies take time and stay. Many copies are only
a suspicion: a second, more careful pass decides, and what it still repeats in
plausible time was said.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from statistics import median

from annotate.model import Word

LONGEST_RUN = 16
# Faster than this nobody speaks: the shortest spoken words last about 80 ms (from memory).
LEAST_MS_PER_WORD = 50
# From this many copies without a pause between them it may be a loop though it takes time:
# of one word, or of a run of several.
COPIES_OF_ONE = 8
COPIES_OF_MANY = 4
BREATH_MS = 250
# Nobody says this many words twice by chance.
COPIED_RUN = 6


def _plain(text: str) -> str:
    return "".join(letter for letter in text.lower() if letter.isalnum())


def squeezed_out(words: Sequence[Word]) -> list[Word]:
    """The words with each squeezed loop cut down to its first copy; what comes after it is kept."""
    return _walk(words, _is_squeezed)


def is_suspect(words: Sequence[Word]) -> bool:
    """Whether there is a loop of either kind, so that a second pass is worth its time."""
    return len(_walk(words, lambda one, run: _is_squeezed(one, run) or _is_many(one, run))) < len(words)


def has_copies(words: Sequence[Word]) -> bool:
    """Whether a run of several words stands more than once: where a sentence was said twice a copy may be lost."""
    plain = [_plain(word.text) for word in words]
    runs = [tuple(plain[at : at + COPIED_RUN]) for at in range(len(plain) - COPIED_RUN + 1)]
    return len(set(runs)) < len(runs)


def _walk(words: Sequence[Word], is_loop: Callable[[Sequence[Word], int], bool]) -> list[Word]:
    kept: list[Word] = []
    plain = [_plain(word.text) for word in words]
    at = 0
    while at < len(words):
        run, copies = _copies(words, plain, at, is_loop)
        kept.extend(words[at : at + run])
        at += run * copies
    return kept


def _copies(
    words: Sequence[Word], plain: Sequence[str], at: int, is_loop: Callable[[Sequence[Word], int], bool]
) -> tuple[int, int]:
    """Length of the run that begins a loop here and its number of copies; (1, 1) where there is none."""
    for run in range(1, min(LONGEST_RUN, (len(plain) - at) // 2) + 1):
        first = plain[at : at + run]
        if not any(first):
            continue
        copies = 1
        while plain[at + run * copies : at + run * (copies + 1)] == first:
            copies += 1
        if copies > 1 and is_loop(words[at : at + run * copies], run):
            return run, copies
    return 1, 1


def _is_squeezed(words: Sequence[Word], run: int) -> bool:
    spoken_ms = sum(word.end_ms - word.start_ms for word in words[run:])
    return spoken_ms < LEAST_MS_PER_WORD * (len(words) - run)


def _is_many(words: Sequence[Word], run: int) -> bool:
    if len(words) // run < (COPIES_OF_ONE if run == 1 else COPIES_OF_MANY):
        return False
    pauses = [0, *(after.start_ms - before.end_ms for before, after in pairwise(words))]
    # A copy may begin anywhere in what is said, so the breath may be anywhere in it.
    return median(max(pauses[at : at + run]) for at in range(run, len(words), run)) < BREATH_MS
