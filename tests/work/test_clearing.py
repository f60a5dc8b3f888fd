"""What a killed program left half-written is gone at the next start, and only then."""

import os
from pathlib import Path

from annotate.library import Library
from annotate.work.clearing import clear_up
from annotate.work.engine import Engine

KILLED = 999_999_999  # the process number of a program that is no more


def left(folder: Path, process: int) -> Path:
    """A part file as a program leaves it that was killed while copying."""
    path = folder / f".0123456789abcdef.mp4.{process}.part"
    path.write_bytes(b"half a film")
    return path


def test_the_parts_of_a_killed_program_go_when_the_work_starts(tmp_path: Path) -> None:
    with Library.open(tmp_path / "library", create=True) as library:
        disk = tmp_path / "larger disk"
        disk.mkdir()
        (library.folder / "recordings").rmdir()
        (library.folder / "recordings").symlink_to(disk)
        parts = [left(library.folder / name, KILLED) for name in ("playable", "recordings", "")]
        own = left(library.folder / "peaks", os.getpid())
        whole = library.folder / "playable" / "0123456789abcdef.mp4"
        whole.write_bytes(b"film")
        with Engine(library):
            assert [path.exists() for path in parts] == [False, False, False]
            assert own.exists() and whole.exists()


def test_nothing_goes_while_another_program_has_the_library_open(tmp_path: Path) -> None:
    with Library.open(tmp_path, create=True) as library:
        part = left(library.folder / "recordings", KILLED)
        with Library.open(tmp_path):
            assert clear_up(library) == 0
            assert part.exists()
        assert clear_up(library) == 1
        assert not part.exists()
