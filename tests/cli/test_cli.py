"""The command line: results, JSON, sentences, exit codes."""

import io
import shutil
import time
from pathlib import Path

import pytest

from annotate.library import Library
from annotate.model import CardShown, Reed
from tests import media
from tests.cli.conftest import Benchreel
from tests.making import a_recording


def with_recording(benchreel: Benchreel) -> None:
    benchreel("reed", "add", "B-14")
    assert benchreel("add", media.base(), "--reed", "B-14", "--date", "2026-03-14", "--later").code == 0


def test_a_library_that_is_not_there_is_said(benchreel: Benchreel) -> None:
    call = benchreel("reed", "list")
    assert call.code == 1
    assert "holds no library. Make one with: benchreel init." in call.err
    assert "Traceback" not in call.err


def test_wrong_words_give_exit_code_2(benchreel: Benchreel) -> None:
    benchreel("init")
    assert benchreel("tag", "add", "1", "later", "0:03", "scrape").code == 2
    assert benchreel("find").code == 2
    assert benchreel("frobnicate").code == 2


def test_an_error_as_json_keeps_one_shape(benchreel: Benchreel) -> None:
    benchreel("reed", "add", "B-14")
    call = benchreel("reed", "add", "B-14", "--json")
    assert call.code == 1
    assert call.json == {
        "error": {
            "code": "already_there",
            "message": "“B-14” is the id of another reed. Choose another id.",
            "subject": "B-14",
            "existing_id": 1,
        }
    }


def test_a_new_session_is_of_the_day_where_the_maker_is(benchreel: Benchreel, monkeypatch: pytest.MonkeyPatch) -> None:
    file = media.make("eve.mp4", "-i", media.base(), "-c", "copy", "-metadata", "creation_time=2026-03-02T01:30:00Z")
    monkeypatch.setenv("TZ", "America/New_York")
    time.tzset()
    benchreel("add", file, "--later")
    days = [one["date"] for one in benchreel("session", "list", "--json").json]
    monkeypatch.undo()
    time.tzset()
    assert days == ["2026-03-01"]


def test_refused_files_do_not_stop_the_others(benchreel: Benchreel, tmp_path: Path) -> None:
    good = tmp_path / 'b ä\'😀 "q".mp4'
    shutil.copy(media.base(), good)
    (tmp_path / "text.mp4").write_text("not a video")
    (tmp_path / "zero.mp4").touch()
    files = [tmp_path / "text.mp4", tmp_path / "zero.mp4", good, tmp_path, tmp_path / "absent.mp4", media.truncated()]
    call = benchreel("add", *files, "--later", "--json")
    assert call.code == 1
    assert [entry["state"] for entry in call.json["files"]] == ["refused"] * 2 + ["added"] + ["refused"] * 3
    texts = [entry["text"] for entry in call.json["files"]]
    assert texts[1] == "“zero.mp4” is empty. Copy it again from the camera."
    assert "is a folder" in texts[3]
    assert "is not there" in texts[4]
    assert call.json["files"][5]["error"]["code"] == "unfinished"
    assert "5 of 6 files could not be added." in call.err
    again = benchreel("add", good, "--later", "--json")
    assert [entry["state"] for entry in again.json["files"]] == ["already_there"]


def test_tag_reading_find_undo(benchreel: Benchreel) -> None:
    with_recording(benchreel)
    words = ("--zone", "rails", "--symptom", "flat", "--json")
    tag = benchreel("tag", "add", "1", "0:01", "0:03.5", "scrape", *words).json
    assert (tag["start_ms"], tag["end_ms"], tag["zones"], tag["reed_id"]) == (1000, 3500, ["rails"], 1)
    reading = benchreel("reading", "add", "tip_opening", "3/16", "in", "--tag", "1", "--json").json
    assert (reading["value"], reading["unit"], reading["at_ms"]) == (0.1875, "in", 1000)
    hits = benchreel("find", "flat", "--zone", "rails", "--json").json
    assert [(hit["kind"], hit["session_id"], hit["start_ms"]) for hit in hits] == [("tag", 1, 1000)]
    assert benchreel("undo").out == "Undone: added a reading.\n"
    assert benchreel("reading", "list", "--json").json == []
    assert benchreel("redo").code == 0
    assert benchreel("check").out == "All is well.\n"


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["tag", "add", "1", "0:03", "0:01", "scrape"], "ends before it starts"),
        (["tag", "add", "1", "0:01", "9:00", "scrape"], "lies past the end of the recording, which is 0:06.0 long"),
        (["tag", "add", "1", "0:01", "0:02", "whittle"], "is not one of the steps of the bassoon"),
        (["tag", "add", "9", "0:01", "0:02", "scrape"], "There is no recording 9"),
        (["tag", "change", "9", "--note", "x"], "There is no tag 9"),
        (["reading", "add", "tip_opening", "1.6", "kg"], "is not a unit of tip opening"),
        (["reading", "add", "tip_opening", "wide"], "is not a number"),
        (["correction", "add", "1", "0:01", "0:02", "--right", " "], "What is right is empty"),
        (["lesson", "export", "5"], "There is no lesson 5"),
        (["reed", "show", "Q"], "is not a reed of this library"),
        (["session", "change", "1", "--humidity-percent", "140"], "is not a relative humidity"),
        (["work", "cancel", "99"], "There is no work 99"),
    ],
)
def test_bad_input_gets_one_sentence(benchreel: Benchreel, words: list[str], sentence: str) -> None:
    with_recording(benchreel)
    call = benchreel(*words)
    assert call.code == 1
    assert sentence in call.err
    assert len(call.err.strip().splitlines()) == 1


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["session", "add", "14.3.2026"], "“14.3.2026” is not a date. Write it as year-month-day"),
        (["find", "flat", "--since", "yesterday"], "'--since': “yesterday” is not a date."),
        (["find", "--since", "2026-03-14", "--until", "2026-03-01"], "“2026-03-01” is before the first day."),
        (["reed", "add", "B-9", "--made-on", "2026-02-30"], "“2026-02-30” is not a date."),
        (["reading", "add", "tip_opening", "1.6", "mm", "--date", "1.3."], "“1.3.” is not a date."),
        (["tag", "add", "1", "soon", "0:02", "scrape"], "“soon” is not a time."),
    ],
)
def test_words_of_the_call_that_are_off_end_with_2(benchreel: Benchreel, words: list[str], sentence: str) -> None:
    with_recording(benchreel)
    call = benchreel(*words)
    assert call.code == 2
    assert sentence in " ".join(call.err.split())


def test_recordings_are_listed_with_their_reeds_and_cards(benchreel: Benchreel, tmp_path: Path) -> None:
    assert benchreel("session", "add", "2026-03-02").code == 0
    assert benchreel("recording", "list").out == "No recordings yet.\n"
    with Library.open(tmp_path / "library") as library:
        first = a_recording(library, reed=library.reeds.add(Reed("B-14")))
        second = a_recording(library, "b")
        library.recordings.see_cards(second.id, [CardShown(3000, 4000, "B-15"), CardShown(9000, 9900, "B-15")])
    assert benchreel("recording", "list").out.splitlines() == [
        "   1  session 2       1:00  B-14       a.mp4",
        "   2  session 3       1:00  -          b.mp4  card B-15 seen",
    ]
    (one,) = benchreel("recording", "list", "--session", "3", "--json").json
    assert (one["id"], one["reed_id"], one["name"]) == (second.id, None, "b.mp4")
    assert [(card["start_ms"], card["end_ms"], card["name"]) for card in one["cards"]] == [
        (3000, 4000, "B-15"),
        (9000, 9900, "B-15"),
    ]
    assert (first.id, benchreel("recording", "list", "--session", "9").code) == (1, 1)


def test_lessons_are_made_ordered_and_trimmed(benchreel: Benchreel) -> None:
    with_recording(benchreel)
    benchreel("tag", "add", "1", "0:00", "0:02", "scrape", "--zone", "rails")
    benchreel("tag", "add", "1", "0:03", "0:04", "crow")
    lesson = benchreel("lesson", "new", "Rails: “how much?”", "--session", "1", "--tool", "knife", "--json").json
    assert [clip["title"] for clip in lesson["clips"]] == ["Scrape: rails", "Crow"]
    lesson = benchreel("lesson", "move-clip", "1", "2", "1", "--json").json
    assert [clip["title"] for clip in lesson["clips"]] == ["Crow", "Scrape: rails"]
    lesson = benchreel("lesson", "change-clip", "1", "1", "--end", "0:05", "--title", "After", "--json").json
    assert (lesson["clips"][0]["end_ms"], lesson["clips"][0]["title"]) == (5000, "After")
    overlapping = benchreel("lesson", "add-clip", "1", "1", "0:01", "0:02.5")
    assert "clips 2 and 3 show the same stretch" in overlapping.err
    assert "has no clip 7" in benchreel("lesson", "remove-clip", "1", "7").err


def test_private_sessions_are_asked_about_before_they_leave(
    benchreel: Benchreel, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("n\n"))
    with_recording(benchreel)
    benchreel("session", "change", "1", "--sharing", "private")
    benchreel("lesson", "new", "x")
    benchreel("lesson", "add-clip", "1", "1", "0:00", "0:01")
    call = benchreel("lesson", "export", "1")
    assert call.code == 130
    assert "is marked not to share" in call.out + call.err


def test_a_transcript_comes_in_and_goes_out(benchreel: Benchreel, tmp_path: Path) -> None:
    with_recording(benchreel)
    file = tmp_path / "lines.srt"
    file.write_text("1\n00:00:01,500 --> 00:00:03,000\nHeld B♭.\n", "utf-8")
    call = benchreel("bring-lines", "1", file)
    assert (call.code, call.out) == (0, "1 line brought in.\n")
    assert benchreel("lines", "1").out == "0:01.5 Held B♭.\n"
    file.write_text("no times", "utf-8")
    assert benchreel("bring-lines", "1", file).code == 1


def test_a_port_past_the_last_one_is_refused(benchreel: Benchreel) -> None:
    assert benchreel("serve", "--port", "70000").code == 2
