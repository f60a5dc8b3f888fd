"""Reads a reed card's QR code in a small piece of a grey picture, by OpenCV's two detectors."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import cv2
import numpy as np
from cv2.typing import MatLike

from annotate.formats.card_sheet import reed_name
from annotate.intake.card_places import Floats, Grey, Place

# OpenCV's detectors want modules of some eight to fifteen pixels, and which size serves which code is luck: several are
# tried. A size counts pixels for one pixel of the size at which the place showed (there a module is two or three wide).
LEAST_SIDE = 24
FIRST_SIZE = 4.0
MORE = (("plain", 6.0), ("marks", 5.0), ("plain", 5.0), ("marks", 6.0), ("plain", 8.0), ("marks", 4.0), ("plain", 3.0))
LONGEST_SIDE = 1600  # where much of the picture is busy: a larger piece takes longer than it is worth
MOST_IN_ONE_PLACE = 4


# A finder pattern is a dark square in a light ring in a dark ring; their outlines hold 3x3, 5x5 and 7x7 modules
# (ISO/IEC 18004). Blur and few pixels make the light ring thin, so the bounds are wide.
NEST_SIZE = 4.0
NEST_AREA = (1.15, 12.0)  # outer outline's area over the inner one's, from one outline to the next
NEST_OFF = 0.3  # of the outer outline's diameter: how far apart the middles may lie
LEAST_NEST = 16.0  # pixels of the innermost outline's area


def has_nest(piece: Grey, factor: float) -> bool:
    """Whether anything in the piece is nested like a code's finder pattern: cheaper than asking a detector."""
    scale = min(NEST_SIZE / factor, LONGEST_SIDE / max(piece.shape))
    scaled = cv2.resize(piece, None, fx=scale, fy=scale, interpolation=cv2.INTER_LINEAR)
    dark = cv2.adaptiveThreshold(scaled, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY_INV, 31, 3)
    outlines, tree = cv2.findContours(dark, cv2.RETR_TREE, cv2.CHAIN_APPROX_SIMPLE)
    if tree is None:
        return False
    parents = tree[0, :, 3].tolist()
    for inner, middle in enumerate(parents):
        outer = parents[middle] if middle >= 0 else -1
        if outer >= 0 and _nested(outlines[inner], outlines[middle]) and _nested(outlines[middle], outlines[outer]):
            return True
    return False


def _nested(inner: MatLike, outer: MatLike) -> bool:
    """Whether one outline lies in the middle of the other, and the sizes could be a finder pattern's."""
    small, large = cv2.contourArea(inner), cv2.contourArea(outer)
    if small < LEAST_NEST or not NEST_AREA[0] <= large / small <= NEST_AREA[1]:
        return False
    (x, y, w, h), (left, top, width, height) = cv2.boundingRect(inner), cv2.boundingRect(outer)
    off = max(abs(x + w / 2 - left - width / 2) / width, abs(y + h / 2 - top - height / 2) / height)
    return off <= NEST_OFF


class Reader:
    """Both detectors, kept for the whole recording; not to be shared between threads."""

    def __init__(self) -> None:
        self.has_corners = False  # whether the last place had what looks like a code, read or not
        self._by_kind = {"plain": cv2.QRCodeDetector(), "marks": cv2.QRCodeDetectorAruco()}

    def names(self, picture: Grey, place: Place) -> tuple[str, ...]:
        """The reeds whose cards are read in this place of the picture, without repeats."""
        left, top, right, bottom = place.box
        piece = np.ascontiguousarray(picture[top:bottom, left:right])
        found: dict[str, None] = {}
        self.has_corners = False
        if not has_nest(piece, place.factor):
            return ()
        with quiet():
            for _ in range(MOST_IN_ONE_PLACE):
                text, corners = self._read(piece, place.factor)
                if not text or corners is None:
                    break
                name = reed_name(text)
                if name is not None:
                    found[name] = None
                # What has been read is painted over, so that the next look finds another card.
                cv2.fillConvexPoly(piece, np.round(corners).astype(np.int32), int(np.median(piece)))
        return tuple(found)

    def _read(self, piece: Grey, factor: float) -> tuple[str, Floats | None]:
        """A code's text and its corners in the piece; an empty text if none can be read."""
        text, corners = self._try("plain", piece, FIRST_SIZE / factor)
        if text:
            return text, corners
        if corners is None and self._try("marks", piece, FIRST_SIZE / factor)[1] is None:
            return "", None
        self.has_corners = True
        for kind, size in MORE:
            text, corners = self._try(kind, piece, size / factor)
            if text:
                return text, corners
        return "", None

    def _try(self, kind: str, piece: Grey, scale: float) -> tuple[str, Floats | None]:
        """One detector at one size: the text, and where a code seems to be, in the piece's pixels."""
        scale = min(scale, LONGEST_SIDE / max(piece.shape))
        how = cv2.INTER_CUBIC if scale > 1 else cv2.INTER_AREA
        scaled = cv2.resize(piece, None, fx=scale, fy=scale, interpolation=how)
        if min(scaled.shape) < LEAST_SIDE:
            return "", None
        try:
            text, corners, _ = self._by_kind[kind].detectAndDecode(scaled)
        except (cv2.error, UnicodeDecodeError):  # pictures that only look like codes, or codes of other bytes
            return "", None
        return text, None if corners is None else np.asarray(corners, np.float32).reshape(-1, 2) / scale


@contextmanager
def quiet() -> Iterator[None]:
    """Keep OpenCV from printing: it warns of every code that states its character set, and reads it all the same."""
    before = cv2.utils.logging.setLogLevel(cv2.utils.logging.LOG_LEVEL_ERROR)
    try:
        yield
    finally:
        cv2.utils.logging.setLogLevel(before)
