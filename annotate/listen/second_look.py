"""The batched pass with a second look: where a word is doubtful, which of two texts the sound speaks for.

For a doubtful stretch the speech model is asked for the chance of the words as
they were heard, and of the same words with a trade word in their place, given
the sound of a few seconds around them. Its sound is encoded already; the text
is not searched for but given, so this costs one short pass for all stretches
of a batch. The difference of the two log probabilities (natural, summed over
the text) is kept with the words; ``doubtful`` weighs it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import numpy as np
from faster_whisper import BatchedInferencePipeline
from numpy.typing import NDArray

from annotate.listen.misheard import misheard
from annotate.listen.plain_words import plain
from annotate.model import Instead

# The model's picture of the sound has 50 columns a second.
COLUMNS_PER_SECOND = 50
ALL_COLUMNS = 1500
# How much sound is looked at, about eight words: less tears words apart, more costs time.
COLUMNS = 160
# Only what its text speaks for well enough (nats), the best for each stretch, and not more than this in a piece of
# 30 s. Clear talk has one or two such stretches in a piece, and they take 3 % of the recognition; with all down to -3
# it took 13 % and found one or two errors in a hundred more.
LEAST_SCORE = -0.6
MOST_STRETCHES = 6
MOST_CHOICES = 1
# So many tokens in a few seconds are the model's own loop; it takes no more than 448 at a time.
MOST_TOKENS = 200
# The chance of a token that the model gives 0.
LEAST_CHANCE = 1e-9
_CAPITALS = frozenset("bcdefgi")
# What may stand instead of a word, by the piece's place and the number of the word in it.
Found = dict[int, dict[int, tuple[Instead, ...]]]


@dataclass(frozen=True)
class _Question:
    """Words ``first`` to ``last`` (half-open) of a piece, and what may stand there instead."""

    piece: int
    first: int
    last: int
    choices: tuple[tuple[str, ...], ...]


class SecondLook(BatchedInferencePipeline):  # type: ignore[misc]  # the library says no types
    """The library's batched pass; ``found`` says for each piece (by its ``seek``) what may stand instead of a word."""

    def __init__(self, model: Any) -> None:
        super().__init__(model)
        self.found: Found = {}
        self.least_score = LEAST_SCORE
        self._encoded: Any = None

    @contextmanager
    def own_found(self) -> Iterator[Found]:
        """What is ``found`` in one pass: a second pass may be made while the pieces of the first are still read."""
        before, self.found = self.found, {}
        try:
            yield self.found
        finally:
            self.found = before

    def generate_segment_batched(self, features: Any, tokenizer: Any, options: Any) -> Any:
        encoded, output = super().generate_segment_batched(features, tokenizer, options)
        self._encoded = encoded
        return encoded, output

    def forward(self, features: Any, tokenizer: Any, chunks_metadata: Any, options: Any) -> Any:
        done = super().forward(features, tokenizer, chunks_metadata, options)
        if tokenizer.language_code == "en":
            self._look(done, tokenizer)
        self._encoded = None
        return done

    def _look(self, done: Sequence[Sequence[dict[str, Any]]], tokenizer: Any) -> None:
        pieces = [[word for part in piece for word in part["words"]] for piece in done]
        asked = [one for number, words in enumerate(pieces) for one in _questions(number, words, self.least_score)]
        if not asked:
            return
        sounds = np.array(self._encoded)
        rows: list[NDArray[np.float32]] = []
        texts: list[list[int]] = []
        weighed: list[_Question] = []
        for one in asked:
            seek_s = done[one.piece][0]["seek"] / self.model.frames_per_second
            window = _window(pieces[one.piece], one.first, one.last, seek_s)
            given = [tokenizer.encode(window.text(pieces[one.piece], one, words)) for words in ((), *one.choices)]
            if max(map(len, given)) <= MOST_TOKENS:
                texts += given
                rows += [sounds[one.piece, window.start : window.start + COLUMNS]] * len(given)
                weighed.append(one)
        if not weighed:
            return
        chances = iter(self._chances(np.stack(rows), texts, tokenizer))
        for one in weighed:
            heard = next(chances)
            said = tuple(plain(word["word"]) for word in pieces[one.piece][one.first : one.last])
            better = tuple(
                Instead(" ".join(said), " ".join(words), round(next(chances) - heard, 2)) for words in one.choices
            )
            self.found.setdefault(done[one.piece][0]["seek"], {})[one.first] = better

    def _chances(self, sounds: NDArray[np.float32], texts: Sequence[list[int]], tokenizer: Any) -> Iterator[float]:
        import ctranslate2

        given = ctranslate2.StorageView.from_array(np.ascontiguousarray(sounds))
        for found in self.model.model.align(given, tokenizer.sot_sequence, list(texts), 2 * COLUMNS):
            yield float(np.log(np.maximum(found.text_token_probs, LEAST_CHANCE)).sum())


@dataclass(frozen=True)
class _Window:
    """The column at which the sound begins, and which words of the piece are in it."""

    start: int
    first: int
    last: int

    def text(self, words: Sequence[dict[str, Any]], one: _Question, instead: Sequence[str]) -> str:
        shown = [word["word"] for word in words]
        changed = _dressed(shown[one.first : one.last], instead) if instead else shown[one.first : one.last]
        return "".join([*shown[self.first : one.first], *changed, *shown[one.last : self.last]])


def _window(words: Sequence[dict[str, Any]], first: int, last: int, seek_s: float) -> _Window:
    """A few seconds with words ``first`` to ``last`` in the middle, of a piece that begins at ``seek_s``."""
    middle_s = (words[first]["start"] + words[last - 1]["end"]) / 2 - seek_s
    middle = round(middle_s * COLUMNS_PER_SECOND)
    start = max(0, min(middle - COLUMNS // 2, ALL_COLUMNS - COLUMNS))
    low, high = start / COLUMNS_PER_SECOND + seek_s, (start + COLUMNS) / COLUMNS_PER_SECOND + seek_s
    inside = [number for number, word in enumerate(words) if word["start"] >= low and word["end"] <= high]
    return _Window(start, min([*inside, first]), max([*inside, last - 1]) + 1)


def _dressed(shown: Sequence[str], instead: Sequence[str]) -> list[str]:
    """Other words with the capital and the full stop of those that were heard."""
    said = [word.upper() if word in _CAPITALS else word for word in instead]
    if shown[0].strip()[:1].isupper():
        said[0] = said[0][:1].upper() + said[0][1:]
    ending = shown[-1][len(shown[-1].rstrip(".,;:!?")) :]
    return [" " + word for word in said[:-1]] + [" " + said[-1] + ending]


def _questions(piece: int, words: Sequence[dict[str, Any]], least_score: float) -> list[_Question]:
    heard = [plain(word["word"]) for word in words]
    found = misheard(heard, [word["probability"] for word in words], heard)
    best = sorted((one for one in found if one.text_score >= least_score), key=lambda one: one.text_score, reverse=True)
    stretches: dict[tuple[int, int], list[tuple[str, ...]]] = {}
    for one in best:
        stretch = stretches.setdefault((one.first, one.last), [])
        if len(stretch) < MOST_CHOICES:
            stretch.append(one.right)
    chosen = list(stretches.items())[:MOST_STRETCHES]
    return [_Question(piece, first, last, tuple(choices)) for (first, last), choices in chosen]
