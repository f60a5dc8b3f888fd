"""Captions cut from words: size, speed, order and times."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from annotate.formats.captions import cut
from annotate.formats.cues import Cue
from annotate.formats.word_times import pieces, width
from annotate.model import Line, Word

LONG = (
    "So the left channel is a little thick still, and I want the tip to close evenly, so I take two strokes here, "
    "no more, then I wet it again and listen to the crow. It should drop about ten cents now."
)


def spoken(text: str, start_ms: int, end_ms: int) -> Line:
    """A line whose words share its time by length."""
    words, done, total = [], 0, len(text.replace(" ", ""))
    for word in text.split():
        begin = start_ms + (end_ms - start_ms) * done // total
        done += len(word)
        words.append(Word(begin, start_ms + (end_ms - start_ms) * done // total, " " + word))
    return Line(1, start_ms, end_ms, text, tuple(words))


def check(cues: list[Cue], shortest_ms: int = 800) -> None:
    """What every list of captions must keep."""
    for cue in cues:
        assert cue.end_ms - cue.start_ms >= shortest_ms
        rows = cue.text.split("\n")
        assert len(rows) <= 2
        assert all(row and width(row) <= 42 for row in rows)
    assert all(one.end_ms < two.start_ms for one, two in pairwise(cues))


def test_long_line_is_cut_by_its_words() -> None:  # case 55
    cues = cut([spoken(LONG, 0, 6000)], 60_000)
    check(cues)
    assert len(cues) >= 3
    assert " ".join(cue.text.replace("\n", " ") for cue in cues) == LONG
    words, at = spoken(LONG, 0, 6000).words, 0
    for cue in cues:
        assert abs(cue.start_ms - words[at].start_ms) <= 1  # its own first word, not the parent's start
        at += len(cue.text.split())
    assert len({cue.start_ms for cue in cues}) == len(cues)


def test_calm_speech_stays_readable() -> None:
    cues = cut([spoken(LONG, 0, 15_000)], 60_000)
    check(cues)
    for cue in cues:
        assert len(cue.text) <= 20 * (cue.end_ms - cue.start_ms) / 1000
        assert cue.end_ms - cue.start_ms <= 7000


def test_sentences_end_captions() -> None:
    text = "Soak the reed for two minutes before you begin. Then file both wings evenly, from the back to the tip."
    cues = cut([spoken(text, 0, 8000)], 10_000)
    assert [cue.text for cue in cues] == [
        "Soak the reed for two\nminutes before you begin.",
        "Then file both wings evenly,\nfrom the back to the tip.",
    ]


def test_words_keep_their_times() -> None:
    assert cut([spoken("Two strokes.", 1000, 2500)], 10_000) == [Cue(1000, 2500, "Two strokes.")]


def test_short_word_is_held_long_enough() -> None:
    assert cut([spoken("Yes.", 1000, 1200)], 10_000) == [Cue(1000, 1800, "Yes.")]


def test_last_word_at_the_end_begins_earlier() -> None:
    assert cut([spoken("Yes.", 9900, 10_000)], 10_000) == [Cue(9200, 10_000, "Yes.")]


def test_pause_ends_a_caption() -> None:
    line = Line(1, 0, 9000, "wet it and listen", (
        Word(0, 300, " wet"), Word(300, 600, " it"), Word(8000, 8400, " and"), Word(8400, 9000, " listen"),
    ))  # fmt: skip
    cues = cut([line], 20_000)
    assert [(cue.start_ms, cue.text) for cue in cues] == [(0, "wet it"), (8000, "and listen")]
    assert cues[0].end_ms == 800


def test_wide_characters_count_double() -> None:  # case 55
    text = "葦の先を少しだけ薄くして、もう一度音を聞きます。それから左の溝を二回だけ削って、濡らしてから試します。"
    cues = cut([Line(1, 0, 12_000, text)], 20_000)
    check(cues)
    assert "".join(cue.text.replace("\n", "") for cue in cues) == text
    assert max(len(row) for cue in cues for row in cue.text.split("\n")) <= 21


@pytest.mark.parametrize("text", ["خفّف الطرف قليلاً ثم استمع", "העלה דק מדי", "😆 file 🎵 & <3 mm"])
def test_other_scripts_survive(text: str) -> None:
    assert cut([Line(1, 0, 3000, text)], 10_000)[0].text == text


def test_word_longer_than_a_line_is_cut() -> None:
    cues = cut([Line(1, 0, 8000, "see " + "a" * 100)], 20_000)
    check(cues)
    assert "".join(cue.text for cue in cues).replace("\n", "").replace(" ", "") == "see" + "a" * 100


def test_words_all_at_one_moment() -> None:
    line = Line(1, 0, 50, "tip " * 60, tuple(Word(0, 0, " tip") for _ in range(60)))
    cues = cut([line], 20_000)
    check(cues)
    assert " ".join(cue.text.replace("\n", " ") for cue in cues).count("tip") == 60
    crowded = cut([line], 1000)
    check(crowded, 100)
    assert crowded[-1].end_ms <= 1000


def test_changed_words_take_the_time_of_those_they_replace() -> None:
    heard = (Word(0, 400, " three"), Word(400, 900, " sixteenth"), Word(900, 1200, " inch"), Word(1500, 2000, " here"))
    line = Line(1, 0, 2000, "five mm here", heard, "three sixteenth inch here")
    assert [(one.start_ms, one.end_ms, one.text) for one in pieces(line)] == [
        (0, 800, "five"),
        (800, 1200, "mm"),
        (1500, 2000, "here"),
    ]


def test_random_speech_keeps_all_rules() -> None:
    source = random.Random(7)
    words = ["tip", "channel,", "left", "scrape", "the", "and", "collar.", "embouchure?", "a"]
    for _ in range(30):
        lines, now_ms = [], 0
        for _ in range(source.randint(1, 12)):
            now_ms += source.choice([0, 10, 300, 4000])
            length_ms = source.randint(200, 9000)
            text = " ".join(source.choice(words) for _ in range(source.randint(1, 40)))
            lines.append(spoken(text, now_ms, now_ms + length_ms))
            now_ms += length_ms
        cues = cut(lines, now_ms + 100_000)
        check(cues)
        said = " ".join(line.text for line in lines).split()
        assert " ".join(cue.text for cue in cues).split() == said


def test_nothing_said() -> None:
    assert cut([], 1000) == []
    assert cut([Line(1, 0, 1000, "")], 1000) == []
