"""Makes the clips of a lesson equally loud, and what is set against a clip as loud as it.

A clip is measured over all that is heard of it at its own speed, and gets one
gain; what runs faster stays as far below as it was put.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from annotate.lesson.cutting import source
from annotate.lesson.cutting.peaks import held_back
from annotate.lesson.cutting.pieces import SOUND_RATE_HZ, Piece, SourcePiece
from annotate.lesson.cutting.sound import read_sound
from annotate.lesson.shown.film import LaidOut, Shown
from annotate.lesson.shown.loudness import CODING_DB, HIGHEST_PEAK_DB, Measured, measure

Samples = NDArray[np.float32]

CEILING_DB = HIGHEST_PEAK_DB - CODING_DB
_NEAR_LU = 0.05  # nearer to the target than this is as good as on it


def evened(
    laid: LaidOut,
    is_to_target: bool,
    progress: Callable[[float], None] = lambda _: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> LaidOut:
    """The lesson with gains: all clips at the target, or only those that are set against another as loud as it.

    Where the clips stay as they were recorded, the louder of two is turned
    down, so nothing clips.
    """
    pieces = list(laid.pieces)
    with source.Shelf() as shelf:
        for number, shown in enumerate(laid.shown):
            groups = [group for group in (shown.before_pieces, shown.pieces) if group]
            if is_to_target:
                gains = _to_target(shelf, pieces, groups, cancelled)
            else:
                gains = _alike(shelf, pieces, groups, cancelled) if _is_pair(shown) else [0.0] * len(groups)
            for group, gain in zip(groups, gains, strict=True):
                _turn(pieces, group, gain, has_ceiling=is_to_target)
            progress((number + 1) / len(laid.shown))
    return replace(laid, pieces=tuple(pieces))


def _is_pair(shown: Shown) -> bool:
    return bool(shown.before_pieces)


def _turn(pieces: list[Piece], group: Sequence[int], gain_db: float, *, has_ceiling: bool) -> None:
    for number in group:
        one = pieces[number]
        if isinstance(one, SourcePiece) and one.gain_db is not None:
            ceiling = CEILING_DB if has_ceiling else None
            pieces[number] = replace(one, gain_db=one.gain_db + gain_db, ceiling_db=ceiling)


def _to_target(
    shelf: source.Shelf, pieces: Sequence[Piece], groups: Sequence[Sequence[int]], cancelled: Callable[[], bool]
) -> list[float]:
    """The gain of each group; two groups that are compared end up equally loud, even where one falls short."""
    found = [_gain(shelf, _heard(pieces, group), cancelled) for group in groups]
    reached = [measured.lufs + gain for measured, gain in found if measured is not None]
    if len(reached) < 2:
        return [gain for _, gain in found]
    lowest = min(reached)
    return [gain if measured is None else lowest - measured.lufs for measured, gain in found]


def _gain(
    shelf: source.Shelf, heard: Sequence[SourcePiece], cancelled: Callable[[], bool]
) -> tuple[Measured | None, float]:
    """What is measured, and the gain; where peaks have to be held back, what that takes is made up for."""
    measured = measure(_recorded(shelf, heard), cancelled)
    if measured is None:
        return None, 0.0
    gain = measured.gain_db
    if measured.peak_db + gain <= CEILING_DB or abs(gain) < _NEAR_LU:
        return measured, gain
    factor = np.float32(10 ** (gain / 20))
    after = measure(held_back((block * factor for block in _recorded(shelf, heard)), CEILING_DB), cancelled)
    return measured, gain if after is None else gain + max(0.0, measured.lufs + gain - after.lufs)


def _alike(
    shelf: source.Shelf, pieces: Sequence[Piece], groups: Sequence[Sequence[int]], cancelled: Callable[[], bool]
) -> list[float]:
    """Gains, none above 0, at which all groups are as loud as the softest."""
    found = [measure(_recorded(shelf, _heard(pieces, group)), cancelled) for group in groups]
    lowest = min((one.lufs for one in found if one is not None), default=0.0)
    return [0.0 if one is None else lowest - one.lufs for one in found]


def _heard(pieces: Sequence[Piece], group: Iterable[int]) -> list[SourcePiece]:
    """The pieces of a group that are heard as they were."""
    found = [pieces[number] for number in group]
    return [one for one in found if isinstance(one, SourcePiece) and one.speed == 1 and one.has_sound]


def _recorded(shelf: source.Shelf, heard: Iterable[SourcePiece]) -> Iterator[Samples]:
    """The sound of some pieces as it was recorded, one after another."""
    for piece in heard:
        left = (min(piece.end_ms, piece.probe.duration_ms) - piece.start_ms) * SOUND_RATE_HZ // 1000
        for block in read_sound(shelf, piece, source.file_time(piece.probe, piece.start_ms)):
            if left <= 0:
                break
            yield block[:left]
            left -= len(block)
