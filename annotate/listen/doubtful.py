"""Doubtful words: where a heard word sounds like a trade word and the sentence speaks for it.

Pure text. The sound-alikes and the words that speak for them are data
(``doubtful.toml``). A proposal needs the right place in the sentence (a noun
stands after "the", a verb after "I" or "to") and enough points from the words
around: a word of the trade alone counts two, an ordinary word with a trade
meaning one, a low probability one, the lines around two or three.
Nothing is changed here: the maker accepts a proposal or leaves it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from annotate.listen.doubt_data import Alike, common_words, doubt_data
from annotate.listen.sound_key import distance, sound_key
from annotate.model import Word

STRONG_POINTS = 2
WEAK_POINTS = 1
MOST_WEAK_POINTS = 2
AROUND_POINTS = 2
MORE_AROUND_POINTS = 1
# Ten lines of bench talk hold 10 to 20 different weak words, ten lines of ordinary English 0 to 5
# (counted on tests/bench/speech_sentences).
WEAK_AROUND = 7
SURE_AROUND = 2
# A doubtful word that is hardly ever meant where it stands ("the read") speaks for others in the line.
SURE_FELLOW_POINTS = 2
# A rare word this near to a trade word by sound may be it (see sound_key), in a line clearly about reeds.
NEAR_ENOUGH = 0.25
NEAR_ENOUGH_TOGETHER = 0.15
SHORTEST_RARE = 4
RARE_NEEDS = 3
_ENDINGS = ("s", "es", "ed", "er", "ing", "ly", "est")
UNLIKELY = 0.5
UNLIKELY_POINTS = 1
CONFIDENCE_AT_NEED = 0.7
CONFIDENCE_PER_POINT = 0.08
LONGEST_HEARD = 3
# Lines before and after that may speak for a line: some half a minute of talk each way.
NEIGHBOURS = 5


@dataclass(frozen=True)
class Doubt:
    """Words ``first`` to ``last`` (half-open) of a line, what was ``heard`` there, and what is ``proposed``."""

    first: int
    last: int
    heard: str
    proposed: str
    reason: str
    confidence: float


def misheard_words(instrument: str = "bassoon") -> tuple[str, ...]:
    """Trade words that are often misheard, the weightiest first."""
    hints = doubt_data().misheard
    return tuple(dict.fromkeys((*hints["both"], *hints.get(instrument, ()))))


def plain(text: str) -> str:
    """Lower case; letters, digits, and apostrophes and hyphens inside."""
    return "".join(letter for letter in text.lower().replace("’", "'") if letter.isalnum() or letter in "'-").strip(
        "'-"
    )


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
    near = [plain(word) for word in around.split()]
    line = _Line(
        tuple(plain(word) for word in shown),
        tuple(word.probability for word in words) if len(words) == len(shown) else (1.0,) * len(shown),
        frozenset(near),
        _around_points(near),
        frozenset(plain(word) for word in own),
    )
    candidates = _candidates(line.heard)
    found: list[Doubt] = []
    at = 0
    while at < len(shown):
        doubt = _best(line, candidates, at, shown)
        if doubt:
            found.append(doubt)
        at = doubt.last if doubt else at + 1
    return found


@dataclass(frozen=True)
class _Line:
    """A line's plain words with their probabilities, the words around it, and the maker's own."""

    heard: tuple[str, ...]
    likely: tuple[float, ...]
    near: frozenset[str]
    around_points: int
    own: frozenset[str]


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
        for alike in _alikes(" ".join(heard[at : at + length]))
        if _fits(alike, heard, at, at + length)
    ]


def _alikes(heard: str) -> tuple[Alike, ...]:
    """The sound-alikes that the data names, else for a rare word the trade word it sounds like."""
    named = doubt_data().alikes.get(heard, ())
    near = None if named or " " in heard else _nearest(heard)
    return (near,) if near else named


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
    said = " ".join(shown[at:last]).strip('.,;:!?"')
    return Doubt(at, last, said, one.alike.right, _reason(said, one.alike.right, speaks), _confidence(spare))


def _fits(alike: Alike, heard: Sequence[str], at: int, last: int) -> bool:
    before = _place(heard[at - 1]) if at else "^"
    after = _place(heard[last]) if last < len(heard) else "$"
    if (alike.before and before not in alike.before) or (alike.after and after not in alike.after):
        return False
    return before not in alike.not_before and after not in alike.not_after


def _is_known(word: str) -> bool:
    """Whether a word, or what is left of it without a usual ending, is common or of the trade."""
    known = doubt_data().strong | doubt_data().weak | frozenset(doubt_data().terms) | common_words()
    once = {word, *(word.removesuffix(ending) for ending in _ENDINGS)}
    stems = {stem.removesuffix(ending) for stem in once for ending in ("", *_ENDINGS)}
    return any(stem in known or stem + "e" in known for stem in stems)


@cache
def _nearest(heard: str) -> Alike | None:
    """The trade word that a rare word sounds like, as a sound-alike that needs a line clearly about reeds."""
    data = doubt_data()
    stem = heard.removesuffix("'s")
    if len(stem) < SHORTEST_RARE or not stem.isalpha() or _is_known(stem):
        return None
    key = sound_key(stem)
    far, right = min((distance(key, sound_key(term)), term) for term in data.terms)
    both, together = min((distance(key, sound_key(term)), term) for term in data.run_together)
    if both <= NEAR_ENOUGH_TOGETHER and both < far:
        far, right = both, together
    if far > NEAR_ENOUGH:
        return None
    return Alike(right, RARE_NEEDS, False, frozenset(), frozenset(), frozenset(), frozenset())


def _place(word: str) -> str:
    """A neighbour as the data names it: a number and an id such as b14 by their kind."""
    if not any(letter.isdigit() for letter in word):
        return word
    return "<n>" if word.isdigit() else "<id>"


def _points(line: _Line, candidates: Sequence[_Candidate], one: _Candidate) -> tuple[int, str]:
    """How much the words around speak for the trade, and the one that speaks loudest."""
    data = doubt_data()
    others = [*line.heard[: one.first], *line.heard[one.last :]]
    strong = [word for word in others if word in data.strong or word in line.own]
    weak = [word for word in others if word in data.weak]
    points = STRONG_POINTS * min(len(set(strong)), 2) + min(WEAK_POINTS * len(set(weak)), MOST_WEAK_POINTS)
    if any(other.alike.is_sure for other in candidates if other.last <= one.first or other.first >= one.last):
        points += SURE_FELLOW_POINTS
    behind = sorted(line.near & data.strong)
    points += line.around_points
    if points and min(line.likely[one.first : one.last]) < UNLIKELY:
        points += UNLIKELY_POINTS
    return points, next(iter([*strong, *weak, *behind]), "")


def _around_points(near: Sequence[str]) -> int:
    """How much the lines around speak for the trade: by its own words, or by many ordinary ones together."""
    data = doubt_data()
    has_own = any(word in data.strong for word in near)
    has_own = has_own or sum(one.alike.is_sure for one in _candidates(near)) >= SURE_AROUND
    has_many = len(data.weak.intersection(near)) >= WEAK_AROUND
    return AROUND_POINTS * (has_own or has_many) + MORE_AROUND_POINTS * (has_own and has_many)


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
