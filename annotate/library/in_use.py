"""Who has the library open: SQLite's own file locks on a file beside it, which end with their process however it ends.

Everyone who opens a library holds a shared lock on ``in-use.sqlite`` until it is closed. Who must be
alone (to put another database in its place, to clear up after a killed program) asks for an exclusive one.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from annotate.errors import ToolFailed

FILE_NAME = "in-use.sqlite"
WAIT_S = 30.0  # longest an opening program waits for one that must be alone


class InUse:
    """Holds the library as open; ``close`` gives it back."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._held: sqlite3.Connection | None = None
        self._hold()

    def close(self) -> None:
        """No longer open."""
        if self._held is not None:
            self._held.close()
            self._held = None

    @contextmanager
    def alone(self) -> Iterator[bool]:
        """Whether nobody else has the library open; if so, nobody can open it within the block."""
        self.close()
        try:
            with alone(self._folder) as is_alone:
                yield is_alone
        finally:
            self._hold()

    def _hold(self) -> None:
        held = _connect(self._folder, WAIT_S)
        try:
            held.execute("BEGIN")
            held.execute("SELECT count(*) FROM sqlite_master").fetchone()
        except sqlite3.Error as error:
            held.close()
            raise ToolFailed(
                f"could not be opened ({error})", str(self._folder), "Another program may be restoring it; try again."
            ) from error
        self._held = held


@contextmanager
def alone(folder: Path) -> Iterator[bool]:
    """Whether nobody has the library in a folder open; if so, nobody can open it within the block."""
    with closing(_connect(folder, 0.0)) as connection:
        try:
            connection.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError:
            yield False
        else:
            yield True


def _connect(folder: Path, wait_s: float) -> sqlite3.Connection:
    # The closing thread need not be the opening one.
    path = folder / FILE_NAME
    return sqlite3.connect(path, timeout=wait_s, isolation_level=None, check_same_thread=False)
