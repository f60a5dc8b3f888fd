"""Makes a film from pieces: exact to the picture and to the sample.

Each piece is laid out first (``layout``). Then what has to be encoded is
encoded, stretch by stretch, into small files (kept in a cache if there is one),
and last everything is joined in one pass: coded pictures, one continuous sound
track, captions, chapters.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from annotate.errors import Cancelled
from annotate.lesson.cutting import cache, sound, source
from annotate.lesson.cutting import chapters as chapter_list
from annotate.lesson.cutting.disk import disk_errors
from annotate.lesson.cutting.layout import lay_out_with
from annotate.lesson.cutting.mp4 import FilmWriter, caption_samples
from annotate.lesson.cutting.pieces import (
    SOUND_RATE_HZ,
    Caption,
    Chapter,
    FilmOptions,
    FilmPlan,
    FilmResult,
    Piece,
    Placed,
    SourcePiece,
)
from annotate.lesson.cutting.render import Renderer
from annotate.lesson.cutting.stretch import Stretch

_JOIN_PART = 0.15  # of the progress, when everything else has to be encoded


def make_film(
    pieces: Sequence[Piece],
    target: Path,
    *,
    options: FilmOptions | None = None,
    chapters: Sequence[Chapter] = (),
    captions: Sequence[Caption] | None = None,
    title: str = "",
    progress: Callable[[float], None] = lambda _: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> FilmResult:
    """Make the film ``target`` (an MP4) from the pieces, one after another.

    Chapters and captions are timed in the film: ``lay_out`` with the same pieces
    and options says where each piece will lie.

    Raises
    ------
    BadInput, BadTime
        If there is nothing to show, or a chapter is wrong.
    Missing, NotMedia
        If a recording is gone or cannot be read.
    NoSpace, Cancelled, ToolFailed
        If the film could not be finished; nothing is left under its name.
    """
    options = options or FilmOptions()
    with ExitStack() as stack:
        shelf = stack.enter_context(source.Shelf())
        plan = lay_out_with(shelf, pieces, options)
        settled = chapter_list.settle(chapters, plan.duration_ms, title)
        cache.sweep(target.parent)
        folder = options.cache_folder
        if folder is None:
            with disk_errors(target):
                folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix=".cut-", dir=target.parent)))
        renderer = Renderer(shelf, plan, folder, options, lambda done: progress(done * (1 - _JOIN_PART)), cancelled)
        stretches = renderer.render(pieces)
        writer = FilmWriter(
            target,
            renderer.coding,
            renderer.sets,
            max(one.delay for one in stretches),
            options.sound_bits_per_second,
            has_captions=bool(captions),
            language=options.language,
        )
        with writer:
            writer.name(chapter_list.tidy_title(title), settled, plan.duration_ms)
            _join(writer, shelf, pieces, plan, stretches, captions or (), progress, cancelled)
            # Nothing of this film may hold a recording open once it is there.
            writer.finish()
    if options.cache_folder is not None:
        cache.trim(options.cache_folder)
    progress(1.0)
    copied = sum(one.pictures for one in stretches if one.is_copy)
    return FilmResult(target, plan, copied, renderer.encoded, renderer.reused)


def _join(
    writer: FilmWriter,
    shelf: source.Shelf,
    pieces: Sequence[Piece],
    plan: FilmPlan,
    stretches: Sequence[Stretch],
    captions: Sequence[Caption],
    progress: Callable[[float], None],
    cancelled: Callable[[], bool],
) -> None:
    """Write everything, picture and sound side by side so that neither waits for the other."""
    blocks = film_sound(shelf, pieces, plan)
    texts = list(reversed(list(caption_samples(captions, plan.duration_ms)))) if captions else []
    written, seconds_each = 0, float(1 / plan.rate)  # only for the order of writing, so a float will do
    for stretch in stretches:
        for data, number, is_key in stretch.packets(shelf):
            seconds = written * seconds_each
            while writer.samples <= seconds * SOUND_RATE_HZ and (block := next(blocks, None)) is not None:
                writer.sound(block)
            while texts and texts[-1].start_ms <= seconds * 1000:
                writer.caption(texts.pop())
            writer.picture(data, number, is_key)
            written += 1
            if written % 64 == 0:
                _stop_if(cancelled)
                progress(1 - _JOIN_PART * (1 - written / plan.pictures))
    for block in blocks:
        writer.sound(block)
    while texts:
        writer.caption(texts.pop())


def _stop_if(cancelled: Callable[[], bool]) -> None:
    if cancelled():
        raise Cancelled("The film was stopped before it was done", next_step="Start it again any time.")


def film_sound(shelf: source.Shelf, pieces: Sequence[Piece], plan: FilmPlan) -> Iterator[NDArray[np.float32]]:
    """The whole film's sound; it fades at joints, but not where one clip goes on where the last one ended."""
    pairs = list(zip(pieces, plan.placed, strict=True))
    joins = [True, *(not _goes_on(*before, *after) for before, after in pairwise(pairs)), True]
    for n, (piece, placed) in enumerate(pairs):
        yield from sound.piece_sound(shelf, piece, placed, (joins[n], joins[n + 1]))


def _goes_on(before: Piece, before_place: Placed, after: Piece, after_place: Placed) -> bool:
    """Whether the second piece is the same recording, treated alike, from where the first ended."""
    if not isinstance(before, SourcePiece) or not isinstance(after, SourcePiece):
        return False
    alike = (before.path, before.gain_db, before.speed) == (after.path, after.gain_db, after.speed)
    length = before_place.pictures / before_place.rate * before_place.speed
    gap = after_place.source_start - before_place.source_start - length
    return alike and before.speed == 1 and abs(gap) < Fraction(1, SOUND_RATE_HZ)
