"""Files that are there whole or not at all: written as a hidden part beside their place, then renamed."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from annotate.errors import BadInput

ENDING = ".part"


def check_free(*targets: Path, replaces: bool) -> None:
    """Raise BadInput when something would be written over that nobody asked to replace."""
    for target in targets:
        if not replaces and target.is_file():
            raise BadInput("is there already", str(target), "Choose another name, or write over it with --replace.")


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

    Only for one who knows that no other program writes there; this program's own parts stay.
    """
    own = f".{os.getpid()}{ENDING}"
    parts = [one for one in folder.rglob(f".*{ENDING}") if one.is_file() and not one.name.endswith(own)]
    for one in parts:
        with suppress(OSError):
            one.unlink()
    return len(parts)
