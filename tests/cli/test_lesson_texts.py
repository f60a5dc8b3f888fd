"""Commands for drafts, a whole recording, one clip alone, and a file that has gone."""

from __future__ import annotations

import shutil
from pathlib import Path

from tests import media
from tests.cli.conftest import Benchreel


def filled(benchreel: Benchreel) -> None:
    benchreel("reed", "add", "B-14")
    benchreel("add", media.base(), "--later", "--reed", "B-14", "--date", "2026-03-14")
    tag = ("tag", "add", "1", "0:00", "0:02", "scrape", "--zone", "rails", "--reed", "B-14", "--symptom", "resistant")
    assert benchreel(*tag).code == 0


def test_a_new_lesson_is_drafted_from_its_tags(benchreel: Benchreel) -> None:
    filled(benchreel)
    out = benchreel("lesson", "new", "Rails", "--session", "1").out
    named = "“Scrape: rails” at 0:00 (2026-03-14)"
    assert f"Goal      Mend what was found on reed B-14: too resistant.  [from the symptoms of {named}]" in out
    assert "Review    (nothing to draft: nothing in these clips was measured twice)" in out
    assert benchreel("lesson", "show", "1", "--json").json["goal"] == "Mend what was found on reed B-14: too resistant."
    own = benchreel("lesson", "new", "Own", "--tag", "1", "--goal", "My own", "--json").json
    assert own["goal"] == "My own"


def test_drafts_are_put_in_only_when_asked(benchreel: Benchreel) -> None:
    filled(benchreel)
    benchreel("lesson", "new", "Rails")
    benchreel("lesson", "add-clip", "1", "1", "0:00", "0:02")
    told = "Title 1   Scrape: rails  [from the tag “Scrape: rails” at 0:00 (2026-03-14)]"
    assert told in benchreel("lesson", "draft", "1").out
    assert benchreel("lesson", "show", "1", "--json").json["goal"] == ""
    assert benchreel("lesson", "draft", "1", "--apply").out.endswith("The empty fields of lesson 1 are filled.\n")
    assert benchreel("lesson", "show", "1", "--json").json["clips"][0]["title"] == "Scrape: rails"
    assert benchreel("lesson", "draft", "1", "--apply").out.endswith("No field was empty.\n")
    benchreel("undo")
    assert benchreel("lesson", "show", "1", "--json").json["goal"] == ""


def test_a_whole_recording_is_written_when_it_may_leave(benchreel: Benchreel, tmp_path: Path) -> None:
    filled(benchreel)
    assert benchreel("lesson", "whole", "1").out == "0:00 Reed B-14, 2026-03-14; Scrape: rails\n"
    assert benchreel("lesson", "whole", "1", "--to", tmp_path / "out").code != 0  # nobody answered the question
    assert not (tmp_path / "out").exists()
    files = benchreel("lesson", "whole", "1", "--to", tmp_path / "out", "--yes", "--json").json["files"]
    assert Path(files["vtt"]).read_text("utf-8").startswith("WEBVTT")


def test_a_clip_is_exported_alone(benchreel: Benchreel) -> None:
    filled(benchreel)
    benchreel("lesson", "new", "Rails", "--session", "1")
    assert "has no clip 2" in benchreel("lesson", "export", "1", "--clip", "2").err
    files = benchreel("lesson", "export", "1", "--clip", "1", "--yes", "--json").json["files"]
    assert Path(files["film"]).is_file()
    assert Path(files["chapters"]).read_text("utf-8") == "0:00 1. Scrape: rails\n"


def test_a_file_that_has_gone_is_found(benchreel: Benchreel, tmp_path: Path) -> None:
    here = Path(shutil.copy(media.base(), tmp_path / "here.mp4"))
    benchreel("add", here, "--later", "--in-place")
    (tmp_path / "there").mkdir()
    here.rename(tmp_path / "there" / "x.bin")
    made = benchreel("recording", "find-file", "1", tmp_path)
    assert made.out == f"Recording 1 (here.mp4) lies at {tmp_path / 'there' / 'x.bin'}.\n"
    (tmp_path / "empty").mkdir()
    assert "no file there has its size" in benchreel("recording", "find-file", "1", tmp_path / "empty").err
