"""Commands for the library itself: nothing that is there is written over unasked."""

from pathlib import Path

import pytest

from annotate.library import Library
from tests.cli.conftest import Benchreel
from tests.making import a_recording


@pytest.fixture
def evening(tmp_path: Path) -> Path:
    """A file of the maker's own."""
    path = tmp_path / "evening.mp4"
    path.write_bytes(b"a film")
    return path


def test_a_file_that_is_there_is_written_over_only_when_asked(
    benchreel: Benchreel, tmp_path: Path, evening: Path
) -> None:
    benchreel("init")
    benchreel("reed", "add", "B-14")
    for words in (("backup", evening), ("cards", "--out", evening)):
        call = benchreel(*words)
        told = f"benchreel: “{evening}” is there already. Choose another name, or write over it with --replace.\n"
        assert (call.code, call.out, call.err) == (1, "", told)
        assert evening.read_bytes() == b"a film"
    assert benchreel("cards", "--out", evening, "--replace").code == 0
    assert evening.read_bytes()[:5] == b"%PDF-"
    assert benchreel("backup", evening, "--replace").code == 0
    assert evening.read_bytes()[:15] == b"SQLite format 3"


def test_a_whole_recording_is_written_over_only_when_asked(benchreel: Benchreel, tmp_path: Path) -> None:
    with Library.open(tmp_path / "library", create=True) as library:
        recording = a_recording(library)
    words = ("lesson", "whole", recording.id, "--to", tmp_path / "out", "--yes")
    files = [Path(path) for path in benchreel(*words, "--json").json["files"].values()]
    files[0].unlink()
    files[2].write_text("my own words")
    call = benchreel(*words)
    assert (call.code, "is there already" in call.err) == (1, True)
    assert not files[0].exists() and files[2].read_text() == "my own words"
    assert benchreel(*words, "--replace").code == 0
    assert files[2].read_text() != "my own words"


def test_two_backups_of_one_second_are_two_files(library: Library) -> None:
    made = {library.backup() for _ in range(3)}
    assert len(made) == 3


def test_a_backup_is_put_in_the_place_of_a_damaged_database(benchreel: Benchreel, tmp_path: Path) -> None:
    benchreel("init")
    benchreel("reed", "add", "B-14")
    backup = Path(benchreel("backup", "--json").json["backup"])
    (tmp_path / "library" / "library.sqlite").write_bytes(b"torn" * 5000)
    call = benchreel("check")
    assert call.code == 1
    assert call.err.endswith(f'is damaged. Put a backup in its place: benchreel restore "{backup}".\n')
    done = benchreel("restore", backup)
    assert done.code == 0
    assert done.out.startswith(f"The library is as in {backup}. What was there is now {tmp_path / 'library'}/replaced-")
    assert benchreel("check").out == "All is well.\n"
    assert benchreel("restore", tmp_path / "no.sqlite").err.endswith(
        "no.sqlite” is not a file. Name one of the library's backups.\n"
    )
