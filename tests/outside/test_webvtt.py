"""Our WebVTT against two readers that know nothing of us: webvtt-py and pysubs2, and the W3C's own rules.

Source: W3C, WebVTT: The Web Video Text Tracks Format (w3.org/TR/webvtt1), 4.1 "file structure" and 6.4 "cue text
parsing rules". Both readers leave entities as they stand, so those are resolved as HTML does (html.unescape).
"""

from __future__ import annotations

import html
import io
import re

import pysubs2
import pytest
import webvtt as webvtt_py

from annotate.formats import webvtt
from annotate.formats.captions import cut
from annotate.formats.cues import Cue
from annotate.model import Line

pytestmark = pytest.mark.outside

HARD_TEXTS = [
    "use <3 mm & A&B --> go",
    "\"quoted\" and 'single' &amp; already",
    "😆 the crow 🎵 drops",
    "خفّف الطرف قليلاً",
    "העלה דק מדי",
    "面取りをする",
    "first row\nsecond <row>",
    "{curly} \\N and <b>not bold</b>",
    "7",
]


def hard_cues() -> list[Cue]:
    return [Cue(number * 1000, number * 1000 + 998, text) for number, text in enumerate(HARD_TEXTS)]


def test_webvtt_py_reads_the_same_text_and_times() -> None:
    found = list(webvtt_py.from_buffer(io.StringIO(webvtt.write(hard_cues()))))
    assert [html.unescape(one.raw_text) for one in found] == HARD_TEXTS
    assert [(one.start, one.end) for one in found][-1] == ("00:00:08.000", "00:00:08.998")


def test_pysubs2_reads_the_same_times_and_text() -> None:
    found = pysubs2.SSAFile.from_string(webvtt.write(hard_cues()), format_="vtt")
    assert [(one.start, one.end) for one in found] == [(cue.start_ms, cue.end_ms) for cue in hard_cues()]
    # Its own model writes \\N for a line end, and takes \\N inside the text for one too; the rest is as given.
    assert [html.unescape(one.text).replace("\\N", "\n") for one in found] == [
        text.replace("\\N", "\n") for text in HARD_TEXTS
    ]


def test_chapters_read_alike() -> None:
    chapters = [Cue(0, 65_000, "Soak & wait", "chapter"), Cue(65_000, 3_700_000, "File <the> tip --> end", "chapter")]
    text = webvtt.write(chapters)
    assert [html.unescape(one.raw_text) for one in webvtt_py.from_buffer(io.StringIO(text))] == [
        "Soak & wait",
        "File <the> tip --> end",
    ]
    assert [(one.start, one.end) for one in pysubs2.SSAFile.from_string(text, format_="vtt")] == [
        (0, 65_000),
        (65_000, 3_700_000),
    ]


def test_file_follows_the_grammar() -> None:
    """4.1: the signature, then blocks parted by blank lines, each a time line and text without ``-->``, ``&`` or ``<``
    other than in an escape."""
    head, *blocks = webvtt.write(hard_cues()).rstrip("\n").split("\n\n")
    assert head == "WEBVTT"
    assert len(blocks) == len(HARD_TEXTS)
    for block in blocks:
        times, *payload = block.split("\n")
        assert re.fullmatch(r"\d{2,}:[0-5]\d:[0-5]\d\.\d{3} --> \d{2,}:[0-5]\d:[0-5]\d\.\d{3}", times)
        assert payload
        for line in payload:
            assert line.strip()
            assert "-->" not in line
            assert not re.search(r"<|&(?!(?:amp|lt|gt);)", line)


def test_captions_cut_from_words_parse() -> None:
    line = Line(1, 0, 20_000, "Keep the wall under <3 mm & even, then listen. " * 6)
    cues = cut([line], 30_000)
    found = list(webvtt_py.from_buffer(io.StringIO(webvtt.write(cues))))
    assert [html.unescape(one.raw_text) for one in found] == [cue.text for cue in cues]
