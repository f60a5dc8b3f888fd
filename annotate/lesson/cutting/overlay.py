"""Lays pictures with transparency over film pictures, in their own YUV.

Conventions: film pictures are yuv420p, BT.709, limited range (Y 16..235, C
16..240). An overlay is prepared once and then costs only its own box per
picture. Chroma is the mean of 2 x 2 pixels, weighted by their opacity.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from av.video.frame import VideoFrame
from av.video.plane import VideoPlane
from numpy.typing import NDArray

from annotate.lesson.cutting.drawing import pixels
from annotate.lesson.cutting.pieces import Overlay

# ITU-R BT.709-6, item 3.2: luma of R'G'B'; the chroma scales follow from it (3.3).
_KR, _KG, _KB = 0.2126, 0.7152, 0.0722


@dataclass(frozen=True)
class _Plane:
    """One plane's box: what is added and what of the film is kept, both in 1/256."""

    rows: slice
    columns: slice
    added: NDArray[np.uint16]
    kept: NDArray[np.uint16]


@dataclass(frozen=True)
class Timed:
    """An overlay that is shown for film pictures ``first`` to before ``end`` of its piece."""

    first: int
    end: int
    overlay: Overlay


Prepared = tuple[_Plane, ...]


def prepare(overlay: Overlay, width: int, height: int) -> Prepared:
    """The overlay cut to the film's size, in YUV; nothing where it lies outside."""
    left, top = overlay.x, overlay.y
    picture = pixels(overlay.picture)[max(0, -top) : max(0, height - top), max(0, -left) : max(0, width - left)]
    left, top = max(0, left), max(0, top)
    if picture.size == 0:
        return ()
    # An even box, so that it covers whole chroma samples.
    pad = ((top % 2, (top + picture.shape[0]) % 2), (left % 2, (left + picture.shape[1]) % 2), (0, 0))
    box = np.pad(picture, pad).astype(np.float64)
    top, left = top - top % 2, left - left % 2
    alpha = box[..., 3] / 255
    red, green, blue = (box[..., n] / 255 for n in range(3))
    luma = _KR * red + _KG * green + _KB * blue
    blue_difference, red_difference = (blue - luma) / (2 * (1 - _KB)), (red - luma) / (2 * (1 - _KR))
    small_alpha = _means(alpha)
    rows, columns = slice(top, top + box.shape[0]), slice(left, left + box.shape[1])
    half_rows, half_columns = slice(rows.start // 2, rows.stop // 2), slice(columns.start // 2, columns.stop // 2)
    planes = [_plane(rows, columns, alpha, (16 + 219 * luma) * alpha)]
    for difference in (blue_difference, red_difference):
        planes.append(_plane(half_rows, half_columns, small_alpha, _means((128 + 224 * difference) * alpha)))
    return tuple(planes)


def _means(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Means of 2 x 2 neighbours."""
    quarters: NDArray[np.float64] = (values[::2, ::2] + values[1::2, ::2] + values[::2, 1::2] + values[1::2, 1::2]) / 4
    return quarters


def _plane(rows: slice, columns: slice, alpha: NDArray[np.float64], weighted: NDArray[np.float64]) -> _Plane:
    kept = np.rint(256 * (1 - alpha)).astype(np.uint16)
    return _Plane(rows, columns, np.rint(weighted * 256).clip(0, 65535 - 128).astype(np.uint16), kept)


class Layer:
    """Lays the overlays of one piece over its pictures; each is prepared when it comes up and forgotten after."""

    def __init__(self, overlays: Sequence[Timed], width: int, height: int) -> None:
        self._overlays = overlays
        self._size = (width, height)
        self._ready: dict[int, Prepared] = {}

    def __call__(self, frame: VideoFrame, number: int) -> VideoFrame:
        """The film picture ``number`` of the piece, with the overlays that are shown then."""
        shown = [n for n, one in enumerate(self._overlays) if one.first <= number < one.end]
        self._ready = {n: self._ready.get(n) or prepare(self._overlays[n].overlay, *self._size) for n in shown}
        if not any(self._ready.values()):
            return frame
        made = copied(frame)
        for n in shown:
            for plane, box in zip(made.planes, self._ready[n], strict=False):
                part = _values(plane)[box.rows, box.columns]
                mixed = (part.astype(np.uint32) * box.kept + box.added + 128) >> 8
                part[...] = mixed.clip(0, 255).astype(np.uint8)
        return made


def paste(onto: VideoFrame, frame: VideoFrame, x: int, y: int) -> None:
    """Put a picture into another one of the same form, at even film pixels."""
    for ours, theirs, part in zip(onto.planes, frame.planes, (1, 2, 2), strict=True):
        top, left = y // part, x // part
        _values(ours)[top : top + theirs.height, left : left + theirs.width] = _values(theirs)[:, : theirs.width]


def joined(left: VideoFrame, right: VideoFrame, at: int) -> VideoFrame:
    """A picture of two of the same form: the one up to ``at`` film pixels (even) from the left, then the other."""
    made = copied(right)
    for ours, theirs, part in zip(made.planes, left.planes, (1, 2, 2), strict=True):
        _values(ours)[:, : at // part] = _values(theirs)[:, : at // part]
    return made


def copied(frame: VideoFrame) -> VideoFrame:
    """The same picture in memory of its own: a decoder may still need the one it gave."""
    made = VideoFrame(frame.width, frame.height, frame.format.name)
    for ours, theirs in zip(made.planes, frame.planes, strict=True):
        _values(ours)[:, : ours.width] = _values(theirs)[:, : ours.width]
    return made


def _values(plane: VideoPlane) -> NDArray[np.uint8]:
    """The plane's bytes in place, uint8 (height, line size)."""
    flat: NDArray[np.uint8] = np.frombuffer(plane, np.uint8)  # type: ignore[call-overload]
    return flat[: plane.height * plane.line_size].reshape(plane.height, plane.line_size)
