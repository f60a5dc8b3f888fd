"""Keeps a copy of a recording in the library's folder under a plain name of its own.

The maker's name for the file (any language, any length) is for reading only;
on disk it is ``recordings/<first 16 digits of the fingerprint>.<ending>``.
"""

from __future__ import annotations

import errno
import hashlib
import os
import re
import shutil
import unicodedata
from collections.abc import Callable
from pathlib import Path, PurePosixPath
from typing import BinaryIO

from annotate.errors import BenchreelError, Cancelled, NoSpace
from annotate.intake.fingerprint import CHUNK_BYTES, fingerprint, never, nothing, still_changing
from annotate.intake.opening import check_file
from annotate.intake.parts import written_whole

FOLDER = "recordings"
MAX_DISPLAY_NAME = 120
_ENDING = re.compile(r"[a-z0-9]{1,5}")


def open_part(path: Path) -> BinaryIO:
    """The part file, for writing."""
    return path.open("wb")


def kept_path(mark: str, path: Path) -> str:
    """Where a recording with fingerprint ``mark`` lies, relative to the library's folder, with ``/``."""
    ending = path.suffix[1:].lower()
    plain = ending if _ENDING.fullmatch(ending) else "media"
    return str(PurePosixPath(FOLDER) / f"{mark[:16]}.{plain}")


def display_name(name: str) -> str:
    """The maker's own file name made fit to be shown: composed, without control characters, at most 120 long."""
    base = name.replace("\\", "/").rsplit("/", 1)[-1]
    text = unicodedata.normalize("NFC", base)
    # Cc: control, Cs: halves of pairs that cannot be stored; a zero-width joiner (Cf) belongs to emoji and scripts,
    # but the marks that turn the writing direction round could make a name read as another.
    kept = "".join(c for c in text if unicodedata.category(c) not in ("Cc", "Cs") and c not in _DIRECTION_MARKS)
    kept = kept.strip() or "recording"
    if len(kept) <= MAX_DISPLAY_NAME:
        return kept
    ending = PurePosixPath(kept).suffix[:10]
    return kept[: MAX_DISPLAY_NAME - len(ending) - 1].rstrip() + "…" + ending


_DIRECTION_MARKS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def keep(
    path: Path,
    library_folder: Path,
    mark: str,
    progress: Callable[[float], None] = nothing,
    cancelled: Callable[[], bool] = never,
    open_part: Callable[[Path], BinaryIO] = open_part,
) -> str:
    """Copy the file into the library; the path relative to ``library_folder`` is returned.

    The copy is written beside its place, checked against the fingerprint, and
    renamed; until then nothing has its final name. A copy that is there
    already and whole is used as it is.

    Raises
    ------
    NoSpace, Cancelled, StillChanging
        With the part file removed.
    """
    relative = kept_path(mark, path)
    target = library_folder / relative
    size = check_file(path)
    if target.exists() and target.stat().st_size == size and fingerprint(target, nothing, cancelled) == mark:
        progress(1.0)
        return relative
    target.parent.mkdir(parents=True, exist_ok=True)
    if shutil.disk_usage(target.parent).free < size:
        raise no_space(library_folder)
    try:
        with written_whole(target) as part:
            with open_part(part) as out:
                seen = _copy(path, out, size, progress, cancelled)
            if seen != mark:
                raise still_changing(path)
    except OSError as error:
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            raise no_space(library_folder) from None
        raise BenchreelError(f"could not be copied ({error.strerror})", path.name, "Check both drives.") from error
    return relative


def _copy(
    path: Path, out: BinaryIO, size: int, progress: Callable[[float], None], cancelled: Callable[[], bool]
) -> str:
    """Copy all bytes to stable storage; the SHA-256 of what was copied."""
    digest, done = hashlib.sha256(), 0
    with path.open("rb") as source:
        while chunk := source.read(CHUNK_BYTES):
            if cancelled():
                raise Cancelled("copying was stopped", path.name)
            if done + len(chunk) > size:
                raise still_changing(path)
            out.write(chunk)
            digest.update(chunk)
            done += len(chunk)
            progress(done / size)
    out.flush()
    os.fsync(out.fileno())
    return digest.hexdigest()


def no_space(folder: Path) -> NoSpace:
    """The error for a full disk."""
    return NoSpace("the disk is full", str(folder), "Make room there, then try again. Nothing was lost.")
