"""Chapter lists as text and for the encoder."""

from __future__ import annotations

from pathlib import Path

import av
import pytest

from annotate.errors import BadTime
from annotate.formats import chapters, timed_text
from annotate.formats.cues import Cue
from tests import media

TITLES = ["Soak; wet = ready #1", "A\\B \\", "Größe 面取り 😆", "two\nlines"]


def listed() -> list[Cue]:
    return [Cue(number * 1000, number * 1000 + 1000, title, "chapter") for number, title in enumerate(TITLES)]


def test_text_to_paste() -> None:
    assert (
        chapters.as_text(listed()) == "0:00 Soak; wet = ready #1\n0:01 A\\B \\\n0:02 Größe 面取り 😆\n0:03 two lines\n"
    )
    assert chapters.as_text([]) == ""


def test_hours_stand_on_all_lines() -> None:
    times = [(0, 65_000, "Goal"), (65_000, 3_700_000, "File"), (3_700_000, 3_800_000, "Crow")]
    long = [Cue(*one, "chapter") for one in times]
    assert chapters.as_text(long) == "0:00:00 Goal\n0:01:05 File\n1:01:40 Crow\n"
    assert chapters.read_text("My lesson\n\n0:00:00 Goal\n0:01:05 - File\n1:01:40  Crow \n", 3_800_000) == long


def test_order_and_start_are_checked() -> None:
    with pytest.raises(BadTime, match="does not begin at 0:00"):
        chapters.as_text([Cue(10, 1000, "late", "chapter")])
    with pytest.raises(BadTime, match="before the one before it ends"):
        chapters.as_text([Cue(0, 1000, "one", "chapter"), Cue(999, 2000, "two", "chapter")])
    with pytest.raises(BadTime, match="ends before it starts"):
        chapters.as_text([Cue(0, 0, "none", "chapter")])


def test_encoder_reads_the_titles_back(tmp_path: Path) -> None:
    """Reference: the ffmpeg program reads its own metadata format, PyAV the chapters of the file it makes."""
    words = tmp_path / "chapters.txt"
    words.write_text(chapters.as_ffmetadata(listed()), encoding="utf-8", newline="\n")
    made = tmp_path / "with.mkv"
    media.ffmpeg("-i", media.base(), "-i", words, "-map", "0", "-map_chapters", "1", "-c", "copy", made)
    with av.open(str(made)) as container:
        found = container.chapters()
    assert [one["metadata"]["title"] for one in found] == [
        "Soak; wet = ready #1", "A\\B \\ ", "Größe 面取り 😆", "two lines"
    ]  # fmt: skip
    assert [float(one["start"] * one["time_base"]) for one in found] == [0, 1, 2, 3]


def test_timed_text_goes_both_ways() -> None:
    cues = [Cue(1500, 4000, "Now the left channel."), Cue(4000, 7000, "Two strokes\nno more & <3 mm --> go")]
    text = timed_text.write(cues)
    assert text == "0:01.5 Now the left channel.\n0:04.0 Two strokes no more & <3 mm --> go\n"
    back = timed_text.read(text, 7000)
    assert [(one.start_ms, one.end_ms) for one in back] == [(1500, 4000), (4000, 6278)]
    assert back[1].text == "Two strokes no more & <3 mm --> go"


def test_timed_text_with_brackets_and_wrapped_lines() -> None:
    back = timed_text.read("[0:01] Wet it\nwell.\n\n(1:02:03,5) Done.\n")
    assert back == [Cue(1000, 3_723_500, "Wet it well."), Cue(3_723_500, 3_724_500, "Done.")]
    with pytest.raises(BadTime, match="run backwards"):
        timed_text.read("0:05 b\n0:01 a\n")


def test_a_text_without_chapter_lines_has_none() -> None:
    assert chapters.read_text("Only words here.\n", 60_000) == []
    assert chapters.read_text("", 60_000) == []
