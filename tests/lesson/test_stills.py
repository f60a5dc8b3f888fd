"""The still of a step: sharp, and nothing moving."""

import cv2
import numpy as np

from annotate.lesson.stills import best_still, moments


def test_moments_lie_inside_and_in_order() -> None:
    assert moments(1000, 2000, 3) == [1080, 1500, 1920]
    assert moments(0, 1, 12) == [0]


def test_the_sharp_quiet_picture_wins() -> None:
    rng = np.random.default_rng(7)
    sharp = rng.integers(0, 255, (90, 160, 3)).astype(np.uint8)
    blurred = np.asarray(cv2.GaussianBlur(sharp, (9, 9), 4), np.uint8)
    moving = np.roll(sharp, 40, axis=1)
    assert best_still([blurred, blurred, sharp, sharp, sharp, blurred, moving, blurred]) == 3


def test_the_picture_with_the_reed_wins_over_the_bench_alone() -> None:
    rng = np.random.default_rng(7)
    bench = (rng.integers(0, 60, (90, 160, 1)) + np.array([20, 40, 60])).astype(np.uint8)  # busy and dark
    reed = bench.copy()
    reed[30:60, 40:100] = (230, 205, 120)  # cane: pale and yellow
    assert best_still([bench, bench, bench, reed, reed, reed]) == 4
