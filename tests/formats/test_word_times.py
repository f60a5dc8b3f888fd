"""Editing a line keeps the times of what stayed."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from annotate.formats.word_times import retime
from annotate.model import Word

HEARD = (
    Word(1000, 1200, "Now", 0.9),
    Word(1200, 1300, "the", 0.9),
    Word(1400, 1800, "dreaming", 0.4),
    Word(1800, 2000, "goes", 0.9),
    Word(2600, 3000, "well.", 0.9),
)


def times(words: tuple[Word, ...]) -> list[tuple[int, int, str]]:
    return [(word.start_ms, word.end_ms, word.text) for word in words]


def test_one_word_for_another_takes_its_time() -> None:
    words = retime(HEARD, "Now the reaming goes well.", 1000, 3000)
    assert times(words)[2] == (1400, 1800, "reaming")
    assert [word.probability for word in words] == [0.9, 0.9, 1.0, 0.9, 0.9]
    assert [word for n, word in enumerate(words) if n != 2] == [word for n, word in enumerate(HEARD) if n != 2]


def test_punctuation_and_capitals_keep_the_time() -> None:
    assert times(retime(HEARD, "now, The dreaming goes WELL", 1000, 3000)) == [
        (1000, 1200, "now,"),
        (1200, 1300, "The"),
        (1400, 1800, "dreaming"),
        (1800, 2000, "goes"),
        (2600, 3000, "WELL"),
    ]


def test_two_words_for_one_share_its_time_by_length() -> None:
    assert times(retime(HEARD, "Now the tip opening goes well.", 1000, 3000))[2:4] == [
        (1400, 1520, "tip"),
        (1520, 1800, "opening"),
    ]


def test_one_word_for_two_takes_both_times() -> None:
    assert times(retime(HEARD, "Now reaming goes well.", 1000, 3000))[1] == (1200, 1800, "reaming")


def test_a_word_put_into_a_pause_takes_the_pause() -> None:
    assert times(retime(HEARD, "Now the dreaming goes very well.", 1000, 3000))[3:] == [
        (1800, 2000, "goes"),
        (2000, 2480, "very"),
        (2600, 3000, "well."),
    ]


def test_a_word_put_in_without_a_pause_shares_the_one_before() -> None:
    words = retime(HEARD, "Now not the dreaming goes well.", 1000, 3000)
    assert times(words)[:3] == [(1000, 1100, "Now"), (1100, 1200, "not"), (1200, 1300, "the")]


def test_words_left_out_leave_the_others_where_they_were() -> None:
    assert times(retime(HEARD, "the dreaming", 1000, 3000)) == [(1200, 1300, "the"), (1400, 1800, "dreaming")]


def test_without_old_words_the_line_is_shared() -> None:
    assert times(retime((), "tip opening", 0, 1000)) == [(0, 300, "tip"), (300, 1000, "opening")]
    assert retime(HEARD, "  ", 1000, 3000) == ()


@given(
    st.lists(st.sampled_from(["now", "the", "reaming", "goes", "well", "a", "tip", ".", "é"]), max_size=12),
    st.integers(10, 3000),
)
def test_whatever_is_written_times_are_in_order_and_inside(texts: list[str], end_ms: int) -> None:
    words = retime(HEARD, " ".join(texts), 1000, 1000 + end_ms)
    assert [word.text for word in words] == texts[:end_ms]
    assert all(1000 <= word.start_ms < word.end_ms <= 1000 + end_ms for word in words)
    assert all(before.end_ms <= after.start_ms for before, after in pairwise(words))
