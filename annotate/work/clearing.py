"""Clears up after a program that was killed: parts of files that nobody will finish."""

from __future__ import annotations

from annotate.intake.parts import sweep
from annotate.library import Library
from annotate.library.store import FOLDERS


def clear_up(library: Library) -> int:
    """Remove what a killed program left half-written; the number of files, 0 when another program is at work.

    While this one alone has the library open, whatever another wrote is written by nobody any more.
    """
    with library.in_use.alone() as is_alone:
        if not is_alone:
            return 0
        # Each folder by its name: one may be a link to another disk, which a search of the whole does not follow.
        return sweep(library.folder) + sum(sweep(library.folder / name) for name in FOLDERS)
