"""The choices of how a lesson is shown, from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from annotate.cli.main import _run
from annotate.library import Library
from annotate.model import Before, Clip, Lesson, Showing
from tests.making import a_recording


@pytest.fixture
def folder(library: Library) -> Path:
    """A library with two recordings and a lesson of one clip."""
    first, second = a_recording(library), a_recording(library, "b")
    assert (first.id, second.id) == (1, 2)
    library.lessons.add(Lesson("Tip", clips=(Clip(second.id, 0, 9000, "Thin the tip"),)))
    return library.folder


def told(folder: Path, *words: str) -> int:
    return _run(["lesson", *words, "--library", str(folder)])


def test_a_lesson_is_told_how_it_is_shown(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = "--scraping-speed 4 --scraping-longer 0:06 --scraping-sound low --quiet-longer 0:03 --burn-captions"
    assert told(folder, "change", "1", *words.split(), "--as-loud-as-it-was") == 0
    assert "scraping longer than 0:06 runs 4 times as fast, its sound low" in capsys.readouterr().out
    with Library.open(folder) as library:
        assert library.lessons.get(1).showing == Showing(4, 6000, "low", 3000, False, True)
    assert told(folder, "change", "1", "--quiet-longer", "never", "--goal", "Thinner") == 0
    with Library.open(folder) as library:
        lesson = library.lessons.get(1)
        assert (lesson.showing, lesson.goal) == (Showing(4, 6000, "low", None, False, True), "Thinner")


def test_a_clip_is_told_how_it_is_shown(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--scraping-speed", "8", "--before", "1", "0:02", "0:05", "--in-turn")
    assert told(folder, "change-clip", "1", "1", *words) == 0
    assert "before it: recording 1, 0:02.0 to 0:05.0" in capsys.readouterr().out
    with Library.open(folder) as library:
        (clip,) = library.lessons.get(1).clips
        assert (clip.scraping_speed, clip.before) == (8, Before(1, 2000, 5000, is_beside=False))
        assert clip.title == "Thin the tip"
    assert told(folder, "change-clip", "1", "1", "--scraping-speed", "lesson", "--no-before") == 0
    with Library.open(folder) as library:
        (clip,) = library.lessons.get(1).clips
        assert (clip.scraping_speed, clip.before) == (None, None)


def test_what_cannot_be_is_refused(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert told(folder, "change-clip", "1", "1", "--beside") == 1
    assert "set against nothing" in capsys.readouterr().err
    assert told(folder, "change-clip", "1", "1", "--before", "2", "0:05", "0:12") == 1
    assert "the same stretch" in capsys.readouterr().err
    assert told(folder, "change", "1", "--scraping-speed", "9") == 2
    assert told(folder, "change-clip", "1", "1", "--before", "1", "0:05", "1:12") == 1
    assert "lies past the end of the recording" in capsys.readouterr().err


def test_the_cover_is_the_picture_of_the_clip_that_is_told(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert told(folder, "add-clip", "1", "1", "0:02", "0:05") == 0
    assert told(folder, "change-clip", "1", "2", "--cover") == 0
    assert "its picture is the cover" in capsys.readouterr().out
    with Library.open(folder) as library:
        assert [clip.is_cover for clip in library.lessons.get(1).clips] == [False, True]
    assert told(folder, "change-clip", "1", "1", "--no-cover") == 0  # it was not
    assert told(folder, "move-clip", "1", "2", "1") == 0
    with Library.open(folder) as library:
        assert [clip.is_cover for clip in library.lessons.get(1).clips] == [True, False]
    assert told(folder, "change-clip", "1", "2", "--cover") == 0
    assert told(folder, "change-clip", "1", "2", "--no-cover") == 0
    with Library.open(folder) as library:
        assert [clip.is_cover for clip in library.lessons.get(1).clips] == [False, False]


def test_a_picture_outside_its_clip_is_refused_or_chosen_anew(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert told(folder, "change-clip", "1", "1", "--still", "0:10") == 1
    assert "The picture lies outside the clip" in capsys.readouterr().err
    assert told(folder, "change-clip", "1", "1", "--still", "0:08") == 0
    assert "its picture is the one at 0:08.0" in capsys.readouterr().out
    assert told(folder, "change-clip", "1", "1", "--end", "0:06") == 0
    assert "The picture chosen for clip 1 lay outside it: it is chosen anew, automatically." in capsys.readouterr().out
    with Library.open(folder) as library:
        assert library.lessons.get(1).clips[0].still_ms is None
