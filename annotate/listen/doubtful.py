"""Doubtful words: where a heard word sounds like a trade word and the sentence speaks for it.

Pure text. First the sound-alikes that are known by name, with the words that
speak for them (``doubtful.toml``). Such a proposal needs the right place in the
sentence (a noun stands after "the", a verb after "I" or "to") and enough points
from the words around: a word of the trade alone counts two, an ordinary word
with a trade meaning one, a low probability one, the lines around two or three.
Then, where the talk is clearly about reeds, whatever else sounds like a trade
word and stands where one would (``misheard``).
Nothing is changed here: the maker accepts a proposal or leaves it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from annotate.listen.doubt_data import Alike, doubt_data
from annotate.listen.misheard import Ear, Misheard, misheard
from annotate.listen.plain_words import kind_of_number, plain
from annotate.model import Word

__all__ = ["NEIGHBOURS", "Doubt", "all_doubts", "doubtful", "doubtful_by_name", "plain", "what_sounds_say"]

STRONG_POINTS = 2
WEAK_POINTS = 1
MOST_WEAK_POINTS = 2
AROUND_POINTS = 2
MORE_AROUND_POINTS = 1
SURE_AROUND = 2
# A doubtful word that is hardly ever meant where it stands ("the read") speaks for others in the line.
SURE_FELLOW_POINTS = 2
UNLIKELY = 0.5
UNLIKELY_POINTS = 1
CONFIDENCE_AT_NEED = 0.7
CONFIDENCE_PER_POINT = 0.08
LONGEST_HEARD = 3
# Names of notes, and "I".
_CAPITALS = frozenset("bcdefgi")
# Lines before and after that may speak for a line: a few minutes of talk each way. With 15, a sixth of the lines of
# the set "later" stood among too few words of the trade.
NEIGHBOURS = 30
# Talk is about reeds where this share of the words are the trade's (those of the trade alone count double)
# and one is the trade's alone. In thirty lines of 40 invented bench talks it is 0.07 to 0.45, in ordinary
# English up to 0.05 (tests/bench/speech_sentences/ordinary.txt).
ABOUT_REEDS = 0.065
# Where all words of the trade alone may have been misheard: so many different ordinary ones with a trade meaning.
# Thirty lines of bench talk hold some 20, ordinary English that is full of them up to 14.
KINDS_ALONE = 16
# A sentence or two say little: nothing rests on fewer words of the trade (those of the trade alone count double).
FEWEST_POINTS = 4
# Odds (natural logarithm) at which a word that only sounds like one of the trade's is proposed: 2 to 1. On the six
# sets of narrations it gives 95 % right proposals; lower finds more.
SCORE_NEEDED = 0.65
# Where the sound was asked, 2.7 to 1.
EAR_SCORE_NEEDED = 1.0


@dataclass(frozen=True)
class Doubt:
    """Words ``first`` to ``last`` (half-open) of a line, what was ``heard`` there, and what is ``proposed``."""

    first: int
    last: int
    heard: str
    proposed: str
    reason: str
    confidence: float


def doubtful(text: str, words: Sequence[Word] = (), around: str = "", own: Sequence[str] = ()) -> list[Doubt]:
    """Proposals for one line, in order, not overlapping.

    Parameters
    ----------
    text
        The line's text; proposals count its words as split at blanks.
    words
        The recogniser's words, for their probability; used where they are as many as those of ``text``.
    around
        The text of the lines before and after.
    own
        Further words that speak for the trade, such as reed ids.
    """
    shown = text.split()
    line = _line(shown, words, around, own)
    named = _named(line, shown)
    return sorted([*named, *_by_sound(line, shown, named)], key=lambda doubt: doubt.first)


def doubtful_by_name(text: str, words: Sequence[Word] = (), around: str = "") -> list[Doubt]:
    """Only what the data names, as :func:`doubtful` proposes it."""
    return _named(_line(text.split(), words, around, ()), text.split())


def _line(shown: Sequence[str], words: Sequence[Word], around: str, own: Sequence[str]) -> _Line:
    near = tuple(plain(word) for word in around.split())
    return _Line(
        tuple(plain(word) for word in shown),
        tuple(word.probability for word in words) if len(words) == len(shown) else (),
        near,
        _around_points(near),
        frozenset(plain(word) for word in own),
        what_sounds_say(words) if len(words) == len(shown) else {},
    )


def what_sounds_say(words: Sequence[Word]) -> Ear:
    """What the sound says of stretches that still read as they were heard."""
    heard = [plain(word.text) for word in words]
    found = {}
    for at, word in enumerate(words):
        for one in word.instead:
            said = one.heard.split()
            if heard[at : at + len(said)] == said:
                found[at, at + len(said), tuple(one.right.split())] = one.nats
    return found


@dataclass(frozen=True)
class _Line:
    """A line's plain words with their probabilities, the words around it, and the maker's own."""

    heard: tuple[str, ...]
    likely: tuple[float, ...]
    near: tuple[str, ...]
    around_points: int
    own: frozenset[str]
    ear: Ear


@dataclass(frozen=True)
class _Candidate:
    """A sound-alike in its place in the sentence, before the points are counted."""

    first: int
    last: int
    alike: Alike


def _candidates(heard: Sequence[str]) -> list[_Candidate]:
    return [
        _Candidate(at, at + length, alike)
        for at in range(len(heard))
        for length in range(1, min(LONGEST_HEARD, len(heard) - at) + 1)
        for alike in doubt_data().alikes.get(" ".join(heard[at : at + length]), ())
        if _fits(alike, heard, at, at + length)
    ]


def _named(line: _Line, shown: Sequence[str]) -> list[Doubt]:
    """What the data names, from left to right."""
    candidates = _candidates(line.heard)
    found: list[Doubt] = []
    at = 0
    while at < len(shown):
        doubt = _best(line, candidates, at, shown)
        if doubt:
            found.append(doubt)
        at = doubt.last if doubt else at + 1
    return found


def _by_sound(line: _Line, shown: Sequence[str], named: Sequence[Doubt]) -> list[Doubt]:
    """What else sounds like a trade word, the surest first, where the talk is about reeds."""
    speaks = next((word for word in (*line.heard, *line.near) if word in doubt_data().strong), "")
    if not _is_about_reeds((*line.heard, *line.near)):
        return []
    free = set(range(len(shown))).difference(*(range(doubt.first, doubt.last) for doubt in named))
    found: list[Doubt] = []
    guesses = [guess for guess in misheard(line.heard, line.likely, line.near, line.ear) if _is_enough(guess)]
    for guess in sorted(guesses, key=lambda guess: guess.score, reverse=True):
        here = range(guess.first, guess.last)
        if free.issuperset(here):
            free.difference_update(here)
            found.append(_as_doubt(guess, shown, speaks))
    return found


def _is_enough(guess: Misheard) -> bool:
    return guess.score >= (SCORE_NEEDED if guess.nats is None else EAR_SCORE_NEEDED)


def _as_doubt(guess: Misheard, shown: Sequence[str], speaks: str) -> Doubt:
    said = _bare(shown[guess.first : guess.last])
    right = " ".join(word.upper() if word in _CAPITALS else word for word in guess.right)
    chance = 1 / (1 + math.exp(-guess.score))
    return Doubt(guess.first, guess.last, said, right, _reason(said, right, speaks), round(min(0.98, chance), 2))


def _bare(shown: Sequence[str]) -> str:
    return " ".join(shown).strip('.,;:!?"')


def _best(line: _Line, candidates: Sequence[_Candidate], at: int, shown: Sequence[str]) -> Doubt | None:
    """The proposal that begins at word ``at``: the longest one, and of those the surest."""
    options = []
    for one in candidates:
        if one.first == at:
            points, speaks = _points(line, candidates, one)
            if points >= one.alike.needs:
                options.append((one.last, points - one.alike.needs, one, speaks))
    if not options:
        return None
    last, spare, one, speaks = max(options, key=lambda option: option[:2])
    said = _bare(shown[at:last])
    return Doubt(at, last, said, one.alike.right, _reason(said, one.alike.right, speaks), _confidence(spare))


def _fits(alike: Alike, heard: Sequence[str], at: int, last: int) -> bool:
    before = kind_of_number(heard[at - 1]) if at else "^"
    after = kind_of_number(heard[last]) if last < len(heard) else "$"
    return alike.fits(before, after)


def _points(line: _Line, candidates: Sequence[_Candidate], one: _Candidate) -> tuple[int, str]:
    """How much the words around speak for the trade, and the one that speaks loudest."""
    data = doubt_data()
    others = [*line.heard[: one.first], *line.heard[one.last :]]
    strong = [word for word in others if word in data.strong or word in line.own]
    weak = [word for word in others if word in data.weak]
    points = STRONG_POINTS * min(len(set(strong)), 2) + min(WEAK_POINTS * len(set(weak)), MOST_WEAK_POINTS)
    if any(other.alike.is_sure for other in candidates if other.last <= one.first or other.first >= one.last):
        points += SURE_FELLOW_POINTS
    behind = sorted(data.strong.intersection(line.near))
    points += line.around_points
    if points and min(line.likely[one.first : one.last], default=1.0) < UNLIKELY:
        points += UNLIKELY_POINTS
    return points, next(iter([*strong, *weak, *behind]), "")


@lru_cache(maxsize=2_000)
def _around_points(near: tuple[str, ...]) -> int:
    """How much the lines around speak for the trade: by its own words, or by many of its ordinary ones together."""
    has_own = not doubt_data().strong.isdisjoint(near)
    has_own = has_own or sum(one.alike.is_sure for one in _candidates(near)) >= SURE_AROUND
    has_many = _is_about_reeds(near)
    return AROUND_POINTS * (has_own or has_many) + MORE_AROUND_POINTS * (has_own and has_many)


def _is_about_reeds(words: Sequence[str]) -> bool:
    data = doubt_data()
    own = [word for word in words if word in data.strong]
    weak = [word for word in words if word in data.weak and len(word) > 1]
    count = 2 * len(own) + len(weak)
    if count < FEWEST_POINTS or count < ABOUT_REEDS * len(words):
        return False
    return bool(own) or len(set(weak)) >= KINDS_ALONE


def _reason(heard: str, right: str, speaks: str) -> str:
    near = f", and “{speaks}” is near it" if speaks else ""
    return f"“{heard}” sounds like “{right}”{near}."


def _confidence(spare: int) -> float:
    return round(min(0.98, CONFIDENCE_AT_NEED + CONFIDENCE_PER_POINT * spare), 2)


def all_doubts(lines: Sequence[str]) -> Iterator[tuple[int, Doubt]]:
    """Doubts of a session's lines, each with its line's number; neighbours speak for each other."""
    for number, line in enumerate(lines):
        around = " ".join([*lines[max(number - NEIGHBOURS, 0) : number], *lines[number + 1 :][:NEIGHBOURS]])
        for doubt in doubtful(line, around=around):
            yield number, doubt
