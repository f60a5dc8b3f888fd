"""Chapters as they are put into the file."""

from __future__ import annotations

import pytest

from annotate.errors import BadInput, BadTime
from annotate.lesson.cutting.chapters import cut_to_bytes, settle, tidy_title
from annotate.lesson.cutting.pieces import Chapter


def test_case_27_the_first_chapter_starts_at_zero() -> None:
    settled = settle([Chapter(2500, "Scrape the tip")], 6000, "Soft reed")
    assert settled == (Chapter(0, "Soft reed"), Chapter(2500, "Scrape the tip"))


def test_case_29_a_chapter_without_title_is_refused() -> None:
    with pytest.raises(BadInput, match="Chapter 2 has no title"):
        settle([Chapter(0, "One"), Chapter(1000, " \n ")], 6000)


@pytest.mark.parametrize(
    ("title", "tidy"),
    [
        ("glue #2; 50% = ok\nnext", "glue #2; 50% = ok next"),
        ("Übung №1 — 面取り", "Übung №1 — 面取り"),
        ("tab\there\r\nand\u2028there", "tab here and there"),
        ("  back\\slash  ", "back\\slash"),
    ],
)
def test_case_29_any_title_becomes_one_line(title: str, tidy: str) -> None:
    assert tidy_title(title) == tidy


def test_case_29_a_long_title_is_cut_at_a_character() -> None:
    assert tidy_title("あ" * 300) == "あ" * 84 + "…"
    assert len(tidy_title("あ" * 300).encode()) == 255


def test_a_letter_keeps_its_mark_and_an_emoji_its_parts() -> None:
    assert cut_to_bytes("ab" + "e\u0301" + "x" * 20, 7) == "ab…"
    assert cut_to_bytes("ab\U0001f469\u200d\U0001f52c" + "x" * 20, 12) == "ab…"


def test_case_30_chapters_are_put_in_order() -> None:
    settled = settle([Chapter(4000, "B"), Chapter(0, "A")], 6000)
    assert [one.title for one in settled] == ["A", "B"]


@pytest.mark.parametrize("start_ms", [6000, 9000, -1])
def test_case_30_a_chapter_outside_the_film_is_named(start_ms: int) -> None:
    with pytest.raises(BadTime, match="“Lost” starts at"):
        settle([Chapter(0, "A"), Chapter(start_ms, "Lost")], 6000)


def test_case_30_two_chapters_at_one_moment_are_named() -> None:
    with pytest.raises(BadTime, match="A / B: two chapters start at"):
        settle([Chapter(0, "A"), Chapter(0, "B")], 6000)


def test_a_film_without_chapters_has_none() -> None:
    assert settle([], 6000, "Title") == ()
