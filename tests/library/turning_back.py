"""Turns a library back to the tables of an earlier revision, as an older program left it."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import create_engine

import annotate.library.migrations
from annotate.library.store import FILE_NAME

BESIDE = ("alembic_version", "moment", "sqlite_")  # not the maker's


def turn_back(folder: Path, revision: str) -> None:
    """Replace the closed library of a folder by one of that revision, with the same rows as far as it has columns."""
    old, new = folder / "old.sqlite", folder / FILE_NAME
    config = Config()
    config.set_main_option("script_location", str(Path(annotate.library.migrations.__file__).parent))
    engine = create_engine(f"sqlite:///{old.as_posix()}")
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, revision)
    engine.dispose()
    with closing(sqlite3.connect(old)) as copy, copy:
        copy.execute("ATTACH ? AS new", (str(new),))
        for (table,) in copy.execute("SELECT name FROM main.sqlite_master WHERE type = 'table'").fetchall():
            if table.startswith(BESIDE):
                continue
            there = [row[1] for row in copy.execute(f"PRAGMA new.table_info({table})")]
            both = [f'"{row[1]}"' for row in copy.execute(f"PRAGMA main.table_info({table})") if row[1] in there]
            copy.execute(f'INSERT INTO main."{table}" ({", ".join(both)}) SELECT {", ".join(both)} FROM new."{table}"')
    old.replace(new)
    for rest in ("-wal", "-shm"):
        new.with_name(FILE_NAME + rest).unlink(missing_ok=True)
