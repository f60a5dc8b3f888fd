"""Encoded pictures kept by what they are made of, so that changing one title renders one card."""

from __future__ import annotations

import hashlib
import json
import time
from contextlib import suppress
from pathlib import Path

from annotate.lesson.cutting import drawing
from annotate.lesson.cutting.encode import Coding
from annotate.lesson.cutting.pieces import Overlay, Piece, Placed, SourcePiece

EDITION = 3  # count up when the same wish would give other pictures
MOST_BYTES = 8 << 30
_LEFTOVER_S = 24 * 3600  # no film takes a day; what is older was left by a program that was killed


def key(piece: Piece, placed: Placed, coding: Coding, first: int, end: int) -> str:
    """A name made of everything that the piece's pictures ``first`` to before ``end`` depend on, and nothing else."""
    about: list[object] = [EDITION, repr(coding), end - first]
    if isinstance(piece, SourcePiece):
        begin = placed.source_start + first * placed.speed / placed.rate
        about += [_identity(piece), str(begin), str(placed.speed), placed.is_even, piece.has_picture]
        if not piece.has_picture:
            about.append(piece.drawn_ms)
        if piece.stage is not None:
            box = piece.stage
            about += [*drawing.about(box.picture), box.x, box.y, box.width, box.height]
    else:
        about += drawing.about(piece.picture)
    if piece.overlays:
        about.append(first)
        about += [_about(one) for one in piece.overlays]
    return hashlib.sha256(json.dumps(about).encode()).hexdigest()[:40]


def _about(one: Overlay) -> list[object]:
    return [*drawing.about(one.picture), one.x, one.y, one.start_ms, one.end_ms]


def _identity(piece: SourcePiece) -> str:
    if piece.fingerprint:
        return piece.fingerprint
    status = piece.path.stat()
    return f"{piece.path}|{status.st_size}|{status.st_mtime_ns}"


def touch(path: Path) -> None:
    """Mark a kept file as used now."""
    with suppress(OSError):
        path.touch()


def trim(folder: Path, most_bytes: int = MOST_BYTES) -> None:
    """Remove the files that were used longest ago until the rest is small enough."""
    found = []
    for path in folder.glob("*.mp4"):
        with suppress(OSError):
            status = path.stat()
            found.append((status.st_mtime, status.st_size, path))
    total = sum(size for _, size, _ in found)
    for _, size, path in sorted(found):
        if total <= most_bytes:
            return
        with suppress(OSError):
            path.unlink()
            total -= size


def sweep(folder: Path) -> None:
    """Remove part files in the folder that a killed program left there long ago."""
    for path in folder.glob(".part-*"):
        with suppress(OSError):
            if time.time() - path.stat().st_mtime > _LEFTOVER_S:
                path.unlink()
