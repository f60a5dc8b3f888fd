"""SubRip: what is written comes back, whatever the text holds."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from annotate.formats import subrip
from annotate.formats.cues import Cue, plain_lines


def test_written_form() -> None:
    cues = [Cue(0, 1500, "use <3 mm & go"), Cue(5, 5, "zero"), Cue(1500, 3600000, "one\n\ntwo")]
    assert subrip.write(cues) == (
        "1\n00:00:00,000 --> 00:00:01,500\nuse <3 mm & go\n\n2\n00:00:01,500 --> 01:00:00,000\none\ntwo\n"
    )
    assert subrip.write([]) == ""


def test_text_that_looks_like_the_format_comes_back() -> None:
    cues = [Cue(0, 1000, "7"), Cue(1000, 2000, "12\n00:00:05,000 --> 00:00:06,000\n13"), Cue(2000, 3000, "a --> b")]
    assert subrip.read(subrip.write(cues)) == cues


_MARK_FREE = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="<"))


@given(st.lists(st.tuples(st.integers(0, 10**8), st.integers(1, 10**6), _MARK_FREE), max_size=5))
def test_any_text_comes_back(items: list[tuple[int, int, str]]) -> None:
    cues = [Cue(start, start + length, text) for start, length, text in items]
    expected = [Cue(one.start_ms, one.end_ms, plain_lines(one.text)) for one in cues if plain_lines(one.text)]
    assert subrip.read(subrip.write(cues)) == expected


def test_measures_between_angles_are_no_marks() -> None:  # case 54
    cues = [Cue(0, 1000, "<3 mm, then > 2 mm --> go")]
    written = subrip.write(cues)
    assert "<\u20603 mm" in written
    assert "--\u2060>" in written
    assert subrip.read(written) == cues
    assert "\u2060" not in subrip.write([Cue(0, 1000, "under <3 mm & even")])


def test_marks_are_dropped_and_measures_stay() -> None:
    text = "1\r\n00:00:01,5 --> 00:00:02,500\r\n<i>thin</i> <font color=red>tip</font> <3 mm\r\n"
    assert subrip.read(text) == [Cue(1500, 2500, "thin tip <3 mm")]
