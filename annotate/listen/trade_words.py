"""Which words the recogniser is told to expect, the weightiest first.

The recogniser takes only some sixty words, so they are chosen: first what the
maker added, then the reeds in hand, then the trade words that are most often
misheard (those of ``doubtful.toml``), then the names of zones and steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain

from annotate.listen.doubtful import misheard_words
from annotate.vocabulary.words import vocabulary

# More ids than this push out the trade words; the newest come first.
MOST_REEDS = 8


def hint_words(instrument: str = "bassoon", reeds: Sequence[str] = (), own: Sequence[str] = ()) -> tuple[str, ...]:
    """Hints for ``recognise.Wishes``: the maker's ``own`` words, ``reeds`` (newest first), then the trade's.

    Every word is named once; how many fit is the recogniser's to say
    (``Recognition.hints_used``).
    """
    words = vocabulary(instrument)
    labels = [word.label for group in (words.zones, words.steps) for word in group.values()]
    return _once(chain(own, reeds[:MOST_REEDS], misheard_words(instrument), (label.lower() for label in labels)))


def _once(words: Iterable[str]) -> tuple[str, ...]:
    seen: dict[str, str] = {}
    for word in words:
        clean = " ".join(word.split())
        if clean:
            seen.setdefault(clean.casefold(), clean)
    return tuple(seen.values())
