"""Trade words that one to three heard words may have been: by their sound, their place, and the recogniser's own doubt.

For each stretch of a line the words of the trade that sound like it are looked
up; what speaks for one of them is put into numbers (``Evidence``) and weighed
(``WEIGHTS``). Only stretches that give cause are looked at: an unlikely word
(by the recogniser's probability), one that no word list has, or one that is
known to be heard for a trade word. Where the recogniser compared the two texts
with the sound (``second_look``), that is weighed too (``ByEar``); words of the
trade are doubted only there. Whether the talk is about reeds at all is asked
before (``doubtful``).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from annotate.listen.bench_talk import BEGIN, END
from annotate.listen.doubt_data import Alike
from annotate.listen.plain_words import kind_of_number
from annotate.listen.sound_alikes import USUAL, Near, Words, is_odd, near, talk, ways_heard

LONGEST = 3
# Words less likely than this by the recogniser give cause: in narrations that are hard to hear (set "practising")
# a third of the wrong words reach more, and one right word in ten does not.
UNLIKELY = 0.9
UNKNOWN_PROBABILITY = 0.97
# No evidence of place counts for more than this factor (natural logarithm).
MOST_LIFT = 3.0


@dataclass(frozen=True)
class Evidence:
    """What speaks for or against a candidate; lifts and odds are natural logarithms, yes and no are 1 and 0."""

    by_sound: float  # distance to the candidate, 0 where it is named for the stretch
    by_variant: float  # distance to it or to the nearest of what is heard for it
    behind: float  # how much further away than the nearest candidate
    in_place: float  # 1 where it is known to be misheard between such words, 0 where only elsewhere, else 0.5
    stands_before: float  # lift of the candidate after the word before
    stands_after: float  # lift of the word after, after the candidate
    heard_stands: float  # both, of what was heard
    is_odd: float
    is_named: float
    is_one_for_one: float
    is_merged: float  # fewer words than were heard
    is_split: float  # more
    heard_is_usual: float  # logarithm of one plus how often bench talk has the rarest word
    right_is_usual: float
    unlikely: float  # odds against the least likely word, by the recogniser
    unlikely_named: float
    small_words: float  # how many of the heard words are usual
    again: float  # logarithm of one plus how often the word was heard in the lines around


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

# What the sound says (nats) counts little up to the second of these, then more; from the last on it is even, and
# whatever speaks louder still is as often some other mishearing.
LEAST_NATS, CLOSE_NATS, EVEN_NATS = -20.0, -5.0, -1.0


@dataclass(frozen=True)
class ByEar:
    """What speaks for a candidate where the sound was asked."""

    text: float  # the score by the text alone
    far: float  # as the sound speaks for it, where it speaks against it
    close: float  # the same where it is nearly even
    is_for_trade: float  # a word of the trade was heard


EAR_BIAS = 3.40
EAR_WEIGHTS = ByEar(text=0.96, far=0.14, close=0.51, is_for_trade=-0.88)
_EAR_WEIGHED = tuple(vars(EAR_WEIGHTS).items())

# Stretch (first and last word, half-open) and candidate -> nats by which the sound speaks for it.
Ear = Mapping[tuple[int, int, tuple[str, ...]], float]
DEAF: Ear = {}


@dataclass(frozen=True)
class Misheard:
    """Words ``first`` to ``last`` (half-open) may be ``right``; ``score`` is 0 where it is even odds, in nats.

    ``nats`` is None where the sound was not asked.
    """

    first: int
    last: int
    right: tuple[str, ...]
    evidence: Evidence
    is_for_trade: bool = False
    nats: float | None = None

    @property
    def text_score(self) -> float:
        weighed: float = sum(weighs * getattr(self.evidence, name) for name, weighs in _WEIGHED)
        return BIAS + weighed

    @property
    def score(self) -> float:
        if self.nats is None:
            return -math.inf if self.is_for_trade else self.text_score
        heard = self.by_ear()
        weighed: float = sum(weighs * getattr(heard, name) for name, weighs in _EAR_WEIGHED)
        return EAR_BIAS + weighed

    def by_ear(self) -> ByEar:
        nats = self.nats or 0.0
        return ByEar(
            self.text_score,
            min(max(nats, LEAST_NATS), CLOSE_NATS),
            min(max(nats, CLOSE_NATS), EVEN_NATS),
            float(self.is_for_trade),
        )


def misheard(
    heard: Sequence[str], likely: Sequence[float] = (), around: Sequence[str] = (), ear: Ear = DEAF
) -> Iterator[Misheard]:
    """What a line's plain words may have been, in no order, overlapping; ``around`` are the plain words around it.

    ``likely`` are the recogniser's probabilities, one a word, or none.
    """
    chances = list(likely) if len(likely) == len(heard) else [UNKNOWN_PROBABILITY] * len(heard)
    kinds = (BEGIN, *map(kind_of_number, heard), END)
    for first in range(len(heard)):
        for last in range(first + 1, min(first + LONGEST, len(heard)) + 1):
            span = tuple(heard[first:last])
            chance = min(chances[first:last])
            found = near(span, chance < UNLIKELY)
            again = around.count(span[0]) if found and len(span) == 1 else 0
            place = _Place(_further(kinds, first), kinds[first], kinds[last + 1], chance, again)
            for one in found:
                evidence = _evidence(span, one, place)
                yield Misheard(first, last, one.right, evidence, one.is_for_trade, ear.get((first, last, one.right)))


@dataclass(frozen=True)
class _Place:
    """The words before and after a stretch, how likely it is, and how often it was heard around."""

    further: str
    before: str
    after: str
    chance: float
    again: int


def _further(kinds: Words, first: int) -> str:
    """The word before a stretch, or the one further back where a rare word (my *spare* bocal) stands between."""
    return kinds[first - 1] if first and talk().count[kinds[first]] < USUAL else kinds[first]


def _evidence(span: Words, one: Near, place: _Place) -> Evidence:
    count, right = talk().count, one.right
    before, after = place.before, place.after
    ways = ways_heard(right)
    unlikely = math.log((1.02 - place.chance) / (place.chance + 0.02))
    return Evidence(
        by_sound=0.0 if one.is_named else one.share,
        by_variant=min(one.share, one.variant_share),
        behind=one.behind,
        in_place=max(_in_place(ways, before, after), _in_place(ways, place.further, after)),
        stands_before=_within(talk().lift(before, right[0])),
        stands_after=_within(talk().lift_next(right[-1], after)),
        heard_stands=_within(talk().lift(before, span[0]) + talk().lift_next(span[-1], after)),
        is_odd=float(is_odd(span)),
        is_named=float(one.is_named),
        is_one_for_one=float(len(span) == 1 == len(right)),
        is_merged=float(len(span) > len(right)),
        is_split=float(len(right) > len(span)),
        heard_is_usual=math.log1p(min(count[word] for word in span)),
        right_is_usual=math.log1p(min(count[word] for word in right)),
        unlikely=unlikely,
        unlikely_named=unlikely * one.is_named,
        small_words=float(sum(count[word] >= USUAL for word in span)),
        again=math.log1p(place.again),
    )


def _in_place(ways: Sequence[Alike], before: str, after: str) -> float:
    """1 where words are known to be misheard so, 0 where they are only elsewhere, 0.5 where nothing is known."""
    placed = [way for way in ways if way.before or way.after]
    if any(way.fits(before, after) for way in placed):
        return 1.0
    return 0.5 if len(placed) < len(ways) or not ways else 0.0


def _within(lift: float) -> float:
    return min(max(lift, -MOST_LIFT), MOST_LIFT)
