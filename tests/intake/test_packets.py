"""Times from packets: the short way for large files gives what reading through gives."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest
from av.audio.stream import AudioStream
from av.video.stream import VideoStream

from annotate.intake.opening import open_media
from annotate.intake.packets import Span, constant_rate, measure
from tests import media


def spans(path: Path, size: int) -> dict[int, Span]:
    with open_media(path) as container:
        used = [one for one in container.streams if isinstance(one, VideoStream | AudioStream)]
        return measure(container, used, size)


@pytest.mark.parametrize("kind", [media.base, media.vfr, media.late_sound, media.late_picture, media.webm_live])
def test_large_files_are_measured_alike(kind: Callable[[], Path]) -> None:
    through, short = spans(kind(), 1), spans(kind(), 10**12)
    assert [(one.start, one.end) for one in short.values()] == [(one.start, one.end) for one in through.values()]
    assert [constant_rate(one) for one in short.values()] == [constant_rate(one) for one in through.values()]


def grid(ticks: list[int], base: Fraction) -> Span:
    return Span(ticks[0] * base, (ticks[-1] + 1) * base, tuple(ticks), base)


def test_even_grid() -> None:
    thousandth = Fraction(1, 1000)
    assert constant_rate(grid([0, 33, 67, 100, 133, 167, 200], thousandth)) == Fraction(30)
    assert constant_rate(grid([0, 33, 67, 100, 167, 200], thousandth)) is None  # one picture left out
    assert constant_rate(grid([0, 3003, 6006, 9009], Fraction(1, 90000))) == Fraction(30000, 1001)
    assert constant_rate(grid([0, 7, 14, 21], Fraction(1, 49))) == Fraction(7)
    assert constant_rate(grid([5], thousandth)) is None
    assert constant_rate(grid([5, 5], thousandth)) is None
