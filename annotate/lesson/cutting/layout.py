"""Where each piece will lie in the film, to the picture: exact before anything is rendered.

A piece is a whole number of film pictures. A range asked for in milliseconds
starts with the picture shown at its start and ends before the picture shown at
its end, so that ranges that touch neither repeat nor lose a picture. Where the
recording's rate is the film's, film pictures and source pictures go one to
one; elsewhere each film picture shows the source picture that covers its time.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from math import floor

from annotate.lesson.cutting import source
from annotate.lesson.cutting.drawing import size_of
from annotate.lesson.cutting.pieces import FilmOptions, FilmPlan, Piece, Placed, SourcePiece, check_pieces

DEFAULT_RATE = Fraction(30)
DEFAULT_SIZE = (1280, 720)
FASTEST_RATE = Fraction(60)
_LOOSE = Fraction(1, 1000)  # rates closer than this are one rate


def lay_out(pieces: Sequence[Piece], options: FilmOptions | None = None) -> FilmPlan:
    """The film's size and rate, and each piece's place in it.

    Raises
    ------
    BadInput, Missing, NotMedia
        If there is no piece, or a recording cannot be read.
    """
    with source.Shelf() as shelf:
        return lay_out_with(shelf, pieces, options or FilmOptions())


def lay_out_with(shelf: source.Shelf, pieces: Sequence[Piece], options: FilmOptions) -> FilmPlan:
    """As ``lay_out``, with the files opened so far."""
    width, height, rate = form_of(pieces, options)
    placed: list[Placed] = []
    first = 0
    for piece in pieces:
        placed.append(replace(_place(shelf, piece, rate), first_picture=first))
        first += placed[-1].pictures
    return FilmPlan(width, height, rate, tuple(placed))


def form_of(pieces: Sequence[Piece], options: FilmOptions) -> tuple[int, int, Fraction]:
    """The one width, height and rate of a film of these pieces."""
    check_pieces(pieces)
    return *_size_of(pieces, options), options.rate or _rate_of(pieces)


def _weighed(pieces: Sequence[Piece]) -> list[tuple[SourcePiece, int]]:
    return [(one, one.end_ms - one.start_ms) for one in pieces if isinstance(one, SourcePiece) and one.has_picture]


def _rate_of(pieces: Sequence[Piece]) -> Fraction:
    """The constant rate that most of the film's time has; for varying rates 30 or 60 pictures a second."""
    weights: dict[Fraction, int] = defaultdict(int)
    for piece, weight in _weighed(pieces):
        if piece.probe.rate is not None:
            rate = piece.probe.rate
        else:
            mean = next((one.rate for one in piece.probe.streams if one.index == piece.probe.picture_stream), None)
            rate = FASTEST_RATE if mean is not None and mean > 40 else DEFAULT_RATE
        while rate > FASTEST_RATE:
            rate /= 2
        weights[rate] += weight
    return max(weights, key=lambda rate: (weights[rate], rate)) if weights else DEFAULT_RATE


def _size_of(pieces: Sequence[Piece], options: FilmOptions) -> tuple[int, int]:
    """The size that most of the film's time has, made even; else the first title card's."""
    weights: dict[tuple[int, int], int] = defaultdict(int)
    for piece, weight in _weighed(pieces):
        weights[piece.probe.width, piece.probe.height] += weight
    cards = [size_of(one.picture) for one in pieces if not isinstance(one, SourcePiece)]
    best = max(weights, key=lambda size: (weights[size], size)) if weights else (cards or [DEFAULT_SIZE])[0]
    width, height = options.width or best[0], options.height or best[1]
    if options.width and not options.height:
        height = round(best[1] * options.width / best[0])
    elif options.height and not options.width:
        width = round(best[0] * options.height / best[1])
    return max(16, width // 2 * 2), max(16, height // 2 * 2)


def _place(shelf: source.Shelf, piece: Piece, rate: Fraction) -> Placed:
    if not isinstance(piece, SourcePiece):
        return Placed(0, max(1, round(Fraction(piece.duration_ms, 1000) * rate)), rate)
    probe = piece.probe
    start = source.file_time(probe, piece.start_ms)
    end = source.file_time(probe, min(piece.end_ms, probe.duration_ms))
    is_even = piece.has_picture and probe.rate is not None and abs(probe.rate - rate) < _LOOSE
    if is_even:
        start, end = (_on_grid(source.covering(shelf, piece.path, probe, at), at, rate) for at in (start, end))
    pictures = max(1, round((end - start) / piece.speed * rate))
    return Placed(0, pictures, rate, start, probe.origin, piece.speed, is_even)


def _on_grid(picture: Fraction, at: Fraction, rate: Fraction) -> Fraction:
    """The last moment at or before ``at`` that is whole pictures away from ``picture``."""
    return picture + floor((at + source.HALF_MS - picture) * rate) / rate
