"""The film's pictures of one piece, decoded, fitted, timed and overlaid, one per film picture."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from av.video.frame import VideoFrame

from annotate.errors import ToolFailed
from annotate.lesson.cutting import overlay, sound_picture, source
from annotate.lesson.cutting.drawing import Pixels, pixels
from annotate.lesson.cutting.look import Fitter, from_rgb
from annotate.lesson.cutting.pieces import FilmPlan, Overlay, Piece, Placed, SourcePiece


def piece_pictures(
    shelf: source.Shelf, piece: Piece, placed: Placed, plan: FilmPlan, first: int, end: int
) -> Iterator[VideoFrame]:
    """Film pictures ``first`` to before ``end``, counted in the piece; ready to encode."""
    lay = overlay.Layer(timed(piece.overlays, plan), plan.width, plan.height)
    for number, frame in enumerate(_shown(shelf, piece, placed, plan, first, end), first):
        yield lay(frame, number)


def timed(overlays: Sequence[Overlay], plan: FilmPlan) -> list[overlay.Timed]:
    """The overlays in film pictures."""
    made = []
    for one in overlays:
        first, end = (round(Fraction(ms, 1000) * plan.rate) for ms in (one.start_ms, one.end_ms))
        made.append(overlay.Timed(first, max(end, first + 1), one))
    return made


def free_of_overlays(piece: Piece, placed: Placed, plan: FilmPlan) -> list[tuple[int, int]]:
    """Ranges of the piece's film pictures over which nothing is laid."""
    made, at = [], 0
    for one in sorted(timed(piece.overlays, plan), key=lambda one: one.first):
        if one.first > at:
            made.append((at, min(one.first, placed.pictures)))
        at = max(at, one.end)
    if at < placed.pictures:
        made.append((at, placed.pictures))
    return made


def _shown(
    shelf: source.Shelf, piece: Piece, placed: Placed, plan: FilmPlan, first: int, end: int
) -> Iterator[VideoFrame]:
    if not isinstance(piece, SourcePiece):
        yield from [_fitted(pixels(piece.picture), plan.width, plan.height)] * (end - first)
    elif piece.stage is None:
        yield from _played(shelf, piece, placed, (plan.width, plan.height), first, end)
    else:
        box = piece.stage
        behind = _fitted(pixels(box.picture), plan.width, plan.height)
        for frame in _played(shelf, piece, placed, (box.width, box.height), first, end):
            made = overlay.copied(behind)
            overlay.paste(made, frame, box.x, box.y)
            yield made


def _fitted(picture: Pixels, width: int, height: int) -> VideoFrame:
    return Fitter(width, height)(from_rgb(picture))


def _played(
    shelf: source.Shelf, piece: SourcePiece, placed: Placed, size: tuple[int, int], first: int, end: int
) -> Iterator[VideoFrame]:
    if piece.has_picture:
        yield from _sampled(shelf, piece, placed, size, first, end)
    else:
        yield from _heard(shelf, piece, placed, size, first, end)


def _heard(
    shelf: source.Shelf, piece: SourcePiece, placed: Placed, size: tuple[int, int], first: int, end: int
) -> Iterator[VideoFrame]:
    """The drawn sound, lit as far as it has been heard."""
    width, height = size
    heights = sound_picture.levels_of(shelf, piece, sound_picture.bars_in(width))
    lit, unlit = (
        _fitted(sound_picture.drawn(heights, width, height, is_lit=is_lit), width, height) for is_lit in (True, False)
    )
    start_ms, end_ms = sound_picture.range_of(piece)
    begin = placed.source_start - source.file_time(piece.probe, start_ms)
    shown, at = unlit, 0
    for number in range(first, end):
        part = float((begin + (number + 1) * placed.speed / placed.rate) * 1000 / (end_ms - start_ms))
        place = sound_picture.place_of(part, width)
        if place != at:
            shown, at = overlay.joined(lit, unlit, place), place
        yield shown


def _sampled(
    shelf: source.Shelf, piece: SourcePiece, placed: Placed, size: tuple[int, int], first: int, end: int
) -> Iterator[VideoFrame]:
    """For each film picture the source picture that covers its time."""
    container, stream = source.picture_stream(shelf, piece.path, piece.probe, source.PICTURES)
    fitter = Fitter(*size, stream.sample_aspect_ratio)
    step = placed.speed / placed.rate
    # One to one: half-way between two pictures is the safest place to ask.
    early = step / 2 if placed.is_even and placed.speed == 1 else source.HALF_MS
    moments = (placed.source_start + number * step + early for number in range(first, end))
    moment = next(moments, None)
    current: VideoFrame | None = None
    fitted: VideoFrame | None = None
    at = placed.source_start + first * step + early - source.HALF_MS
    sure = at - 2 * step if placed.is_even else None
    for time, frame in source.decode_from(container, stream, at, sure):
        while moment is not None and current is not None and time > moment:
            fitted = fitted or fitter(current)
            yield fitted
            moment = next(moments, None)
        if moment is None:
            return
        current, fitted = frame, None
    if current is None:
        raise ToolFailed("no picture could be decoded there", piece.path.name, "Check that it still plays.")
    fitted = fitted or fitter(current)
    while moment is not None:
        yield fitted
        moment = next(moments, None)
