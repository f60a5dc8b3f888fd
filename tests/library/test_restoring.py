"""A backup in the place of a database that was lost in a crash; what must not be replaced is refused."""

import subprocess
import sys
from pathlib import Path

import pytest

from annotate.errors import BadInput, ToolFailed
from annotate.library import Library
from annotate.library.restoring import restore
from annotate.model import Reed

# Adds a reed, and ends without closing anything, as when the power goes: its -wal stays.
CRASH = """
import os, sys
from pathlib import Path
from annotate.library import Library
from annotate.model import Reed
library = Library.open(Path(sys.argv[1]))
library.reeds.add(Reed("B-15"))
os._exit(9)
"""


def crashed(folder: Path) -> Path:
    """A backup with B-14; after it B-15 was added in a program that was killed."""
    with Library.open(folder, create=True) as library:
        library.reeds.add(Reed("B-14"))
        backup = library.backup()
    assert subprocess.run([sys.executable, "-c", CRASH, str(folder)], check=False).returncode == 9
    assert (folder / "library.sqlite-wal").stat().st_size > 0
    return backup


def test_a_backup_takes_the_place_of_a_crashed_database(tmp_path: Path) -> None:
    backup = crashed(tmp_path)
    (tmp_path / "library.sqlite").write_bytes(b"torn" * 5000)
    with pytest.raises(ToolFailed, match=f'is damaged. Put a backup in its place: benchreel restore "{backup}".'):
        Library.open(tmp_path)
    done = restore(tmp_path, backup)
    assert done.before is not None and done.before.read_bytes()[:8] == b"torntorn"
    assert done.before.with_name(done.before.name + "-wal").stat().st_size > 0
    with Library.open(tmp_path) as library:
        assert [reed.name for reed in library.reeds.all()] == ["B-14"]
        assert library.check() == []


def test_what_was_there_is_whole_beside_it(tmp_path: Path) -> None:
    done = restore(tmp_path / "library", crashed(tmp_path / "library"))
    assert done.before is not None
    (tmp_path / "second").mkdir()
    for ending in ("", "-wal"):
        (done.before.parent / (done.before.name + ending)).rename(tmp_path / "second" / f"library.sqlite{ending}")
    with Library.open(tmp_path / "second") as library:
        assert [reed.name for reed in library.reeds.all()] == ["B-14", "B-15"]


def test_a_library_in_use_is_not_replaced(tmp_path: Path) -> None:
    with Library.open(tmp_path, create=True) as library:
        backup = library.backup()
        with pytest.raises(BadInput, match=r"is in use\. Close its pages and commands"):
            restore(tmp_path, backup)
    assert restore(tmp_path, backup).before is not None


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        ("UPDATE alembic_version SET version_num = '9999'", "written by a newer Benchreel"),
        ("DROP TABLE edit", "is not a database of Benchreel"),
    ],
)
def test_a_backup_that_is_none_is_refused(tmp_path: Path, spoil: str, told: str) -> None:
    with Library.open(tmp_path / "other", create=True) as library, library.writing() as connection:
        connection.exec_driver_sql(spoil)
    (tmp_path / "other" / "library.sqlite-wal").unlink(missing_ok=True)
    with pytest.raises(BadInput, match=told):
        restore(tmp_path / "library", tmp_path / "other" / "library.sqlite")
    assert not (tmp_path / "library").exists()


def test_a_damaged_backup_is_refused_and_nothing_is_touched(tmp_path: Path) -> None:
    with Library.open(tmp_path / "library", create=True) as library:
        library.reeds.add(Reed("B-14"))
        backup = library.backup()
    whole = backup.read_bytes()
    for spoiled in (whole[: len(whole) // 2], whole[:8192] + b"\xff" * 4096 + whole[12288:], b"no database", b""):
        backup.write_bytes(spoiled)
        with pytest.raises(BadInput, match=r"is damaged|is not a database"):
            restore(tmp_path / "library", backup)
    with pytest.raises(BadInput, match="is not a file"):
        restore(tmp_path / "library", tmp_path / "nothing.sqlite")
    with Library.open(tmp_path / "library") as library:
        assert [reed.name for reed in library.reeds.all()] == ["B-14"]


def test_a_database_in_use_is_no_backup(tmp_path: Path) -> None:
    with Library.open(tmp_path / "other", create=True) as library:
        library.reeds.add(Reed("B-14"))
        with pytest.raises(BadInput, match="is a database in use, not a backup"):
            restore(tmp_path / "library", tmp_path / "other" / "library.sqlite")
