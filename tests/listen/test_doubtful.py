"""Doubtful words are proposed with a reason where the sentence speaks for them, and nowhere else."""

from pathlib import Path

import pytest

from annotate.listen.doubtful import all_doubts, doubtful
from annotate.model import Word

SENTENCES = Path(__file__).parents[1] / "bench" / "speech_sentences"


def proposed(text: str, around: str = "") -> list[tuple[str, str]]:
    return [(doubt.heard, doubt.proposed) for doubt in doubtful(text, around=around)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("I hold the read to the light, the heart is thin.", [("read", "reed")]),
        ("It slips on the vocal, so I ream the butt.", [("vocal", "bocal")]),
        ("The reed fits the buckle again.", [("buckle", "bocal")]),
        ("I am dreaming the tube of this reed by hand.", [("dreaming", "reaming")]),
        ("Put the black between the blades of the reed.", [("black", "plaque")]),
        ("This came is soft, like the last reed.", [("came", "cane")]),
        ("The crawl of this reed is high, listen to the crawl again.", [("crawl", "crow")]),
        ("The reed holds an E, now I hold any and listen.", [("any", "an E")]),
        ("Bark behind the color, on the reed.", [("color", "collar")]),
    ],
)
def test_a_sentence_that_speaks_for_the_trade_word(text: str, expected: list[tuple[str, str]]) -> None:
    assert [pair for pair in proposed(text) if pair in expected][:1] == expected


@pytest.mark.parametrize(
    "text",
    [
        "I read the whole book on the train.",
        "The belt has a silver buckle.",
        "I was dreaming about the sea.",
        "Pass me the black thread for the binding of the reed.",
        "She came back to the reed later.",
        "Traffic slowed to a crawl.",
        "Do you have any other reed?",
    ],
)
def test_other_senses_are_left_alone(text: str) -> None:
    assert proposed(text) == []


@pytest.mark.parametrize(("name", "count"), [("ordinary", 500), ("ordinary_more", 225)])
def test_nothing_is_proposed_on_ordinary_english(name: str, count: int) -> None:
    """The lists are full of the very words that are mistaken for trade words, in their own senses."""
    lines = (SENTENCES / f"{name}.txt").read_text("utf-8").splitlines()
    assert len(lines) == count
    assert list(all_doubts(lines)) == []


def test_the_lines_around_speak_for_a_line() -> None:
    assert proposed("It sits on the buckle without a wobble now.") == []
    assert proposed("It sits on the buckle without a wobble now.", "I ream the butt of this reed.") == [
        ("buckle", "bocal")
    ]
    lines = ["I ream the butt of this reed.", "It sits on the buckle now."]
    assert [(number, doubt.proposed) for number, doubt in all_doubts(lines)] == [(1, "bocal")]


def test_a_doubt_says_where_and_why() -> None:
    (doubt,) = doubtful("So the crawl of this reed is high.")
    assert (doubt.first, doubt.last, doubt.heard) == (2, 3, "crawl")
    assert doubt.reason == "“crawl” sounds like “crow”, and “reed” is near it."
    assert 0.7 <= doubt.confidence < 1


def test_an_unlikely_word_is_doubted_sooner() -> None:
    """One weak word is not enough, one weak word and a low probability are."""
    text = "The crawl has a rattle."
    sure = [Word(n * 100, n * 100 + 90, word, 0.9) for n, word in enumerate(text.split())]
    unsure = [Word(word.start_ms, word.end_ms, word.text, 0.2) for word in sure]
    assert doubtful(text, sure) == []
    assert [doubt.proposed for doubt in doubtful(text, unsure)] == ["crow"]


def test_the_makers_own_words_speak_too() -> None:
    assert doubtful("The crawl was better than Juniper.") == []
    assert [one.proposed for one in doubtful("The crawl was better than Juniper.", own=("Juniper",))] == ["crow"]


def test_several_in_one_line_do_not_overlap() -> None:
    doubts = doubtful("I pull the read off the buckle and look inside the tube.")
    assert [(doubt.first, doubt.proposed) for doubt in doubts] == [(3, "reed"), (6, "bocal")]


def test_an_empty_line() -> None:
    assert doubtful("") == []


@pytest.mark.parametrize("line", ["At the tip the gauge shows three thou.", "I set the gauge on the cane."])
def test_the_dial_gauge_is_left_alone(line: str) -> None:
    assert doubtful(line, around="reed cane bocal knife plaque scrape tip") == []
