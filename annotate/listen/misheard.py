"""Trade words that one to three heard words may have been: by their sound, their place, and the recogniser's own doubt.

For each stretch of a line the words of the trade that sound like it are looked
up; what speaks for one of them is put into numbers (``Evidence``) and weighed
(``WEIGHTS``). Only stretches that give cause are looked at: an unlikely word
(by the recogniser's probability), one that no word list has, or one that is
known to be heard for a trade word. Words of the trade are taken as they were
heard. Whether the talk is about reeds at all is asked before (``doubtful``).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from annotate.listen.bench_talk import BEGIN, END, BenchTalk, bench_sentences
from annotate.listen.doubt_data import Alike, common_words, doubt_data
from annotate.listen.plain_words import kind_of_number, plain
from annotate.listen.pronounced import sounds_together
from annotate.listen.sound_distance import SoundList

LONGEST = 3
# Words less likely than this by the recogniser give cause: in unseen narrations (set "practising")
# a third of the wrong words reach more, and one right word in ten does not.
UNLIKELY = 0.8
UNKNOWN_PROBABILITY = 0.97
# Candidates further away by sound than this share of the longer one's weight are not weighed.
FARTHEST = 0.5
# Where the number of words changes they must be nearer: two words hold more sounds that happen to fit.
FARTHEST_REGROUPED = 0.3
# Word pairs (threes) of the talk with a trade word that were seen this often are candidates too.
SEEN_PAIRS, SEEN_THREES = 2, 3
# A word that bench talk uses this often is not doubted by itself.
USUAL = 25
SHORTEST_ODD = 4
MOST_LIFT = 3.0


@dataclass(frozen=True)
class Evidence:
    """What speaks for a candidate; each a plain number, natural logarithms where chances are compared."""

    by_sound: float
    by_variant: float
    behind: float
    in_place: float
    stands_before: float
    stands_after: float
    heard_stands: float
    is_odd: float
    is_named: float
    is_one_for_one: float
    is_merged: float
    is_split: float
    heard_is_usual: float
    right_is_usual: float
    unlikely: float
    unlikely_named: float
    small_words: float
    again: float


BIAS = -0.56
WEIGHTS = Evidence(
    by_sound=-2.72,
    by_variant=-5.73,
    behind=-2.77,
    in_place=1.24,
    stands_before=0.30,
    stands_after=0.31,
    heard_stands=-0.12,
    is_odd=1.41,
    is_named=-0.73,
    is_one_for_one=0.43,
    is_merged=2.28,
    is_split=-0.55,
    heard_is_usual=-0.35,
    right_is_usual=0.07,
    unlikely=0.23,
    unlikely_named=0.22,
    small_words=-0.22,
    again=0.80,
)

_WEIGHED = tuple(vars(WEIGHTS).items())


@dataclass(frozen=True)
class Misheard:
    """Words ``first`` to ``last`` (half-open) may be ``right``; ``score`` is 0 where it is even odds, in nats."""

    first: int
    last: int
    right: tuple[str, ...]
    evidence: Evidence

    @property
    def score(self) -> float:
        weighed: float = sum(weighs * getattr(self.evidence, name) for name, weighs in _WEIGHED)
        return BIAS + weighed


@dataclass(frozen=True)
class _Lexicon:
    candidates: tuple[tuple[str, ...], ...]
    sounds: SoundList
    variants: SoundList
    variant_of: NDArray[np.intp]
    alikes: Mapping[tuple[str, ...], tuple[Alike, ...]]
    also: Mapping[tuple[str, ...], frozenset[tuple[str, ...]]]
    talk: BenchTalk
    trade: frozenset[str]
    known: frozenset[str]


@cache
def _lexicon() -> _Lexicon:
    data = doubt_data()
    sentences = bench_sentences()
    kinds = {word: kind for kind, words in data.kinds.items() for word in words}
    talk = BenchTalk(sentences, {**dict.fromkeys(data.terms, "term"), **kinds, BEGIN: BEGIN, END: END})
    terms = frozenset(data.terms)
    seen: dict[tuple[str, ...], int] = {}
    for sentence in sentences:
        for length in (2, 3):
            for at in range(len(sentence) - length + 1):
                words = sentence[at : at + length]
                if not terms.isdisjoint(words) and not any("<" in word for word in words):
                    seen[words] = seen.get(words, 0) + 1
    often = [words for words, count in seen.items() if count >= (SEEN_PAIRS if len(words) == 2 else SEEN_THREES)]
    alikes: dict[tuple[str, ...], list[Alike]] = {}
    for one in dict.fromkeys(one for found in data.alikes.values() for one in found):
        alikes.setdefault(_words(one), []).append(one)
    also = [(one, tuple(map(plain, right.split()))) for right, heard in data.heard_for.items() for one in heard]
    candidates = tuple(
        dict.fromkeys([*((term,) for term in data.terms), *often, *alikes, *(right for _, right in also)])
    )
    number = {right: at for at, right in enumerate(candidates)}
    variants = [(heard, number[_words(one)]) for heard, found in data.alikes.items() for one in found]
    variants += [(heard, number[right]) for heard, right in also]
    trade = frozenset(word for word in terms | data.strong | data.weak if len(word) > 1)
    sounds = SoundList([sounds_together(words)[0] for words in candidates])
    return _Lexicon(
        candidates,
        sounds,
        SoundList([sounds_together(tuple(heard.split()))[0] for heard, _ in variants]),
        np.array([right for _, right in variants]),
        {right: tuple(found) for right, found in alikes.items()},
        {tuple(one.split()): frozenset(right for other, right in also if other == one) for one, _ in also},
        talk,
        trade,
        common_words() | frozenset(talk.count),
    )


def _words(alike: Alike) -> tuple[str, ...]:
    return tuple(map(plain, alike.right.split()))


def misheard(heard: Sequence[str], likely: Sequence[float] = (), near: Sequence[str] = ()) -> Iterator[Misheard]:
    """What a line's plain words may have been, in no order, overlapping; ``near`` are the plain words around the line.

    ``likely`` are the recogniser's probabilities, one a word, or none.
    """
    chances = list(likely) if len(likely) == len(heard) else [UNKNOWN_PROBABILITY] * len(heard)
    kinds = [BEGIN, *map(kind_of_number, heard), END]
    for first in range(len(heard)):
        for last in range(first + 1, min(first + LONGEST, len(heard)) + 1):
            span = tuple(heard[first:last])
            chance = min(chances[first:last])
            found = _near(span, chance < UNLIKELY)
            if found:
                again = _times(span, near)
                for one in found:
                    place = (_before(kinds, first), kinds[first], kinds[last + 1])
                    yield Misheard(first, last, one.right, _evidence(span, one, place, chance, again))


def _before(kinds: Sequence[str], first: int) -> str:
    """The word before a stretch, or the one further back where a rare word (my *spare* bocal) stands between."""
    return kinds[first - 1] if first and _lexicon().talk.count[kinds[first]] < USUAL else kinds[first]


def _times(span: tuple[str, ...], near: Sequence[str]) -> int:
    return near.count(span[0]) if len(span) == 1 else 0


@dataclass(frozen=True)
class _Near:
    """A candidate for a stretch with its distances, as shares of the longer one's weight."""

    right: tuple[str, ...]
    share: float
    variant_share: float
    is_named: bool
    behind: float = 0.0

    @property
    def far(self) -> float:
        return self.share + min(self.share, self.variant_share)


@lru_cache(maxsize=20_000)
def _near(span: tuple[str, ...], is_unlikely: bool) -> tuple[_Near, ...]:
    """Trade words that a stretch sounds like, or like what is known to be heard for them."""
    lexicon = _lexicon()
    if not all(span) or any(any(letter.isdigit() for letter in word) for word in span):
        return ()
    named = {_words(one) for one in doubt_data().alikes.get(" ".join(span), ())} | lexicon.also.get(span, frozenset())
    is_taken = not lexicon.trade.isdisjoint(span) or (len(span) == 1 and lexicon.talk.count[span[0]] >= USUAL)
    is_asked = not is_taken and (is_unlikely or _is_odd(span))
    if not named and not is_asked:
        return ()
    said = sounds_together(span)
    shares = lexicon.sounds.shares(said)
    variant_shares = np.ones(len(shares))
    np.minimum.at(variant_shares, lexicon.variant_of, lexicon.variants.shares(said))
    best = np.minimum(shares, variant_shares)
    found = []
    for number in np.flatnonzero(best <= FARTHEST):
        right = lexicon.candidates[number]
        is_near = best[number] <= (FARTHEST if len(right) == len(span) else FARTHEST_REGROUPED)
        if right in named or (is_asked and is_near and _may_be(span, right)):
            found.append(_Near(right, float(shares[number]), float(variant_shares[number]), right in named))
    nearest = min((one.far for one in found), default=0.0)
    return tuple(replace(one, behind=one.far - nearest) for one in found)


def _may_be(span: tuple[str, ...], right: tuple[str, ...]) -> bool:
    """Whether all of a stretch would change, and no little word at its beginning would be swallowed."""
    usual = _lexicon().talk.count
    if right[0] == span[0] or right[-1] == span[-1] or abs(len(right) - len(span)) > 1:
        return False
    return len(span) == 1 or usual[span[0]] < USUAL or usual[right[0]] >= USUAL


def _is_odd(span: Sequence[str]) -> bool:
    """Whether a word is in no list: neither common nor used at the bench, itself or without a usual ending."""
    return any(len(word) >= SHORTEST_ODD and _stem(word) is None for word in span)


_ENDINGS = ("", "s", "es", "ed", "er", "ing", "ly", "est", "'s")


@lru_cache(maxsize=20_000)
def _stem(word: str) -> str | None:
    known = _lexicon().known
    stems = (word.removesuffix(ending) for ending in _ENDINGS)
    return next((stem for stem in stems if stem in known or stem + "e" in known), None)


def _evidence(span: tuple[str, ...], one: _Near, place: tuple[str, str, str], chance: float, again: int) -> Evidence:
    talk, right = _lexicon().talk, one.right
    further, before, after = place
    ways = _lexicon().alikes.get(right, ())
    unlikely = math.log((1.02 - chance) / (chance + 0.02))
    return Evidence(
        by_sound=0.0 if one.is_named else one.share,
        by_variant=min(one.share, one.variant_share),
        behind=one.behind,
        in_place=max(_in_place(ways, before, after), _in_place(ways, further, after)),
        stands_before=_within(talk.lift(before, right[0])),
        stands_after=_within(talk.lift_next(right[-1], after)),
        heard_stands=_within(talk.lift(before, span[0]) + talk.lift_next(span[-1], after)),
        is_odd=float(_is_odd(span)),
        is_named=float(one.is_named),
        is_one_for_one=float(len(span) == 1 == len(right)),
        is_merged=float(len(span) > len(right)),
        is_split=float(len(right) > len(span)),
        heard_is_usual=math.log1p(min(talk.count[word] for word in span)),
        right_is_usual=math.log1p(min(talk.count[word] for word in right)),
        unlikely=unlikely,
        unlikely_named=unlikely * one.is_named,
        small_words=float(sum(talk.count[word] >= USUAL for word in span)),
        again=math.log1p(again),
    )


def _in_place(ways: Sequence[Alike], before: str, after: str) -> float:
    """1 where words are known to be misheard so, 0 where they are only elsewhere, 0.5 where nothing is known."""
    placed = [way for way in ways if way.before or way.after]
    if any(way.fits(before, after) for way in placed):
        return 1.0
    return 0.5 if len(placed) < len(ways) or not ways else 0.0


def _within(lift: float) -> float:
    return min(max(lift, -MOST_LIFT), MOST_LIFT)
