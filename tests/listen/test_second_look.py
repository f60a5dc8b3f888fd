"""A second look at doubtful words: what the sound says of them, kept with the words and weighed."""

import math
from dataclasses import replace

import numpy as np
import pytest
from faster_whisper.tokenizer import Tokenizer

from annotate.library.codec import line_from, row_of
from annotate.listen.doubtful import doubtful
from annotate.listen.misheard import misheard
from annotate.listen.recognise import Recogniser, Wishes
from annotate.listen.second_look import _dressed, _window
from annotate.listen.voiced import pack
from annotate.model import Instead, Line, Word
from tests.listen.test_misheard import AROUND


def proposed(text: str, at: int, heard: str, right: str, nats: float, chance: float = 0.5) -> list[tuple[str, str]]:
    words = [Word(n, n + 1, word) for n, word in enumerate(text.split())]
    words[at] = replace(words[at], probability=chance, instead=(Instead(heard, right, nats),))
    return [(doubt.heard, doubt.proposed) for doubt in doubtful(text, words, AROUND)]


def test_a_word_of_the_trade_is_doubted_only_where_the_sound_was_asked() -> None:
    text = ["yesterday", "i", "ream", "the", "last", "one"]
    scores = []
    for nats in (None, -30.0, -20.0, -5.0, -1.0, 6.0):
        ear = {} if nats is None else {(2, 3, ("reamed",)): nats}
        (one,) = (one for one in misheard(text, [0.5] * 6, (), ear) if one.right == ("reamed",))
        scores.append(one.score)
    assert scores[0] == -math.inf
    assert scores[1] == scores[2] < scores[3] < scores[4] == scores[5]


def test_what_the_sound_says_counts_only_while_the_words_stand_as_heard() -> None:
    text = "The bird is ragged, I sand it flat."
    assert proposed(text, 1, "bird", "butt", -18.0, 0.3) == []
    assert proposed(text, 1, "burr", "butt", -18.0, 0.3) == [("bird", "butt")]


def test_the_sound_speaks_against_a_word() -> None:
    text = "The bird is ragged, I sand it flat."
    assert proposed(text, 1, "bird", "butt", 0.0) == [("bird", "butt")]
    assert proposed(text, 1, "bird", "butt", -18.0) == []


def test_it_is_kept_with_the_line() -> None:
    words = (Word(0, 90, "the", 0.9), Word(90, 400, "read", 0.4, (Instead("read", "reed", -1.25),)))
    line = Line(1, 0, 500, "the read", words)
    assert row_of(line)["words"] == [[0, 90, "the", 0.9], [90, 400, "read", 0.4, [["read", "reed", -1.25]]]]
    assert line_from(row_of(line)) == line


def test_words_in_the_dress_of_those_heard() -> None:
    assert _dressed([" Lowly", " flat."], ["low", "b", "flat"]) == [" Low", " B", " flat."]


def test_the_window_stays_inside_the_sound() -> None:
    words = [{"word": f" w{n}", "start": 30 + n / 2, "end": 30.4 + n / 2, "probability": 0.5} for n in range(59)]
    first, last = _window(words, 0, 1, 30.0), _window(words, 58, 59, 30.0)
    assert (first.start, first.first, first.last) == (0, 0, 6)
    assert (last.start, last.first, last.last) == (1340, 54, 59)


def test_unsure_words_of_a_recording_are_weighed(
    recogniser: Recogniser, talk: np.ndarray, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not [word for line in recogniser.recognise(talk).utterances for word in line.words if word.instead]
    monkeypatch.setattr(recogniser._batched, "least_score", -9.0)
    found = recogniser.recognise(talk, Wishes("en"))
    weighed = [one for line in found.utterances for word in line.words for one in word.instead]
    heard = " ".join(line.text for line in found.utterances).lower()
    assert weighed
    assert all(one.heard in heard and one.nats < 5 for one in weighed)


def test_a_second_pass_between_two_pieces_loses_nothing_of_the_first(
    recogniser: Recogniser, talk: np.ndarray, short: np.ndarray, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recogniser._batched, "least_score", -9.0)
    pieces = [pack(samples, [(0, len(samples))])[0] for samples in (short, talk)]
    both = recogniser._passes(pieces, "en", Wishes())
    next(both)
    assert len(list(recogniser._passes(pieces[:1], "en", Wishes(), has_times=True))) == 1
    (last,) = both
    assert any(word.instead for word in last.words)


def test_a_loop_of_words_is_not_asked_about(recogniser: Recogniser, monkeypatch: pytest.MonkeyPatch) -> None:
    """So many words in a moment are more than the model takes at a time."""
    look = recogniser._batched
    monkeypatch.setattr(look, "least_score", -9.0)
    monkeypatch.setattr(look, "_encoded", np.zeros((1, 1500, 512), np.float32))
    word = {"word": " bird", "start": 1.0, "end": 1.0, "probability": 0.1}
    tokenizer = Tokenizer(recogniser._model.hf_tokenizer, True, task="transcribe", language="en")
    for many, is_asked in ((3, True), (600, False)):
        with look.own_found() as found:
            look._look([[{"seek": 0, "words": [word] * many}]], tokenizer)
        assert bool(found) is is_asked
