"""Lines from words, and word times put right."""

import numpy as np

from annotate.listen.heard import Heard, joined
from annotate.listen.line_cut import Spelled, cut_lines
from annotate.listen.word_times import in_order, moved_to_sound
from annotate.model import Word


def spelled(text: str, ms_each: int = 300, gaps: dict[int, int] | None = None) -> list[Spelled]:
    out, at = [], 0
    for number, word in enumerate(text.split()):
        at += (gaps or {}).get(number, 0)
        out.append(Spelled(Word(at, at + ms_each, word)))
        at += ms_each
    return out


def test_a_sentence_is_a_line_and_a_long_pause_ends_one() -> None:
    lines = cut_lines(spelled("Open the tip. Now the crow is lower and better", gaps={7: 900}))
    assert [line.text for line in lines] == ["Open the tip.", "Now the crow is", "lower and better"]
    assert [(line.start_ms, line.end_ms) for line in lines] == [(0, 900), (900, 2100), (3000, 3900)]


def test_a_letter_or_an_abbreviation_does_not_end_a_line() -> None:
    assert [line.text for line in cut_lines(spelled("Reed B. 14 is approx. 5 mm wide."))] == [
        "Reed B. 14 is approx. 5 mm wide."
    ]
    assert len(cut_lines(spelled("That was reed B. Now 14.", gaps={4: 300}))) == 2


def test_an_endless_sentence_is_cut_at_its_widest_pause() -> None:
    text = " ".join(f"word{number}" for number in range(50))
    lines = cut_lines(spelled(text, gaps={24: 600}))
    assert all(line.end_ms - line.start_ms <= 12_000 and len(line.text) <= 140 for line in lines)
    assert "word24" in [line.text.split()[0] for line in lines]
    assert " ".join(line.text for line in lines) == text


def test_languages_without_blanks() -> None:
    words = [
        Spelled(Word(0, 100, "葦"), False),
        Spelled(Word(100, 200, "を"), False),
        Spelled(Word(200, 300, "削る。"), False),
    ]
    assert [line.text for line in cut_lines(words)] == ["葦を削る。"]


def test_a_word_begins_where_it_sounds() -> None:
    """Frames of 10 ms: quiet up to 500 ms, loud to 800 ms."""
    levels = np.full(100, -70.0)
    levels[50:80] = -20
    assert moved_to_sound([Word(100, 790, "crow")], levels) == [Word(500, 790, "crow")]
    assert moved_to_sound([Word(480, 1000, "crow")], levels) == [Word(480, 800, "crow")]
    assert moved_to_sound([Word(0, 200, "crow")], np.zeros(0)) == [Word(0, 200, "crow")]


def test_a_word_with_a_pause_inside_is_its_longer_side() -> None:
    """The end of the word before, a pause, and then the word itself."""
    levels = np.full(120, -70.0)
    levels[:5] = -20
    levels[80:100] = -20
    assert moved_to_sound([Word(0, 1000, "Now")], levels) == [Word(800, 1000, "Now")]


def test_a_word_put_into_a_pause_goes_to_what_follows() -> None:
    levels = np.full(100, -70.0)
    levels[50:80] = -20
    words = [Word(100, 300, "Now"), Word(650, 790, "I")]
    assert moved_to_sound(words, levels) == [Word(450, 650, "Now"), Word(650, 790, "I")]
    assert moved_to_sound([Word(100, 300, "Now")], levels) == [Word(100, 300, "Now")]


def test_times_are_in_order_inside_and_never_empty() -> None:
    given = [Word(0, 0, "a"), Word(0, 500, "b"), Word(400, 600, "c"), Word(990, 1300, "d"), Word(1300, 1300, "e")]
    assert [(word.start_ms, word.end_ms) for word in in_order(given, 1000)] == [
        (0, 20),
        (20, 500),
        (500, 600),
        (990, 999),
        (999, 1000),
    ]
    assert [word.text for word in in_order(given, 2)] == ["d", "e"]


def test_parts_of_a_word_are_put_together() -> None:
    """The recogniser writes "0" and ".45", "sub" and "-pine"; a part that comes much later stays alone."""
    heard = [Heard(0, 1600, "0", True, 0.9), Heard(1600, 4800, ".45", False, 0.8), Heard(4800, 6400, "mm", True, 0.7)]
    assert joined(heard) == [Heard(0, 4800, "0.45", True, 0.8), Heard(4800, 6400, "mm", True, 0.7)]
    late = Heard(32_000, 33_600, ".45", False, 0.8)
    assert joined([heard[0], late]) == [heard[0], late]
