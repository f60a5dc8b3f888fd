"""The small language in which phrases are written in the vocabulary's data, and its finder.

    word          that word
    ~clip         any form of the verb: clip, clips, clipped, clipping
    (a|b c|)      one of these; an empty one makes it optional; may be nested; ``(...)*`` up to four times
    *             any one word
    ..            up to two words        ...   up to six words (neither crosses a full stop)
    [0-9]+        digits
    {right} now   only the part in braces counts as the find

A pattern is tried only on sentences that hold one of the words it may begin
with and one of each group of words that it cannot do without, which keeps an
hour of speech quick.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from annotate.errors import BadInput
from annotate.tagging.forms import bag, forms

_GAPS = {"..": r"(?:[^\s.?:]+ ){0,2}?", "...": r"(?:[^\s.?:]+ ){0,6}?", "*": r"[^\s.?,:]+ "}
_PIECE = re.compile(r"\)\*|[(){}|]|\[[^\]]*\]\+?|[^\s(){}|]+")


@dataclass(frozen=True)
class Pattern:
    """A phrase ready to be found: ``id`` is what it means, ``said`` how the data writes it.

    The regular expression is compiled when a sentence first needs it.
    """

    id: str
    said: str
    source: str
    firsts: frozenset[str] | None
    marks: int
    needs: tuple[frozenset[str], ...] = ()

    @cached_property
    def regex(self) -> re.Pattern[str]:
        return re.compile("(?<![^ ])" + self.source)


@dataclass(frozen=True)
class Find:
    """A phrase found at tokens ``[start, end)``."""

    id: str
    start: int
    end: int
    said: str = ""


@dataclass(frozen=True)
class _Part:
    """A piece of a pattern: its regular expression, the words it may begin with (None: any), if it may be empty.

    ``needs`` are groups of words: whatever the piece matches holds a word of each.
    """

    regex: str
    firsts: frozenset[str] | None
    may_be_empty: bool = False
    needs: tuple[frozenset[str], ...] = ()


class _Reader:
    """Reads one phrase of the small language from left to right."""

    def __init__(self, said: str) -> None:
        self.pieces = _PIECE.findall(said)
        self.said = said
        self.at = 0
        self.marks = 0

    def options(self) -> _Part:
        parts = [self.sequence()]
        while self._peek() == "|":
            self.at += 1
            parts.append(self.sequence())
        unknown = any(p.firsts is None for p in parts)
        firsts = None if unknown else frozenset(w for p in parts for w in p.firsts or ())
        needs = (frozenset().union(*(p.needs[0] for p in parts)),) if all(p.needs for p in parts) else ()
        return _Part(
            "(?:" + "|".join(p.regex for p in parts) + ")",
            firsts,
            any(p.may_be_empty for p in parts),
            parts[0].needs if len(parts) == 1 else needs,
        )

    def sequence(self) -> _Part:
        parts: list[_Part] = []
        while (piece := self._peek()) not in ("", "|", ")", ")*", "}"):
            self.at += 1
            parts.append(self._part(piece))
        firsts: set[str] | None = set()
        for part in parts:
            if part.firsts is None:
                firsts = None
                break
            assert firsts is not None
            firsts |= part.firsts
            if not part.may_be_empty:
                break
        empty = all(p.may_be_empty for p in parts)
        needs = sorted((n for p in parts for n in p.needs), key=len)
        return _Part(
            "".join(p.regex for p in parts), None if firsts is None else frozenset(firsts), empty, tuple(needs)
        )

    def _part(self, piece: str) -> _Part:
        piece = "," if piece == ":" else piece
        if piece == "(":
            inner = self.options()
            closing = self._peek()
            self._close((")", ")*"))
            if closing == ")*":
                return _Part(inner.regex + "{0,4}", inner.firsts, True)
            return inner
        if piece == "{":
            number = self.marks
            self.marks += 1
            inner = self.sequence()
            self._close(("}",))
            return _Part(f"(?P<m{number}>{inner.regex})", inner.firsts, inner.may_be_empty, inner.needs)
        if piece in _GAPS:
            return _Part(_GAPS[piece], None, piece != "*")
        if piece[0] == "[":
            return _Part(piece + " ", None)
        words = tuple(forms(piece[1:])) if piece[0] == "~" else (piece,)
        return _Part("(?:" + "|".join(map(re.escape, words)) + ") ", frozenset(words), needs=(frozenset(words),))

    def _peek(self) -> str:
        return self.pieces[self.at] if self.at < len(self.pieces) else ""

    def _close(self, wanted: tuple[str, ...]) -> None:
        if self._peek() not in wanted:
            raise BadInput("is a phrase with a bracket that does not close", self.said, "Close every bracket.")
        self.at += 1


def compile_pattern(meaning: str, said: str) -> Pattern:
    """Compile one phrase of the small language."""
    reader = _Reader(said)
    part = reader.options()
    if reader.at < len(reader.pieces) or part.may_be_empty:
        raise BadInput("is not a phrase that can be looked for", said, "Check its brackets; it must hold a word.")
    return Pattern(meaning, said, part.regex, part.firsts, reader.marks, part.needs)


# Words that stand in most sentences: a pattern is looked up by a group that does without them, where it has one.
_EVERYDAY = bag(
    "the a an i it is 's and to of on in at for so that this with be was are am up down off out just not no do all "
    "more but if when as my , . you we go get have has now"
)


def _commonness(group: frozenset[str]) -> int:
    return len(group) + 50 * len(group & _EVERYDAY)


class Finder:
    """Finds many patterns in one sentence."""

    def __init__(self, patterns: Iterable[Pattern]) -> None:
        self._by_word: dict[str, list[Pattern]] = {}
        self._always: list[Pattern] = []
        for pattern in patterns:
            groups = [*pattern.needs, pattern.firsts] if pattern.firsts else pattern.needs
            key = min(groups, key=_commonness, default=None)
            if key is None:
                self._always.append(pattern)
            for word in key or ():
                self._by_word.setdefault(word, []).append(pattern)

    def find(self, words: Sequence[str]) -> list[Find]:
        """Every find, overlapping ones too, in order of place; the longer first at one place."""
        text = " ".join(words) + " "
        at: dict[int, int] = {}
        where: dict[str, list[int]] = {}
        place = 0
        for i, word in enumerate(words):
            at[place] = i
            where.setdefault(word, []).append(place)
            place += len(word) + 1
        every = list(at)
        at[place] = len(words)
        found: set[Find] = set()
        for pattern in self._worth_trying(where):
            starts = every if pattern.firsts is None else [p for w in pattern.firsts & where.keys() for p in where[w]]
            for start in starts:
                m = pattern.regex.match(text, start)
                if m:
                    found.update(_finds(pattern, m, at))
        return sorted(found, key=lambda f: (f.start, -f.end, f.id, f.said))

    def _worth_trying(self, where: Mapping[str, object]) -> Iterable[Pattern]:
        """The patterns of whose every group of needed words one is said."""
        said = where.keys()
        tried = {id(p): p for word in where for p in self._by_word.get(word, ())}
        for pattern in (*tried.values(), *self._always):
            for group in pattern.needs:
                if group.isdisjoint(said):
                    break
            else:
                yield pattern


def _finds(pattern: Pattern, m: re.Match[str], at: dict[int, int]) -> Iterable[Find]:
    spans = [m.span(f"m{n}") for n in range(pattern.marks)] if pattern.marks else [m.span()]
    for start, end in spans:
        if start >= 0 and end > start and start in at and end in at:
            yield Find(pattern.id, at[start], at[end], pattern.said)


def longest(found: Sequence[Find]) -> list[Find]:
    """Without those that lie inside or overlap a longer one."""
    kept: list[Find] = []
    for one in sorted(found, key=lambda f: (-(f.end - f.start), f.start)):
        if all(one.end <= k.start or one.start >= k.end for k in kept):
            kept.append(one)
    return sorted(kept, key=lambda f: f.start)
