"""WebVTT: what is written comes back, whatever the text holds."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotate.errors import BadInput
from annotate.formats import webvtt
from annotate.formats.cues import Cue, plain_lines


def test_text_is_escaped() -> None:  # case 54
    written = webvtt.write([Cue(0, 1500, "use <3 mm & A&B --> go"), Cue(1500, 2000, "one\n\n\r\ntwo")])
    assert written == (
        "WEBVTT\n\n"
        "00:00:00.000 --> 00:00:01.500\nuse &lt;3 mm &amp; A&amp;B --&gt; go\n\n"
        "00:00:01.500 --> 00:00:02.000\none\ntwo\n"
    )


def test_nothing_to_show() -> None:
    assert webvtt.write([]) == "WEBVTT\n"
    assert webvtt.write([Cue(5, 5, "zero length"), Cue(0, 9, "\n \n")]) == "WEBVTT\n"
    assert webvtt.read("WEBVTT\n") == []


@given(
    st.lists(
        st.tuples(st.integers(0, 10**8), st.integers(1, 10**6), st.text(st.characters(exclude_categories=["Cs"]))),
        max_size=5,
    )
)
def test_any_text_comes_back(items: list[tuple[int, int, str]]) -> None:
    cues = [Cue(start, start + length, text) for start, length, text in items]
    expected = [Cue(one.start_ms, one.end_ms, plain_lines(one.text)) for one in cues if plain_lines(one.text)]
    assert webvtt.read(webvtt.write(cues)) == expected


def test_reading_passes_over_what_is_not_text() -> None:
    text = (
        "\ufeffWEBVTT - a title\r\nX-KEY: value\r\n\r\nNOTE a remark\r\nwith two lines\r\n\r\n"
        "STYLE\r\n::cue { color: red }\r\n\r\nfirst\r\n00:01.000 --> 00:02.500 align:start line:0\r\n"
        "<v Maker>a <b>thin</b> tip &amp; &lt;3&nbsp;mm\r\n\r\n00:03.000 --> broken\r\nlost\r\n\r\n"
        "01:00:00.000 --> 01:00:01.000\r\nlast"
    )
    assert webvtt.read(text) == [Cue(1000, 2500, "a thin tip & <3\u00a0mm"), Cue(3600000, 3601000, "last")]


def test_other_files_are_refused() -> None:
    with pytest.raises(BadInput, match="does not begin with WEBVTT"):
        webvtt.read("1\n00:00:01,000 --> 00:00:02,000\nhello\n")


def test_metadata_holds_json() -> None:
    data = {"step": "scrape", "note": "a --> b <c> & d"}
    written = webvtt.write([Cue(0, 1000, json.dumps(data), "metadata")])
    assert written.count("-->") == 1
    assert json.loads(webvtt.read(written, "metadata")[0].text) == data
