"""Turns laid-out pieces into stretches of coded pictures: copied where they can be, else encoded (and cached)."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from pathlib import Path

from annotate.lesson import h264, source
from annotate.lesson.encode import Coding, encode_stretch
from annotate.lesson.mp4 import encoder_sets
from annotate.lesson.pictures import piece_pictures
from annotate.lesson.pieces import FilmOptions, FilmPlan, Piece, Placed, SourcePiece
from annotate.lesson.stretch import Stretch, encoded_stretch

CACHE_EDITION = 1  # count up when the same wish would give other pictures


def choose_coding(plan: FilmPlan, options: FilmOptions) -> Coding:
    """How this film's own pictures are encoded."""
    return Coding(plan.width, plan.height, plan.rate, options.crf, options.preset, sets_id=0)


class Renderer:
    """Makes the stretches of one film; ``encoded`` and ``reused`` count its pictures."""

    def __init__(
        self,
        shelf: source.Shelf,
        plan: FilmPlan,
        coding: Coding,
        folder: Path,
        options: FilmOptions,
        progress: Callable[[float], None],
        cancelled: Callable[[], bool],
    ) -> None:
        self._shelf = shelf
        self._plan = plan
        self._coding = coding
        self._folder = folder
        self._options = options
        self._progress = progress
        self._cancelled = cancelled
        self._done = 0
        self.encoded = 0
        self.reused = 0
        self.sets: h264.ParameterSets = encoder_sets(coding)
        self.is_changing = False

    def render(self, pieces: Sequence[Piece]) -> list[Stretch]:
        """Every piece's stretches, in order."""
        self._folder.mkdir(parents=True, exist_ok=True)
        made: list[Stretch] = []
        for piece, placed in zip(pieces, self._plan.placed, strict=True):
            made.append(self._encoded(piece, placed, 0, placed.pictures))
        return made

    def _encoded(self, piece: Piece, placed: Placed, first: int, end: int) -> Stretch:
        """Film pictures ``first`` to before ``end`` of the piece, from the cache or encoded now."""
        path = self._folder / f"{_key(piece, placed, self._coding, first, end)}.mp4"
        start = placed.first_picture + first
        if path.exists():
            try:
                kept = encoded_stretch(self._shelf, path, start, end - first, self._plan.rate)
            except (ValueError, OSError):
                path.unlink()  # a broken file is made again
            else:
                self.reused += end - first
                self._step(end - first)
                return kept
        frames = piece_pictures(self._shelf, piece, placed, self._plan, first, end)
        encode_stretch(frames, self._coding, path, self._step, self._cancelled)
        self.encoded += end - first
        return encoded_stretch(self._shelf, path, start, end - first, self._plan.rate)

    def _step(self, count: int = 1) -> None:
        self._done += count
        self._progress(self._done / self._plan.pictures)


def _key(piece: Piece, placed: Placed, coding: Coding, first: int, end: int) -> str:
    """A name made of everything the pictures depend on, and of nothing else."""
    about: list[object] = [CACHE_EDITION, repr(coding), end - first]
    if isinstance(piece, SourcePiece):
        begin = placed.source_start + first * placed.speed / placed.rate
        about += [_identity(piece), str(begin), str(placed.speed), placed.is_even, piece.has_picture]
        overlays = [one for one in piece.overlays]
    else:
        about += [hashlib.sha256(piece.picture.tobytes()).hexdigest(), piece.picture.shape]
        overlays = list(piece.overlays)
    offset = first if overlays else 0
    about.append(offset)
    for one in overlays:
        digest = hashlib.sha256(one.picture.tobytes()).hexdigest()
        about.append([digest, one.picture.shape, one.x, one.y, one.start_ms, one.end_ms])
    return hashlib.sha256(json.dumps(about, default=str).encode()).hexdigest()[:40]


def _identity(piece: SourcePiece) -> str:
    if piece.fingerprint:
        return piece.fingerprint
    status = piece.path.stat()
    return f"{piece.path}|{status.st_size}|{status.st_mtime_ns}"
