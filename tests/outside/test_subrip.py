"""Our SubRip against two readers that know nothing of us: pysubs2 and the SubRip reader of webvtt-py.

The format has no standard; these two, and ffmpeg's reader below, stand for what players do.
"""

from __future__ import annotations

from pathlib import Path

import pysubs2
import pytest
import webvtt as webvtt_py

from annotate.formats import subrip
from tests import media
from tests.outside.test_webvtt import HARD_TEXTS, hard_cues

pytestmark = pytest.mark.outside


def shown(text: str) -> str:
    """The text as a viewer sees it: without the invisible word joiner."""
    return text.replace("\u2060", "")


def test_pysubs2_reads_the_same_times_and_text() -> None:
    found = pysubs2.SSAFile.from_string(subrip.write(hard_cues()), format_="srt")
    assert [(one.start, one.end) for one in found] == [(cue.start_ms, cue.end_ms) for cue in hard_cues()]
    # Its own model writes \\N for a line end, and takes \\N inside the text for one too.
    assert [shown(one.text).replace("\\N", "\n") for one in found] == [text.replace("\\N", "\n") for text in HARD_TEXTS]


def test_webvtt_py_reads_the_same_times_and_text(tmp_path: Path) -> None:
    given = tmp_path / "in.srt"
    given.write_text(subrip.write(hard_cues()), encoding="utf-8", newline="\n")
    found = list(webvtt_py.from_srt(str(given)))
    assert [shown(one.raw_text) for one in found] == HARD_TEXTS
    assert (found[1].start, found[1].end) == ("00:00:01.000", "00:00:01.998")


def test_ffmpeg_reads_the_same_times_and_text(tmp_path: Path) -> None:
    given, made = tmp_path / "in.srt", tmp_path / "out.srt"
    given.write_text(subrip.write(hard_cues()), encoding="utf-8", newline="\n")
    media.ffmpeg("-i", given, made)
    # ffmpeg too has \\N for a line end inside, and {curly} for its own marks.
    plain = [cue for cue in hard_cues() if "{" not in cue.text]
    found = [cue for cue in subrip.read(made.read_text(encoding="utf-8")) if cue.start_ms != 7000]
    assert found == plain
