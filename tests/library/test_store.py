"""The store: opening, migrating, several writers, damage, backup."""

import os
import sqlite3
import threading
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext

from annotate.errors import BadInput, BadTime, NotFound, ToolFailed
from annotate.library import Library
from annotate.library.removing import remove_recording
from annotate.library.schema import metadata
from annotate.model import Before, Clip, Lesson, Reading, Reed, Session, Showing, Sound
from tests.library.turning_back import turn_back
from tests.making import a_line, a_recording, a_tag


def test_a_folder_without_library_is_refused(tmp_path: Path) -> None:
    with pytest.raises(NotFound, match="holds no library"):
        Library.open(tmp_path)


def test_a_file_in_place_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(BadInput, match="not a folder"):
        Library.open(tmp_path / "file", create=True)


def test_the_migrations_make_the_tables_that_the_queries_use(library: Library) -> None:
    with library.reading() as connection:
        differences = compare_metadata(MigrationContext.configure(connection), metadata)
    others = [
        entry for entry in differences if not (entry[0] == "remove_table" and entry[1].name.startswith("moment_text"))
    ]
    assert others == []
    with library.reading() as connection:  # which the comparison does not look at
        rows = connection.exec_driver_sql("SELECT name, sql FROM sqlite_master WHERE type = 'table'")
        made = {row.name: row.sql for row in rows}
    for name, table in metadata.tables.items():
        wanted = bool(table.dialect_options["sqlite"]["autoincrement"])
        assert ("AUTOINCREMENT" in made[name]) == wanted, name
        assert wanted == (name not in ("moment", "setting")), name


def test_values_are_there_after_reopening(tmp_path: Path) -> None:
    with Library.open(tmp_path, create=True) as library:
        reed = library.reeds.add(Reed("B-14", note="light cane"))
        tag = a_tag(library, a_recording(library, reed=reed), note="«a» & <b>")
    with Library.open(tmp_path) as library:
        assert library.reeds.by_name("b-14") == reed
        assert library.tags.get(tag.id) == tag
        assert tag.reed_id == reed.id


def test_a_lesson_stored_before_there_were_choices_is_shown_as_it_was(tmp_path: Path) -> None:
    with Library.open(tmp_path, create=True) as library:
        clip = Clip(a_recording(library).id, 0, 1000)
        old = library.lessons.add(Lesson("Old", clips=(clip,)))
    turn_back(tmp_path, "0002")
    with sqlite3.connect(tmp_path / "library.sqlite") as connection:
        connection.execute("UPDATE lesson SET clips = json_remove(clips, '$[0].before', '$[0].scraping_speed')")
    connection.close()
    with Library.open(tmp_path) as library:
        kept = library.lessons.get(old.id)
        assert (kept.clips, kept.showing) == ((clip,), Showing(evens_loudness=False))
        assert library.lessons.add(Lesson("New")).showing.evens_loudness


def test_words_left_by_their_line_are_left_by_their_place(tmp_path: Path) -> None:
    with Library.open(tmp_path, create=True) as library:
        recording = a_recording(library)
        library.lines.hear(recording.id, [a_line(recording, 2000, "The vocal is loose.")])
        (line,) = library.lines.of_recording(recording.id)
        library.settings.keep("words_left", add=[[line.id, "vocal", "bocal"], [999, "vocal", "bocal"]])
    turn_back(tmp_path, "0003")
    with Library.open(tmp_path) as library:
        (left,) = library.left_words.all()
        assert (left.recording_id, left.start_ms, left.end_ms) == (recording.id, line.start_ms, line.end_ms)
        assert (left.heard, left.proposed) == ("vocal", "bocal")
        assert library.settings.kept("words_left") == []


def test_the_choices_of_a_lesson_are_there_after_reopening(tmp_path: Path) -> None:
    with Library.open(tmp_path, create=True) as library:
        first, second = a_recording(library), a_recording(library, "b")
        clip = Clip(second.id, 0, 9000, scraping_speed=8, before=Before(first.id, 0, 4000, is_beside=False))
        made = library.lessons.add(Lesson("x", clips=(clip,), showing=Showing(4, 6000, "low", 3000, False, True)))
        with pytest.raises(BadTime, match="lies past"):
            library.lessons.change(replace(made, clips=(replace(clip, before=Before(first.id, 0, 61_000)),)))
        with pytest.raises(BadInput, match="is shown in the lesson"):
            remove_recording(library, first.id)
    with Library.open(tmp_path) as library:
        assert library.lessons.get(made.id) == made


def test_choices_that_cannot_be_are_refused() -> None:
    for told in ({"scraping_speed": 9}, {"scraping_sound": "loud"}, {"quiet_longer_ms": 500}):
        with pytest.raises(BadInput):
            Showing(**told)  # type: ignore[arg-type]
    with pytest.raises(BadInput, match="the same stretch"):
        Clip(1, 0, 5000, before=Before(1, 4000, 6000))
    with pytest.raises(BadInput, match="not a speed"):
        Clip(1, 0, 5000, scraping_speed=0)


def test_a_library_of_a_newer_version_is_refused(tmp_path: Path) -> None:
    Library.open(tmp_path, create=True).close()
    with sqlite3.connect(tmp_path / "library.sqlite") as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.close()
    with pytest.raises(BadInput, match="newer Benchreel"):
        Library.open(tmp_path)


def test_a_damaged_file_gives_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "library.sqlite").write_bytes(os.urandom(8192))
    with pytest.raises(ToolFailed, match="is damaged"):
        Library.open(tmp_path)


def test_four_writers_at_once_never_see_a_lock(library: Library) -> None:
    failures: list[BaseException] = []

    def write(name: str) -> None:
        try:
            with Library.open(library.folder) as own:
                for number in range(15):
                    own.reeds.all()
                    own.reeds.add(Reed(f"{name}-{number}"))
        except BaseException as error:
            failures.append(error)

    threads = [threading.Thread(target=write, args=(name,)) for name in "abcd"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    assert len(library.reeds.all()) == 60


def test_a_backup_holds_everything_and_opens(library: Library, tmp_path: Path) -> None:
    library.reeds.add(Reed("B-14"))
    copy = library.backup()
    target = tmp_path / "restored"
    target.mkdir()
    copy.rename(target / "library.sqlite")
    with Library.open(target) as restored:
        assert [reed.name for reed in restored.reeds.all()] == ["B-14"]
        assert restored.check() == []


def test_a_path_may_not_lead_out_of_the_library(library: Library) -> None:
    for path in ("../secret.txt", "recordings/../../secret.txt", "/etc/hostname"):
        with pytest.raises(BadInput, match="leads out"):
            library.path(path)


def test_the_recordings_may_lie_on_another_disk(tmp_path: Path) -> None:
    disk, folder = tmp_path / "larger disk", tmp_path / "library"
    disk.mkdir()
    folder.mkdir()
    (folder / "recordings").symlink_to(disk)
    with Library.open(folder, create=True) as library:
        recording = a_recording(library)
        (disk / "a.mp4").write_bytes(b"film")
        assert library.recordings.file(recording).read_bytes() == b"film"
        assert library.missing_files() == []
    (disk / "a.mp4").unlink()
    disk.rmdir()
    with pytest.raises(BadInput, match="leads to a folder that is not there"):
        Library.open(folder)


def test_a_backup_that_cannot_be_written_gives_a_sentence(library: Library, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="cannot be written"):
        library.backup(tmp_path / "not there" / "copy.sqlite")
    (tmp_path / "taken").mkdir()
    with pytest.raises(BadInput, match="cannot be written"):
        library.backup(tmp_path / "taken")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["library", "taken"]


def test_what_the_database_cannot_hold_gives_a_sentence(library: Library) -> None:
    with pytest.raises(NotFound, match="so large a number"):
        library.sessions.get(2**63)
    with pytest.raises(BadInput, match="cannot be stored"):
        library.reeds.add(Reed("half a pair \ud83d"))
    with pytest.raises(NotFound, match="no longer in the library"):
        library.recordings.hear(7, [(Sound(0, 1000, "play"), {})])
    assert library.reeds.all() == []


@pytest.mark.parametrize("day", ["yesterday", "20260314", "2026-W11-6", "2026-02-30"])
def test_a_day_is_written_in_one_way(day: str) -> None:
    for make in (lambda: Session(day), lambda: Reed("B-14", made_on=day)):
        with pytest.raises(BadInput, match="is not a date"):
            make()
    with pytest.raises(BadInput, match="is not a date"):
        Reading("length", Decimal(50), "mm", taken_on=day)


def test_weather_is_a_number() -> None:
    with pytest.raises(BadInput, match="is not a number"):
        Session("2026-03-14", humidity_percent=Decimal("NaN"))
    with pytest.raises(BadInput, match="is not a number"):
        Session("2026-03-14", temperature_c=Decimal("sNaN"))
