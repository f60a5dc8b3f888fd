"""Pictures of a recording at given moments: upright, SDR, exact by timestamp.

For stills, contact sheets and the first and last picture of a clip.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path

import numpy as np
from av.filter import Graph
from av.video.frame import VideoFrame
from numpy.typing import NDArray

from annotate import model
from annotate.errors import ToolFailed
from annotate.lesson.cutting import look, source

Picture = NDArray[np.uint8]


def picture_at(path: Path, probe: model.Probe, at_ms: int, max_width: int | None = None) -> Picture:
    """The picture shown at a moment of the recording's clock.

    Returns
    -------
    ndarray
        uint8 RGB, shape (height, width, 3), with square pixels, at most ``max_width`` wide.
    """
    return next(pictures(path, probe, [at_ms], max_width))


def last_picture_before(path: Path, probe: model.Probe, end_ms: int, max_width: int | None = None) -> Picture:
    """The last picture of a clip that ends at ``end_ms``: the one before the picture shown then."""
    end = source.file_time(probe, min(end_ms, probe.duration_ms))
    with source.Shelf() as shelf:
        boundary = source.covering(shelf, path, probe, end)
        is_inside = end_ms < probe.duration_ms
        wanted = boundary - Fraction(1, 1000) if is_inside else end - Fraction(1, 1000)
        return _picture(shelf, path, probe, wanted, max_width)


def pictures(path: Path, probe: model.Probe, times: Sequence[int], max_width: int | None = None) -> Iterator[Picture]:
    """The pictures shown at these moments (ms on the recording's clock), in the order asked."""
    with source.Shelf() as shelf:
        for at_ms in times:
            yield _picture(shelf, path, probe, source.file_time(probe, at_ms), max_width)


def _picture(shelf: source.Shelf, path: Path, probe: model.Probe, at: Fraction, max_width: int | None) -> Picture:
    container, stream = source.picture_stream(shelf, path, probe, source.PICTURES)
    for _, frame in source.decode_from(container, stream, at):
        return to_rgb(frame, stream.sample_aspect_ratio, max_width)
    raise ToolFailed("no picture could be decoded there", path.name, "Check that it still plays.")


def to_rgb(frame: VideoFrame, aspect: Fraction | None, max_width: int | None = None) -> Picture:
    """A decoded picture as RGB: upright, square pixels, SDR."""
    shape = look.shape_of(frame, aspect)
    wide, high = shape.upright
    scale = min(Fraction(1), max_width / wide) if max_width else Fraction(1)
    width, height = max(1, round(wide * scale)), max(1, round(high * scale))
    graph: Graph = look.build(frame, look.chain(shape, width, height, "yuv444p"))
    made = look.through(graph, frame)
    values = made.to_ndarray(
        format="rgb24", src_colorspace="ITU709", dst_colorspace="ITU709", src_color_range="MPEG", dst_color_range="JPEG"
    )
    return np.asarray(values, np.uint8)
