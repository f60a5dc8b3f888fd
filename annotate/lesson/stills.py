"""Chooses the picture that shows a step best: sharp, with nothing moving.

Conventions: pictures are RGB uint8 (height, width, 3), all of one size.
"""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]

TRIES = 12  # moments looked at in a clip; more cost time and rarely show anything new
EDGE = 0.08  # part of the clip left out at each end, where hands come and go
MOTION_WEIGHT = 2.0  # how much a grey level of motion counts against the picture
GREY_WIDTH = 320  # pictures are judged at this width: noise and compression weigh less there


def moments(start_ms: int, end_ms: int, tries: int = TRIES) -> list[int]:
    """Moments to look at, in ms, evenly over the middle of a clip, in order."""
    length = end_ms - start_ms
    first, last = start_ms + EDGE * length, end_ms - EDGE * length
    return sorted({min(int(at), end_ms - 1) for at in np.linspace(first, last, tries)})


def best_still(pictures: Sequence[Picture]) -> int:
    """Index of the sharpest picture in which least changes towards its neighbours.

    Sharpness is the logarithm of the variance of the Laplacian (a common focus
    measure, Pech-Pacheco et al. 2000); motion is the mean absolute difference
    in grey levels (0..255) to the neighbours.
    """
    greys = [_grey(picture) for picture in pictures]
    scores = [
        float(np.log1p(cv2.Laplacian(grey, cv2.CV_64F).var())) - MOTION_WEIGHT * _motion(greys, number) / 10
        for number, grey in enumerate(greys)
    ]
    return int(np.argmax(scores))


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
