"""Words that were never named as misheard, proposed by their sound and place where the talk is about reeds."""

import math

import pytest

from annotate.listen.bench_talk import BEGIN, BenchTalk
from annotate.listen.doubtful import doubtful
from annotate.listen.misheard import misheard
from annotate.model import Word

AROUND = (
    "I ream the butt of this reed. The crow is high, so I take cane off the tip. The heart and the spine stay. "
    "Now the left channel with the knife, then the wings. I wet the reed and crow it again on the bocal."
)


def heard(text: str, unlikely: str = "", around: str = AROUND) -> list[tuple[str, str]]:
    words = [Word(n, n + 1, word, 0.3 if word == unlikely else 0.97) for n, word in enumerate(text.split())]
    return [(doubt.heard, doubt.proposed) for doubt in doubtful(text, words, around)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("I push it on the bokell until it stops.", ("bokell", "bocal")),
        ("Hold the plackue under the blade.", ("plackue", "plaque")),
        ("I turn the remurr by hand.", ("remurr", "reamer")),
    ],
)
def test_a_word_that_no_list_has(text: str, expected: tuple[str, str]) -> None:
    assert expected in heard(text)


def test_a_common_word_only_where_the_recogniser_was_unsure() -> None:
    text = "The bird is ragged, I sand it flat."
    assert heard(text, "bird") == [("bird", "butt")]
    assert heard("The burr is ragged, I sand it flat.") == []


def test_only_where_the_talk_is_about_reeds() -> None:
    plain = "We had lunch in the garden. The soup was warm and there was bread. Later the children came home."
    assert heard("I push it on the bokell until it stops.", around=plain) == []


def test_trade_words_are_taken_as_they_were_heard() -> None:
    guesses = list(misheard(["the", "tip", "and", "the", "blade"], [0.1] * 5))
    assert {guess.score for guess in guesses} == {-math.inf}
    assert {guess.first for guess in guesses} == {1, 4}


def test_the_nearest_comes_first() -> None:
    guesses = [guess for guess in misheard(["on", "the", "bokell", "until"]) if (guess.first, guess.last) == (2, 3)]
    assert max(guesses, key=lambda guess: guess.score).right == ("bocal",)


def test_what_stands_together_is_likelier() -> None:
    talk = BenchTalk([("the", "reed"), ("the", "reed"), ("a", "tip"), ("i", "file")], {"the": "determiner"})
    assert talk.lift("the", "reed") > 0 > talk.lift(BEGIN, "reed")
    assert talk.lift("unseen", "reed") == 0
    assert talk.lift_next("reed", "unseen") == 0
