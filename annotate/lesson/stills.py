"""Chooses the picture that shows a step best: sharp, with nothing moving, and the reed in it.

Conventions: pictures are RGB uint8 (height, width, 3), all of one size.
"""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]

APART_MS = 250  # moments nearer than this look alike
TRIES = 12  # moments looked at in a clip; more cost time and rarely show anything new
EDGE = 0.08  # part of the clip left out at each end, where hands come and go
MOTION_WEIGHT = 2.0  # how much a grey level of motion counts against the picture
CANE_WEIGHT = 1.5  # what a reed in the picture counts for, against the sharpness
CANE_SHARE = 0.03  # of the picture: from here on the reed is large enough
CANE_LOWEST, CANE_HIGHEST = (5, 97, 166), (27, 190, 255)  # HSV as OpenCV counts (hue 0..180): pale and yellow, in light
GREY_WIDTH = 320  # pictures are judged at this width: noise and compression weigh less there


def moments(start_ms: int, end_ms: int, tries: int = TRIES) -> list[int]:
    """Moments to look at, in ms, evenly over the middle of a clip, in order."""
    length = end_ms - start_ms
    tries = min(tries, max(1, length // APART_MS))
    first, last = start_ms + EDGE * length, end_ms - EDGE * length
    return sorted({min(int(at), end_ms - 1) for at in np.linspace(first, last, tries)})


def best_still(pictures: Sequence[Picture]) -> int:
    """Index of the sharpest picture in which least changes towards its neighbours, and the reed is seen.

    Sharpness is the logarithm of the variance of the Laplacian (a common focus
    measure, Pech-Pacheco et al. 2000); motion is the mean absolute difference
    in grey levels (0..255) to the neighbours. The reed is told by the colour of cane:
    a weak sign, which counts only where the pictures differ in it; a bench of pale
    wood is in all of them. Its bounds were set by eye on the demo's recordings.
    """
    greys = [_grey(picture) for picture in pictures]
    scores = [
        float(np.log1p(cv2.Laplacian(grey, cv2.CV_64F).var()))
        - MOTION_WEIGHT * _motion(greys, number) / 10
        + CANE_WEIGHT * _cane(pictures[number])
        for number, grey in enumerate(greys)
    ]
    return int(np.argmax(scores))


def _cane(picture: Picture) -> float:
    """How much of the picture has the colour of cane, 1 for enough."""
    height, width = picture.shape[:2]
    small = cv2.resize(picture, (160, max(1, round(height * 160 / width))), interpolation=cv2.INTER_AREA)
    share = cv2.inRange(cv2.cvtColor(small, cv2.COLOR_RGB2HSV), np.array(CANE_LOWEST), np.array(CANE_HIGHEST)).mean()
    return min(float(share) / 255 / CANE_SHARE, 1.0)


def _grey(picture: Picture) -> NDArray[np.uint8]:
    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    height, width = grey.shape
    if width > GREY_WIDTH:
        size = (GREY_WIDTH, max(1, round(height * GREY_WIDTH / width)))
        grey = cv2.resize(grey, size, interpolation=cv2.INTER_AREA)
    return np.asarray(grey, dtype=np.uint8)


def _motion(greys: Sequence[NDArray[np.uint8]], number: int) -> float:
    near = [greys[other] for other in (number - 1, number + 1) if 0 <= other < len(greys)]
    if not near:
        return 0.0
    return float(np.mean([cv2.absdiff(greys[number], other).mean() for other in near]))
