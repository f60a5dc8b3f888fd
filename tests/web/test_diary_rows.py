"""The rows of the diary follow on each other without a gap and put every moment somewhere."""

from __future__ import annotations

from itertools import pairwise

from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from annotate.library.store import Library
from annotate.model import Line, Sound
from tests.making import a_recording
from web.diary_rows import Row, chunks, place_cards, row_at, rows


def line(start_ms: int, end_ms: int, text: str = "a word") -> Line:
    return Line(1, start_ms, end_ms, text)


def told(found: list[Row]) -> list[tuple[int, int, str]]:
    return [(row.start_ms, row.end_ms, row.kind) for row in found]


def test_lines_and_the_sound_between_them() -> None:
    sounds = [Sound(0, 3000, "speech"), Sound(3000, 9000, "scrape"), Sound(9000, 12000, "speech")]
    found = rows([line(500, 3000), line(9200, 11000)], sounds, 12000)
    assert told(found) == [(0, 3000, "speech"), (3000, 9200, "scrape"), (9200, 12000, "speech")]
    assert [row.word for row in found] == ["Speech", "Scraping", "Speech"]


def test_a_breath_and_a_knock_get_no_row() -> None:
    sounds = [Sound(2000, 2300, "scrape"), Sound(7000, 7300, "crow")]
    found = rows([line(0, 2000), line(2900, 5000), line(9000, 10_000)], sounds, 10_000)
    assert told(found) == [(0, 2900, "speech"), (2900, 5000, "speech"), (5000, 9000, "pause"), (9000, 10_000, "speech")]


def test_a_recording_without_words_or_sounds_has_a_row_for_each_minute() -> None:
    assert told(rows([], [], 150_000)) == [
        (0, 60_000, "pause"),
        (60_000, 120_000, "pause"),
        (120_000, 150_000, "pause"),
    ]
    assert told(rows([], [], 400)) == [(0, 400, "pause")]


def test_sounds_of_one_kind_after_each_other_are_one_row_and_stay_whole() -> None:
    found = rows([], [Sound(0, 70_000, "scrape"), Sound(70_000, 140_000, "scrape")], 140_000)
    assert told(found) == [(0, 140_000, "scrape")]


def test_cards_stand_where_they_start() -> None:
    found = rows([line(0, 2000), line(5000, 7000)], [Sound(2000, 5000, "play")], 8000)
    place_cards(found, [(5000, 5001, "b"), (0, 900, "a"), (4999, 5000, "c"), (7999, 8000, "d")])
    assert [row.cards for row in found] == [["a"], ["c"], ["b", "d"]]


def test_a_card_that_begins_a_breath_before_a_line_stands_beside_it() -> None:
    found = rows([line(0, 2000), line(5000, 7000)], [Sound(2000, 5000, "play")], 8000)
    near, early, short, last = (4988, 6000, "near"), (4600, 6000, "early"), (4990, 5002, "short"), (7900, 8000, "last")
    place_cards(found, [near, early, short, last])
    assert [row.cards for row in found] == [[], ["early", "short"], ["near", "last"]]


def test_the_row_of_a_moment() -> None:
    assert [row_at([0, 100, 100, 300], ms) for ms in (0, 99, 100, 299, 300, 9999)] == [0, 0, 2, 2, 3, 3]


def test_pieces_hold_all_rows_in_order() -> None:
    found = rows([line(n * 100, n * 100 + 90) for n in range(50)], [], 5000)
    assert [len(piece) for piece in chunks(found)] == [24, 24, 2]


ranges = st.tuples(st.integers(0, 200_000), st.integers(1, 40_000))


@given(
    st.lists(ranges, max_size=20),
    st.lists(st.tuples(ranges, st.sampled_from(["speech", "scrape", "crow", "quiet"])), max_size=20),
)
def test_rows_never_leave_a_gap(spoken: list[tuple[int, int]], heard: list[tuple[tuple[int, int], str]]) -> None:
    lines = [line(start, start + long) for start, long in spoken]
    sounds = sorted((Sound(start, start + long, kind) for (start, long), kind in heard), key=lambda s: s.start_ms)
    found = rows(lines, sounds, 240_000)
    assert found[0].start_ms == 0
    assert found[-1].end_ms == 240_000
    assert all(before.end_ms == after.start_ms for before, after in pairwise(found))
    assert sum(row.line is not None for row in found) == len(lines)


def test_a_recording_that_was_not_heard_says_so(library: Library, client: FlaskClient) -> None:
    recording = a_recording(library)
    page = client.get(f"/sessions/{recording.session_id}").text
    assert "Not heard yet" in page and "No words" not in page
    assert "Hear it now" in page
