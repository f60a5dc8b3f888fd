"""Commands that do what a page does: settings, plans, marks, lines, taking out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from annotate.cli.main import _run
from annotate.library import Library, schema
from annotate.model import Line, Reed, Suggestion, Word
from tests import media
from tests.cli.conftest import Benchreel
from tests.making import a_recording, a_tag


def test_settings_are_shown_and_changed(benchreel: Benchreel) -> None:
    benchreel("init")
    assert benchreel("settings", "show").out.splitlines()[0] == "A4            440 Hz"
    made = benchreel("settings", "change", "--a4", "442", "--own-word", "Holzbichl", "--language", "DE", "--json").json
    assert made == {"a4_hz": 442.0, "own_words": ["Holzbichl"], "signal_word": "", "language": "de"}
    assert benchreel("settings", "change", "--no-own-words", "--json").json["own_words"] == []
    assert "is not a language code" in benchreel("settings", "change", "--language", "deutsch").err


def test_a_plan_is_noted_done_and_undone(benchreel: Benchreel) -> None:
    benchreel("reed", "add", "B-14")
    assert benchreel("plan", "add", "B-14", "clip the tip").out == "    1  B-14         clip the tip\n"
    assert benchreel("plan", "change", "1", "--reed", "b-14").out == "    1  B-14         clip the tip\n"
    assert benchreel("plan", "done", "1").out == "    1  B-14         clip the tip (done)\n"
    assert benchreel("plan", "list").out == "Nothing is planned.\n"
    assert benchreel("undo").out == "Undone: changed a plan.\n"
    assert [one["text"] for one in benchreel("plan", "list", "--reed", "B-14", "--json").json] == ["clip the tip"]


def test_a_mark_is_laid_on_the_recording_by_the_clock(benchreel: Benchreel, tmp_path: Path) -> None:
    benchreel("reed", "add", "B-14")
    made = tmp_path / "clock.mp4"
    media.ffmpeg("-i", media.base(), "-c", "copy", "-metadata", "creation_time=2026-03-14T18:00:00Z", made)
    benchreel("add", made, "--later")
    assert benchreel("mark", "add", "scrape", "--zone", "tip", "--at", "2026-03-14T18:00:02Z").code == 0
    assert "is not a moment" in benchreel("mark", "add", "scrape", "--at", "later").err
    assert benchreel("mark", "lay", "1").out.split()[1:] == ["0:02.0", "to", "0:06.0", "Scrape", "·", "Tip"]
    assert benchreel("mark", "list").out == "No marks wait.\n"


def test_a_session_is_taken_out_and_brought_back(benchreel: Benchreel) -> None:
    benchreel("add", media.base(), "--later")
    assert "benchreel undo brings it back" in benchreel("session", "remove", "1").out
    assert benchreel("session", "list").out == "No sessions yet.\n"
    benchreel("undo")
    assert len(benchreel("session", "show", "1", "--json").json["recordings"]) == 1
    assert benchreel("recording", "remove", "1").code == 0
    assert benchreel("session", "show", "1", "--json").json["recordings"] == []


def test_words_are_replaced_over_a_session(benchreel: Benchreel, tmp_path: Path) -> None:
    with Library.open(tmp_path / "library", create=True) as library:
        recording = a_recording(library)
        words = (Word(0, 300, "read"), Word(300, 600, "B-14"))
        library.lines.hear(recording.id, [Line(recording.id, 0, 600, "read B-14", words)])
    assert "read B-14\n       reed B-14" in benchreel("replace", "1", "read", "reed", "--preview").out
    assert benchreel("replace", "1", "read", "reed").out == "Replaced on 1 line.\n"
    assert benchreel("change-line", "1", "reed B-15").out == "    1     0:00  reed B-15\n"
    assert benchreel("doubt", "list", "1").out == "Nothing is doubtful.\n"
    assert benchreel("strike-out-line", "1").out == "Line 1 is struck out.\n"
    assert benchreel("lines", "1").out == "No lines yet.\n"


def test_a_letter_without_a_font_is_told_in_a_sentence(
    benchreel: Benchreel, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    benchreel("reed", "add", "B-\U00013000")  # an Egyptian hieroglyph
    call = benchreel("cards", "--out", tmp_path / "cards.pdf")
    assert call.out == f"1 card is in {tmp_path / 'cards.pdf'}.\n"
    assert "shows boxes for \U00013000" in call.err
    assert caplog.records == []
    assert [one.name for one in tmp_path.glob("*.part")] == []


def test_a_refused_file_shows_no_bar(benchreel: Benchreel, tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("no film")
    call = benchreel("add", tmp_path / "notes.txt")
    assert call.err == "benchreel: 1 of 1 file could not be added.\n"


def test_a_state_is_written_in_words(benchreel: Benchreel) -> None:
    benchreel("reed", "add", "B-14")
    assert benchreel("reed", "show", "B-14").out == "B-14: bassoon, in progress\n"
    assert benchreel("reed", "list").out.split()[-2:] == ["in", "progress"]


def test_the_demo_names_the_library_it_uses(capsys: pytest.CaptureFixture[str]) -> None:
    assert _run(["demo", "--help"]) == 0
    assert "the usual library's folder with “ demo” added" in " ".join(capsys.readouterr().out.split())


def test_work_whose_program_was_killed_says_that_it_goes_on(benchreel: Benchreel, tmp_path: Path) -> None:
    with Library.open(tmp_path / "library", create=True) as library:
        job = library.jobs.put("listen", {"recording_id": 1})
        library.jobs.claim("gone", ("listen",))
        library.jobs.report(job.id, "gone", 0.4, "writing down what is said")
        assert "40%        writing down" in benchreel("work", "list").out
        with library.writing() as connection:
            connection.execute(schema.job.update().values(heartbeat_at=0.0))
    assert "interrupted; it goes on with benchreel serve" in benchreel("work", "list").out


def test_a_recap_is_linked_and_one_of_nothing_known_stays_open(benchreel: Benchreel, tmp_path: Path) -> None:
    with Library.open(tmp_path / "library", create=True) as library:
        recording = a_recording(library, reed=library.reeds.add(Reed("B-14")))
        library.recordings.change(replace(recording, probe=replace(recording.probe, duration_ms=600_000)))
        a_tag(library, recording)  # scrape, channels, from 1 s
        content = {"step": "scrape", "blade": None, "side": None, "symptoms": [], "reed": None, "reed_id": None}
        told = [
            Suggestion(recording.id, at, at + 1000, "recap", {**content, "zones": [zone]}, "Before.", "told", 0.9)
            for at, zone in ((400_000, "channels"), (410_000, "heart"))
        ]
        library.suggestions.propose(recording.id, told)
    assert benchreel("accept", "--session", "1").out.splitlines() == [
        "Accepted 1.",
        "Told again: scrape, 2026-03-14, a.mp4 0:01, tag 1",
        "Left open: 1 told again from earlier; no earlier tag of that work was found.",
    ]
    assert benchreel("undo").out == "Undone: accepted 1 suggestion.\n"


def test_a_clap_is_marked_and_the_clock_lays_where_none_is_heard(benchreel: Benchreel, tmp_path: Path) -> None:
    made = tmp_path / "clock.mp4"
    media.ffmpeg("-i", media.base(), "-c", "copy", "-metadata", "creation_time=2026-03-14T18:00:00Z", made)
    benchreel("add", made, "--later")
    assert benchreel("mark", "add", "clap", "--at", "2026-03-14T18:00:01Z").out.split()[-1] == "Clap"
    benchreel("mark", "add", "scrape", "--at", "2026-03-14T18:00:02Z")
    laid = benchreel("mark", "lay", "1")
    assert laid.out.split()[1:] == ["0:02.0", "to", "0:06.0", "Scrape"]
    assert "No clap is heard within 5 minutes of where it was pressed: laid by the clock." in laid.err
    assert benchreel("mark", "list").out == "No marks wait.\n"


def test_the_record_is_written_in_open_forms_and_brought_in(benchreel: Benchreel, tmp_path: Path) -> None:
    table, tags = tmp_path / "readings.csv", tmp_path / "tags.jsonld"
    benchreel("add", media.base(), "--later")
    benchreel("reading", "add", "tip_opening", "1.6", "mm", "--recording", "1", "--at", "0:01")
    benchreel("tag", "add", "1", "0:01", "0:02", "scrape")
    assert benchreel("write-readings", table).out == f"The readings are in {table}.\n"
    assert "is there already. Choose another name" in benchreel("write-readings", table).err
    assert benchreel("write-readings", table, "--replace").code == 0
    assert benchreel("write-tags", "1", tags).code == 0
    assert benchreel("bring-readings", table).out == "0 readings brought in. 1 reading was there.\n"
    benchreel("tag", "remove", "1")
    assert benchreel("bring-tags", tags).out == "1 tag brought in.\n"
