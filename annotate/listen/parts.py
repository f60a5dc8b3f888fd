"""A long sound cut into parts of about five minutes that end in a pause, each with its speech.

Conventions: float32 mono at 16 kHz; stretches in samples of the part; the
part's start in ms on the recording's clock. Only one part is held at a time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from annotate.listen.voiced import RATE_HZ, Samples, Stretch, voiced, within

PART_SECONDS = 300


def in_parts(
    blocks: Iterable[Samples], start_ms: int, spans: Sequence[tuple[int, int]] | None
) -> Iterator[tuple[Samples, int, list[Stretch]]]:
    """Parts of about five minutes that end in a pause, each with its start and its speech."""
    held: list[Samples] = []
    at = count = 0
    size = PART_SECONDS * RATE_HZ
    for block in blocks:
        for cut in range(0, len(block), size):
            held.append(block[cut : cut + size])
            count += len(held[-1])
            while count >= size:
                whole = np.concatenate(held)
                stretches = voiced(whole[:size])
                end = _pause(stretches, size)
                yield _part(whole[:end], _before(stretches, end), at, start_ms, spans)
                held, count, at = [whole[end:].copy()], count - end, at + end
    if count:
        whole = np.concatenate(held)
        yield _part(whole, voiced(whole), at, start_ms, spans)


def _part(
    samples: Samples, stretches: list[Stretch], at: int, start_ms: int, spans: Sequence[tuple[int, int]] | None
) -> tuple[Samples, int, list[Stretch]]:
    at_ms = start_ms + at * 1000 // RATE_HZ
    if spans is not None:
        allowed = [((low - at_ms) * RATE_HZ // 1000, (high - at_ms) * RATE_HZ // 1000) for low, high in spans]
        stretches = within(stretches, allowed)
    return samples, at_ms, stretches


def _pause(stretches: Sequence[Stretch], size: int) -> int:
    """The last pause in the second half of a part, on a whole millisecond; its end if it has none."""
    edges = [end for _, end in stretches if size // 2 <= end < size]
    if not stretches or stretches[-1][1] < size - RATE_HZ:
        return size
    before = [start for start, _ in stretches if start > size // 2]
    end = before[-1] if before else edges[-1] if edges else size
    return end // (RATE_HZ // 1000) * (RATE_HZ // 1000)


def _before(stretches: Sequence[Stretch], end: int) -> list[Stretch]:
    return [(start, min(stop, end)) for start, stop in stretches if start < end]
