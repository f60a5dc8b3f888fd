"""Which words the recogniser is told to expect, the weightiest first.

The recogniser takes only some two hundred parts of words, so they are chosen:
first what the maker added, then the reeds in hand, then sentences with the trade
words that are most often misheard (``doubtful.toml``).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain

from annotate.listen.doubt_data import doubt_data

# More ids than this push out the trade words; the newest come first.
MOST_REEDS = 8


def hint_words(instrument: str = "bassoon", reeds: Sequence[str] = (), own: Sequence[str] = ()) -> tuple[str, ...]:
    """Hints for ``recognise.Wishes``: the maker's ``own`` words, ``reeds`` (newest first), then the trade's.

    A hint that ends in a full stop is a sentence. Every hint is named once; how
    many fit is the recogniser's to say (``Recognition.hints_used``).
    """
    hints = doubt_data().hints
    others = (sentence for name, told in hints.items() if name not in ("both", instrument) for sentence in told)
    named = (f"reed {reed}" for reed in reeds[:MOST_REEDS])
    return _once(chain(own, named, hints.get(instrument, ()), hints["both"], others))


def _once(words: Iterable[str]) -> tuple[str, ...]:
    seen: dict[str, str] = {}
    for word in words:
        clean = " ".join(word.split())
        if clean:
            seen.setdefault(clean.casefold(), clean)
    return tuple(seen.values())
