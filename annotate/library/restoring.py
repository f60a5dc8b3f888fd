"""Puts a backup in the place of a library's database: checked first, and what was there is kept beside it."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.request import pathname2url

from annotate.errors import BadInput, BenchreelError, NoSpace
from annotate.library.in_use import alone
from annotate.library.revisions import known_revisions
from annotate.library.store import FILE_NAME, Library, free_name, stamp

OURS = frozenset(("alembic_version", "reed", "session", "recording", "line", "tag", "reading", "lesson", "edit"))
BESIDE = ("-wal", "-shm")  # what SQLite keeps beside a database; it would be replayed over another one


@dataclass(frozen=True)
class Restored:
    """The database that was put in place, and where the one before it is now (None: there was none)."""

    backup: Path
    before: Path | None
    missing: list[str]


def restore(folder: Path, backup: Path) -> Restored:
    """Put a backup in the place of the database of the library in ``folder``, and bring it up to date.

    Raises
    ------
    BadInput
        If the backup is not a sound one of a library, or the library is open somewhere.
    """
    folder, backup = folder.expanduser().resolve(), backup.expanduser().resolve()
    if backup == folder / FILE_NAME:
        raise BadInput("is the library itself", str(backup), "Name one of its backups.")
    check_backup(backup)
    with _disk(folder):
        folder.mkdir(parents=True, exist_ok=True)
    with alone(folder) as is_alone, _disk(folder):
        if not is_alone:
            raise BadInput("is in use", str(folder), "Close its pages and commands, then restore again.")
        before = _put(folder, backup)
    with Library.open(folder) as library:
        return Restored(backup, before, library.missing_files())


def check_backup(backup: Path) -> None:
    """Raise BadInput unless a file is a whole database of a library that this version knows."""
    if not backup.is_file():
        raise BadInput("is not a file", str(backup), "Name one of the library's backups.")
    wal = backup.with_name(backup.name + "-wal")
    if wal.is_file() and wal.stat().st_size:
        raise BadInput("is a database in use, not a backup", str(backup), "Make a backup of it: benchreel backup.")
    try:
        # Immutable: only this file is read, and nothing is written beside it.
        with closing(sqlite3.connect(f"file:{pathname2url(str(backup))}?mode=ro&immutable=1", uri=True)) as connection:
            _check_tables(connection, backup)
    except sqlite3.Error as error:
        raise BadInput(f"is damaged ({error})", str(backup), "Use another backup.") from error


def _check_tables(connection: sqlite3.Connection, backup: Path) -> None:
    held = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if not held >= OURS:
        raise BadInput("is not a database of Benchreel", str(backup), "Name one of the library's backups.")
    found = [text for (text,) in connection.execute("PRAGMA integrity_check") if text != "ok"]
    if found:
        raise BadInput(f"is damaged ({found[0]})", str(backup), "Use another backup.")
    revision = next((name for (name,) in connection.execute("SELECT version_num FROM alembic_version")), "")
    if revision not in known_revisions():
        raise BadInput("was written by a newer Benchreel", str(backup), "Install the newer version to restore it.")


def _put(folder: Path, backup: Path) -> Path | None:
    """The backup under the database's name; gives the new name of the one before. A failure leaves all as it was."""
    database = folder / FILE_NAME
    part = folder / f".{FILE_NAME}.{os.getpid()}.part"
    moved: list[tuple[Path, Path]] = []
    try:
        shutil.copyfile(backup, part)
        with part.open("rb+") as copy:
            os.fsync(copy.fileno())
        aside = free_name(folder / f"replaced-{stamp()}.sqlite")
        for ending in ("", *BESIDE):
            old = database.with_name(database.name + ending)
            if old.exists():
                moved.append((old, aside.with_name(aside.name + ending)))
                old.rename(moved[-1][1])
        part.replace(database)
    except BaseException:
        for old, new in moved:
            if new.exists():
                new.rename(old)
        raise
    finally:
        part.unlink(missing_ok=True)
    return aside if moved else None


@contextmanager
def _disk(folder: Path) -> Iterator[None]:
    try:
        yield
    except BenchreelError:
        raise
    except OSError as error:
        if error.errno in (28, 112):  # ENOSPC; ERROR_DISK_FULL on Windows
            raise NoSpace("The disk is full", str(folder), "Free some space and try again.") from error
        raise BadInput(f"cannot be written ({error.strerror})", str(folder), "Check the folder.") from error
