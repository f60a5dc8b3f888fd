"""Opens a library: its folder, its SQLite file, its transactions.

A library is one folder: ``library.sqlite`` and beside it the folders for what
belongs to the recordings. Readers and writers use short transactions; a
writer takes the write lock at once (``BEGIN IMMEDIATE``), so that several
processes never trip over each other half-way.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Self

from alembic import command
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Connection, create_engine, event
from sqlalchemy.exc import DatabaseError, IntegrityError, OperationalError

from annotate.errors import BadInput, NoSpace, NotFound, ToolFailed
from annotate.find.question import Hit, Question
from annotate.library.in_use import InUse
from annotate.library.index import rebuild
from annotate.library.jobs import Jobs
from annotate.library.journal import Journal
from annotate.library.revisions import config, known_revisions, newest_revision
from annotate.library.search import find
from annotate.library.settings import Settings
from annotate.library.shelves import (
    Corrections,
    LeftWords,
    Lessons,
    Lines,
    Marks,
    Plans,
    Readings,
    Recordings,
    Reeds,
    Sessions,
    Suggestions,
    Tags,
)

FILE_NAME = "library.sqlite"
FOLDERS = ("recordings", "playable", "peaks", "sheets", "cache", "lessons", "backups")
LOCK_WAIT_S = 30.0  # longest a writer waits for another one; a write takes milliseconds


class Library:
    """An open library. Use it with ``with``; it may be shared between threads."""

    def __init__(self, folder: Path, lock_wait_s: float = LOCK_WAIT_S) -> None:
        self.folder = folder
        self.in_use = InUse(folder)
        self._engine = create_engine(
            f"sqlite:///{(folder / FILE_NAME).as_posix()}", connect_args={"timeout": lock_wait_s}, pool_size=8
        )
        event.listen(self._engine, "connect", _prepare_connection)
        event.listen(self._engine, "begin", _begin)
        self.journal = Journal(self)
        self.reeds = Reeds(self)
        self.sessions = Sessions(self)
        self.recordings = Recordings(self)
        self.lines = Lines(self)
        self.tags = Tags(self)
        self.readings = Readings(self)
        self.corrections = Corrections(self)
        self.left_words = LeftWords(self)
        self.suggestions = Suggestions(self)
        self.plans = Plans(self)
        self.marks = Marks(self)
        self.lessons = Lessons(self)
        self.jobs = Jobs(self)
        self.settings = Settings(self)

    @classmethod
    def open(cls, folder: Path, *, create: bool = False) -> Self:
        """Open the library in ``folder``, bringing its tables up to date; make one if ``create``."""
        folder = Path(folder).expanduser().resolve()
        if not (folder / FILE_NAME).exists() and not create:
            raise NotFound("holds no library", str(folder), "Make one with: benchreel init.")
        try:
            folder.mkdir(parents=True, exist_ok=True)
            for name in FOLDERS:
                (folder / name).mkdir(exist_ok=True)
        except FileExistsError as error:
            raise _no_folder(Path(error.filename or folder)) from None
        except OSError as error:
            raise BadInput(f"cannot be written ({error.strerror})", str(folder), "Choose another folder.") from error
        library = cls(folder)
        try:
            library._migrate()
        except BaseException:
            library.close()
            raise
        return library

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Give back the file."""
        self._engine.dispose()
        self.in_use.close()

    def path(self, relative: str) -> Path:
        """A path kept in the library; refuses one that would lead out of its folder.

        By its words alone: a folder of the library may be a link to a larger disk.
        """
        full = Path(os.path.normpath(self.folder / relative))
        if not full.is_relative_to(self.folder):
            raise BadInput("leads out of the library", relative)
        return full

    def find(self, question: Question) -> list[Hit]:
        """The moments that answer a question, best first."""
        return find(self, question)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one state of the library."""
        with _plain_errors(self.folder), self._engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A connection that holds the write lock; everything in it happens or nothing does."""
        with (
            _plain_errors(self.folder),
            self._engine.connect().execution_options(write=True) as connection,
            connection.begin(),
        ):
            yield connection

    def backup(self, target: Path | None = None, *, replaces: bool = False) -> Path:
        """Copy the database, whole and consistent, while others may be writing; gives the copy's path.

        A file that is there already is written over only when ``replaces``.
        """
        target = target or free_name(self.folder / "backups" / f"library-{stamp()}.sqlite")
        if not replaces and target.is_file():
            raise BadInput("is there already", str(target), "Choose another name, or write over it with --replace.")
        part = target.with_name(f".{target.name}.{os.getpid()}.part")
        try:
            with (
                closing(sqlite3.connect(self.folder / FILE_NAME)) as source,
                closing(sqlite3.connect(part)) as copy,
            ):
                source.backup(copy)
            part.replace(target)
        except (sqlite3.Error, OSError) as error:
            part.unlink(missing_ok=True)
            if "full" in str(error):
                raise NoSpace("The disk is full", str(target.parent), "Free some space and try again.") from error
            raise BadInput(f"cannot be written ({error})", str(target), "Choose another place.") from error
        return target

    def check(self) -> list[str]:
        """Problems found in the database and its index; an empty list when all is well."""
        from annotate.library.index import drift, unfound

        with self.reading() as connection:
            found = [row[0] for row in connection.exec_driver_sql("PRAGMA integrity_check") if row[0] != "ok"]
            found += [
                f"{row[0]}: row {row[1]} points nowhere"
                for row in connection.exec_driver_sql("PRAGMA foreign_key_check")
            ]
            found += drift(connection)
        with self.writing() as connection:
            return found + unfound(connection)

    def missing_files(self) -> list[str]:
        """Recordings whose file is not where it was."""
        return [
            f"recording {recording.id} ({recording.name}): its file is missing"
            for recording in self.recordings.all()
            if not self.recordings.file(recording).exists()
        ]

    def _migrate(self) -> None:
        newest = newest_revision()
        with self.reading() as connection:
            current = MigrationContext.configure(connection).get_current_revision()
        if current == newest:
            return
        if current is not None and current not in known_revisions():
            raise BadInput(
                "was written by a newer Benchreel", str(self.folder), "Install the newer version to open it."
            )
        if current is not None:
            self.backup()
        migrations = config()
        with self.writing() as connection:
            migrations.attributes["connection"] = connection
            command.upgrade(migrations, "head")
            rebuild(connection)


def _no_folder(where: Path) -> BadInput:
    """The sentence for something else in the place of a folder: a file, or a link to a disk that is not connected."""
    if where.is_symlink():
        return BadInput("leads to a folder that is not there", str(where), "Connect its disk, then open it again.")
    return BadInput("is a file, not a folder", str(where), "Name a folder for the library.")


def stamp() -> str:
    """This moment for the name of a file, to the second."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H%M%SZ")


def free_name(path: Path) -> Path:
    """The path, or the next one numbered that names nothing yet."""
    named = (path.with_stem(f"{path.stem}-{number}") for number in count(2))
    return path if not path.exists() else next(one for one in named if not one.exists())


def _prepare_connection(connection: sqlite3.Connection, _: object) -> None:
    connection.isolation_level = None  # transactions are begun by _begin, not guessed by the driver
    for pragma in ("journal_mode=WAL", "foreign_keys=ON", "synchronous=FULL"):
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    is_write = connection.get_execution_options().get("write", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if is_write else "BEGIN")


@contextmanager
def _plain_errors(folder: Path) -> Iterator[None]:
    """Turn what SQLite says into our sentences."""
    try:
        yield
    except OperationalError as error:
        text = str(error.orig)
        if "full" in text:
            raise NoSpace("The disk is full", str(folder), "Free some space and try again.") from error
        if "locked" in text:
            raise ToolFailed("is busy with another write", str(folder), "Try again in a moment.") from error
        sentence = f"Check the disk. {_newest_backup(folder)}"
        raise ToolFailed(f"could not be used ({text})", str(folder), sentence) from error
    except IntegrityError as error:
        raise NotFound("Something that this refers to is no longer in the library", next_step="Look again.") from error
    except OverflowError as error:
        raise NotFound("There is nothing of so large a number in the library") from error
    except UnicodeEncodeError as error:
        raise BadInput("A text holds a character that cannot be stored", next_step="Write it anew.") from error
    except DatabaseError as error:
        if "not a database" in str(error.orig) or "malformed" in str(error.orig):
            raise ToolFailed("is damaged", str(folder / FILE_NAME), _newest_backup(folder)) from error
        raise


def _newest_backup(folder: Path) -> str:
    """What to do when the database cannot be read."""
    backups = sorted((folder / "backups").glob("*.sqlite"), key=lambda path: path.stat().st_mtime)
    named = f'"{backups[-1]}"' if backups else "FILE"
    return f"Put a backup in its place: benchreel restore {named}."
