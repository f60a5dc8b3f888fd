"""Files that are there whole or not at all: written as a hidden part beside their place, then renamed."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ENDING = ".part"


@contextmanager
def written_whole(target: Path) -> Iterator[Path]:
    """A part file to write; it becomes ``target`` if the block ends well and is removed if not."""
    target.parent.mkdir(parents=True, exist_ok=True)
    part = target.with_name(f".{target.name}.{os.getpid()}{ENDING}")
    try:
        yield part
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)


def sweep(folder: Path) -> int:
    """Remove parts that a killed program left in a folder and those in it; their number.

    Only for the start of the program, before any job runs.
    """
    parts = [one for one in folder.rglob(f".*{ENDING}") if one.is_file()]
    for one in parts:
        one.unlink(missing_ok=True)
    return len(parts)
