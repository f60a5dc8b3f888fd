"""Turns laid-out pieces into stretches of coded pictures: copied where they can be, else encoded (and cached)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from annotate.errors import NotMedia
from annotate.lesson.cutting import cache, copying, h264, source
from annotate.lesson.cutting.encode import Coding, encode_stretch
from annotate.lesson.cutting.memory import return_large_blocks
from annotate.lesson.cutting.mp4 import encoder_sets
from annotate.lesson.cutting.pictures import free_of_overlays, piece_pictures
from annotate.lesson.cutting.pieces import FilmOptions, FilmPlan, Piece, Placed, SourcePiece
from annotate.lesson.cutting.stretch import Stretch, encoded_stretch

# Seams are a fraction of a second each: speed counts, a few more bits do not.
SEAM_PRESET, SEAM_S = "ultrafast", 2
_IDS = range(32)  # parameter set ids, ITU-T H.264, 7.4.2.1.1


class Renderer:
    """Makes the stretches of one film; ``encoded`` and ``reused`` count its pictures."""

    def __init__(
        self,
        shelf: source.Shelf,
        plan: FilmPlan,
        folder: Path,
        options: FilmOptions,
        progress: Callable[[float], None],
        cancelled: Callable[[], bool],
    ) -> None:
        self._shelf = shelf
        self._plan = plan
        self._folder = folder
        self._options = options
        self._progress = progress
        self._cancelled = cancelled
        self._done = 0
        self.encoded = 0
        self.reused = 0
        self._headers: dict[int, copying.Header] = {}
        self.sets = h264.ParameterSets((), ())
        self._seam: Coding
        self.coding = Coding(plan.width, plan.height, plan.rate, options.crf, options.preset, sets_id=0)

    def render(self, pieces: Sequence[Piece]) -> list[Stretch]:
        """Every piece's stretches, in order."""
        return_large_blocks()
        self._folder.mkdir(parents=True, exist_ok=True)
        if self._options.may_copy:
            self._look_at_headers(pieces)
        # From the highest down: recordings use low ids, so kept files fit the next film too.
        ids = [one for one in reversed(_IDS) if one not in self.sets.ids]
        self.coding = replace(self.coding, sets_id=ids[0])
        self._seam = replace(self.coding, sets_id=ids[1], preset=SEAM_PRESET, b_pictures=0)
        for coding in (self.coding, self._seam) if self._headers else (self.coding,):
            self.sets = self.sets.joined(encoder_sets(coding))
        made: list[Stretch] = []
        for number, (piece, placed) in enumerate(zip(pieces, self._plan.placed, strict=True)):
            made += self._piece(piece, placed, self._headers.get(number))
        return made

    def _look_at_headers(self, pieces: Sequence[Piece]) -> None:
        """Which pieces may be copied: all whose parameter sets can stand in one header."""
        for number, (piece, placed) in enumerate(zip(pieces, self._plan.placed, strict=True)):
            header = copying.header_of(self._shelf, piece, placed, self._plan)
            if header is None or header.sets.conflicts_with(self.sets):
                continue
            joined = self.sets.joined(header.sets)
            if len(joined.ids) < len(_IDS) - 1:
                self.sets = joined
                self._headers[number] = header

    def _piece(self, piece: Piece, placed: Placed, header: copying.Header | None) -> list[Stretch]:
        """The piece's copied stretches, and encoded ones for all that lies between."""
        taken: list[Stretch] = []
        if header is not None and isinstance(piece, SourcePiece):
            taken = copying.copies(self._shelf, piece, placed, header, free_of_overlays(piece, placed, self._plan))
        made: list[Stretch] = []
        at = placed.first_picture
        for one in taken:
            if one.first > at:
                made.append(self._between(piece, placed, at, one.first))
            made.append(one)
            self._step(one.pictures)
            at = one.first + one.pictures
        if at < placed.first_picture + placed.pictures:
            made.append(self._between(piece, placed, at, placed.first_picture + placed.pictures))
        return made

    def _between(self, piece: Piece, placed: Placed, start: int, end: int) -> Stretch:
        """Film pictures that are not copied: a short seam beside copied ones, or a stretch like any other."""
        first, last = start - placed.first_picture, end - placed.first_picture
        is_seam = last - first < placed.pictures and last - first < SEAM_S * self._plan.rate
        return self._encoded(piece, placed, first, last, self._seam if is_seam else self.coding)

    def _encoded(self, piece: Piece, placed: Placed, first: int, end: int, coding: Coding) -> Stretch:
        """Film pictures ``first`` to before ``end`` of the piece, from the cache or encoded now."""
        path = self._folder / f"{cache.key(piece, placed, coding, first, end)}.mp4"
        start = placed.first_picture + first
        if path.exists():
            try:
                kept = encoded_stretch(self._shelf, path, start, end - first, self._plan.rate)
            except (ValueError, OSError, NotMedia):
                path.unlink()  # a broken file is made again
            else:
                cache.touch(path)
                self.reused += end - first
                self._step(end - first)
                return kept
        frames = piece_pictures(self._shelf, piece, placed, self._plan, first, end)
        encode_stretch(frames, coding, path, self._step, self._cancelled)
        self.encoded += end - first
        return encoded_stretch(self._shelf, path, start, end - first, self._plan.rate)

    def _step(self, count: int = 1) -> None:
        self._done += count
        self._progress(self._done / self._plan.pictures)
