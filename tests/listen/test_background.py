"""What was quiet and what was not, in recordings that begin or end in the middle of something."""

import numpy as np
import pytest

from annotate.listen import background
from annotate.listen.sounds import hear

RATE_HZ = 16_000


def hush(seconds: float) -> np.ndarray:
    return np.random.default_rng(1).normal(0, 0.0005, int(seconds * RATE_HZ))


def held(hz: float, seconds: float) -> np.ndarray:
    """A tone of eight partials with a little swell, cut off at both ends."""
    at = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    tone = sum(0.7**k * np.sin(2 * np.pi * hz * (k + 1) * at + k) for k in range(8))
    return 0.1 * tone * (1 + 0.15 * np.sin(2 * np.pi * 0.7 * at))


def sanding(seconds: float) -> np.ndarray:
    """High noise in soft strokes."""
    at = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    noise = np.diff(np.random.default_rng(7).normal(0, 0.03, at.size + 1))
    return noise * (0.8 + 0.2 * np.sin(2 * np.pi * 2.5 * at))


def kinds(*parts: np.ndarray) -> list[str]:
    samples = np.concatenate(parts)
    samples = samples + np.random.default_rng(3).normal(0, 0.0005, samples.size)
    return [sound.kind for sound in hear(samples.astype(np.float32))]


@pytest.mark.parametrize("hz", [164.81, 196.0])
def test_a_note_from_the_first_sample_is_playing(hz: float) -> None:
    assert kinds(held(hz, 6), hush(2)) == ["play", "quiet"]
    assert kinds(held(hz, 6)) == ["play"]


def test_sanding_from_the_first_sample_is_scraping() -> None:
    assert kinds(sanding(8), hush(2)) == ["scrape", "quiet"]


def test_even_noise_all_the_time_is_quiet() -> None:
    fan = np.random.default_rng(5).normal(0, 0.004, 10 * RATE_HZ)
    assert kinds(fan) == ["quiet"]


def test_a_background_that_was_lost_is_followed_while_all_bands_rise_alike() -> None:
    seconds = 4.0
    rise = np.linspace(0, 20, int(seconds / 0.032), dtype=np.float32)
    bands_db = np.stack([rise - 60, rise - 54, rise - 55])  # the first lies on the followed, the others 10 dB above it
    followed = background._one_way(bands_db, np.ones(rise.size, np.bool_), np.array([-60, -64, -65], np.float32))
    assert followed[:, -1] == pytest.approx([-40, -44, -45], abs=1.5)
    others = np.stack([rise * 0 - 60, rise * 0 - 54, rise - 55])  # only the hiss rises: somebody sands
    held = background._one_way(others, np.ones(rise.size, np.bool_), np.array([-60, -64, -65], np.float32))
    assert held[2, -1] == pytest.approx(-63, abs=0.5)
