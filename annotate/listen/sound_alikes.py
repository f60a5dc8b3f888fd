"""Which trade words a stretch of heard words sounds like, or like what is known to be heard for them.

The trade words, the pairs and threes they stand in and what is heard for them
come from ``doubtful.toml`` and ``bench_talk.txt``; distances are shares of the
longer one's weight (``sound_distance``).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from annotate.listen.bench_talk import BEGIN, END, BenchTalk, bench_sentences
from annotate.listen.doubt_data import Alike, common_words, doubt_data
from annotate.listen.plain_words import plain
from annotate.listen.pronounced import sounds_together
from annotate.listen.sound_distance import SoundList

Words = tuple[str, ...]
Value = TypeVar("Value")

# Candidates further away by sound than this share of the longer one's weight are left out.
FARTHEST = 0.5
# Where the number of words changes they must be nearer: two words hold more sounds that happen to fit.
FARTHEST_REGROUPED = 0.3
# For a word of the trade another one (gouge, gouged): only the like.
FARTHEST_TRADE = 0.4
# Word pairs (threes) of the talk with a trade word that were seen this often are candidates too.
SEEN_OFTEN = {2: 2, 3: 3}
# A word that bench talk uses this often is not doubted by itself.
USUAL = 25
SHORTEST_ODD = 4
_ENDINGS = ("", "s", "es", "ed", "er", "ing", "ly", "est", "'s")


@dataclass(frozen=True)
class Near:
    """A candidate for a stretch, with its distance and that of the nearest of what is heard for it."""

    right: Words
    share: float
    variant_share: float
    is_named: bool
    is_for_trade: bool = False
    behind: float = 0.0

    @property
    def far(self) -> float:
        return self.share + min(self.share, self.variant_share)


@dataclass(frozen=True)
class _Lexicon:
    """Candidates with their sounds; ``variant_of`` gives for each variant the number of its candidate."""

    candidates: tuple[Words, ...]
    sounds: SoundList
    variants: SoundList
    variant_of: NDArray[np.intp]
    lengths: NDArray[np.intp]
    number: Mapping[Words, int]
    named: Mapping[Words, frozenset[Words]]
    ways: Mapping[Words, tuple[Alike, ...]]
    talk: BenchTalk
    trade: frozenset[str]
    known: frozenset[str]


@cache
def _lexicon() -> _Lexicon:
    data = doubt_data()
    kinds = {word: kind for kind, words in data.kinds.items() for word in words}
    talk = BenchTalk(bench_sentences(), {**dict.fromkeys(data.terms, "term"), **kinds, BEGIN: BEGIN, END: END})
    pairs = [(heard, _words(one.right)) for heard, found in data.alikes.items() for one in found]
    pairs += [(heard, _words(right)) for right, found in data.heard_for.items() for heard in found]
    single = ((term,) for term in data.terms)
    candidates = tuple(dict.fromkeys([*single, *_seen_often(frozenset(data.terms)), *(right for _, right in pairs)]))
    number = {right: at for at, right in enumerate(candidates)}
    ways = dict.fromkeys(one for found in data.alikes.values() for one in found)
    return _Lexicon(
        candidates,
        SoundList([sounds_together(words)[0] for words in candidates]),
        SoundList([sounds_together(tuple(heard.split()))[0] for heard, _ in pairs]),
        np.array([number[right] for _, right in pairs], np.intp),
        np.array([len(words) for words in candidates], np.intp),
        number,
        {
            words: frozenset(right)
            for words, right in _grouped((tuple(heard.split()), to) for heard, to in pairs).items()
        },
        {right: tuple(found) for right, found in _grouped((_words(one.right), one) for one in ways).items()},
        talk,
        frozenset(word for word in {*data.terms, *data.strong, *data.weak} if len(word) > 1),
        common_words() | frozenset(talk.count),
    )


def _words(text: str) -> Words:
    return tuple(map(plain, text.split()))


def _grouped(pairs: Iterable[tuple[Words, Value]]) -> dict[Words, list[Value]]:
    groups: dict[Words, list[Value]] = {}
    for words, value in pairs:
        groups.setdefault(words, []).append(value)
    return groups


def _seen_often(terms: frozenset[str]) -> list[Words]:
    """Two or three words with a trade word among them that often stand together in bench talk."""
    seen = Counter(
        words
        for sentence in bench_sentences()
        for length in SEEN_OFTEN
        for at in range(len(sentence) - length + 1)
        if not terms.isdisjoint(words := sentence[at : at + length]) and not any("<" in word for word in words)
    )
    return [words for words, count in seen.items() if count >= SEEN_OFTEN[len(words)]]


def talk() -> BenchTalk:
    return _lexicon().talk


def ways_heard(right: Words) -> tuple[Alike, ...]:
    """The named ways to mishear a candidate."""
    return _lexicon().ways.get(right, ())


@lru_cache(maxsize=20_000)
def near(span: Words, is_unlikely: bool) -> tuple[Near, ...]:
    """The candidates for a stretch: those that are named for it and, if it gives cause, those that sound like it.

    A word of the trade gives cause only by being unlikely, and only by itself.
    """
    lexicon = _lexicon()
    if not all(span) or any(any(letter.isdigit() for letter in word) for word in span):
        return ()
    named = lexicon.named.get(span, frozenset())
    is_trade = not lexicon.trade.isdisjoint(span)
    if is_trade:
        is_asked = is_unlikely and len(span) == 1
    else:
        is_asked = (is_unlikely or is_odd(span)) and not (len(span) == 1 and lexicon.talk.count[span[0]] >= USUAL)
    if not named and not is_asked:
        return ()
    said = sounds_together(span)
    farthest = np.where(lexicon.lengths == len(span), FARTHEST_TRADE if is_trade else FARTHEST, FARTHEST_REGROUPED)
    shares, variant_shares = _shares(said, farthest, [lexicon.number[right] for right in named])
    best = np.minimum(shares, variant_shares)
    found = []
    for number in np.flatnonzero(best <= FARTHEST):
        right = lexicon.candidates[number]
        if right in named or (is_asked and best[number] <= farthest[number] and _may_be(span, right)):
            found.append(Near(right, float(shares[number]), float(variant_shares[number]), right in named, is_trade))
    nearest = min((one.far for one in found), default=0.0)
    return tuple(replace(one, behind=one.far - nearest) for one in found)


def _shares(
    said: Sequence[str], farthest: NDArray[np.float64], named: Sequence[int]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Distances to the candidates and to the nearest of what is heard for them; 1 for those that are far by weight."""
    lexicon = _lexicon()
    variants = lexicon.variants.may_be_near(said, farthest[lexicon.variant_of])
    variant_shares = np.ones(len(farthest))
    np.minimum.at(variant_shares, lexicon.variant_of[variants], lexicon.variants.shares(said, variants))
    is_asked = variant_shares <= farthest
    is_asked[lexicon.sounds.may_be_near(said, farthest)] = True
    is_asked[list(named)] = True
    columns = np.flatnonzero(is_asked)
    shares = np.ones(len(farthest))
    shares[columns] = lexicon.sounds.shares(said, columns)
    return shares, variant_shares


def _may_be(span: Words, right: Words) -> bool:
    """Whether all of a stretch would change, and no little word at its beginning would be swallowed."""
    count = _lexicon().talk.count
    if right[0] == span[0] or right[-1] == span[-1] or abs(len(right) - len(span)) > 1:
        return False
    return len(span) == 1 or count[span[0]] < USUAL or count[right[0]] >= USUAL


def is_odd(span: Sequence[str]) -> bool:
    """Whether a word is in no list: neither common nor used at the bench, itself or without a usual ending."""
    return any(len(word) >= SHORTEST_ODD and not _is_known(word) for word in span)


@lru_cache(maxsize=20_000)
def _is_known(word: str) -> bool:
    known = _lexicon().known
    stems = [word.removesuffix(ending) for ending in _ENDINGS]
    return any(stem in known or stem + "e" in known for stem in stems)
