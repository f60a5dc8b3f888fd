"""How well a word stands where it was heard, judged by invented talk at the bench (``bench_talk.txt``).

A word's chance after another is counted at three depths, the shallower ones
filling in for what the deeper ones have not seen: after that very word, after
its kind (determiner, preposition, ...), and anywhere (interpolated counts;
Chen and Goodman 1998 describe the family). All are natural logarithms.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from functools import cache
from importlib import resources
from itertools import pairwise

from annotate.listen.plain_words import kind_of_number, plain

BEGIN, END = "^", "$"
# How many sightings the shallower depth counts for.
KIND_WEIGHT = 60.0
WORD_WEIGHT = 6.0
NEXT_WEIGHT = 8.0
# A word that the talk never uses: somewhat less than one that it uses once in 17 000 words.
UNSEEN = 8e-6


class BenchTalk:
    """Counts over sentences, each a sequence of plain words; ``kinds`` names the kind of a word."""

    def __init__(self, sentences: Sequence[Sequence[str]], kinds: Mapping[str, str]) -> None:
        self._kinds = kinds
        self.count: Counter[str] = Counter()
        self._pairs: defaultdict[str, Counter[str]] = defaultdict(Counter)
        self._after_kind: defaultdict[str, Counter[str]] = defaultdict(Counter)
        self._next_kind: defaultdict[str, Counter[str]] = defaultdict(Counter)
        for sentence in sentences:
            whole = (BEGIN, *sentence, END)
            for before, word in pairwise(whole):
                self.count[word] += 1
                self._pairs[before][word] += 1
                self._after_kind[self._kind(before)][word] += 1
                self._next_kind[before][self._kind(word)] += 1
        self._all = self.count.total()
        self._any_next: Counter[str] = Counter()
        for seen in self._next_kind.values():
            self._any_next.update(seen)

    def _kind(self, word: str) -> str:
        return self._kinds.get(word, "other")

    def after(self, before: str, word: str) -> float:
        """The chance of ``word`` after ``before``."""
        kind = self._kind(before)
        seen = self._after_kind.get(kind, Counter())
        by_kind = (seen[word] + KIND_WEIGHT * self._anywhere(word)) / (seen.total() + KIND_WEIGHT)
        pairs = self._pairs.get(before, Counter())
        weight = WORD_WEIGHT + len(pairs) / 2
        return math.log((pairs[word] + weight * by_kind) / (pairs.total() + weight))

    def lift(self, before: str, word: str) -> float:
        """How much likelier ``word`` is after ``before`` than anywhere; 0 where ``before`` was never seen."""
        if not self.count[before] and before != BEGIN:
            return 0.0
        return self.after(before, word) - math.log(self._anywhere(word))

    def lift_next(self, word: str, following: str) -> float:
        """How much likelier the kind of ``following`` is after ``word`` than anywhere; 0 where it was never seen."""
        if not self.count[following]:
            return 0.0
        return self.before(word, following) - math.log(max(self._any_next[self._kind(following)], 1) / self._all)

    def _anywhere(self, word: str) -> float:
        return self.count[word] / self._all if self.count[word] else UNSEEN

    def before(self, word: str, following: str) -> float:
        """The chance that a word of the kind of ``following`` comes after ``word``."""
        kind = self._kind(following)
        seen = self._next_kind.get(word, Counter())
        anywhere = max(self._any_next[kind], 1) / self._all
        return math.log((seen[kind] + NEXT_WEIGHT * anywhere) / (seen.total() + NEXT_WEIGHT))

    def together(self, before: str, words: Sequence[str]) -> float:
        """The chance of several words, one after the other, after ``before``."""
        return sum(self.after(one, word) for one, word in zip((before, *words), words, strict=False))


@cache
def bench_sentences() -> tuple[tuple[str, ...], ...]:
    """The invented talk as plain words, numbers and ids by their kind."""
    lines = resources.files("annotate.listen").joinpath("bench_talk.txt").read_text("utf-8").splitlines()
    cut = (line.replace("—", " ").replace("...", " ").split() for line in lines if not line.startswith("#"))
    return tuple(tuple(kind_of_number(word) for word in map(plain, words) if word) for words in cut)
