"""Brightness against Praat's centre of gravity (through praat-parselmouth), and what hiss does to it.

Praat's "Get centre of gravity" with power 1 weighs the whole spectrum by
amplitude. On a clean tone, whose spectrum is its partials, it is our definition.
"""

import numpy as np
import parselmouth
import pytest

from annotate.listen.spectrum import centroid_hz

pytestmark = pytest.mark.outside
RATE_HZ = 16_000
PARTIALS = (1, 0.7, 0.5, 0.35, 0.25, 0.18, 0.12, 0.09)


def tone(hz: float) -> np.ndarray:
    at = np.arange(2 * RATE_HZ) / RATE_HZ
    return 0.1 * sum(gain * np.sin(2 * np.pi * hz * (k + 1) * at + k) for k, gain in enumerate(PARTIALS))


def gravity(samples: np.ndarray) -> float:
    """Praat's, over the first 93 ms under a Hann window."""
    sound = parselmouth.Sound(samples, RATE_HZ)
    part = sound.extract_part(0.5, 0.593, parselmouth.WindowShape.HANNING, 1.0, False)
    return part.to_spectrum().get_center_of_gravity(1.0)


@pytest.mark.parametrize("hz", [164.81, 277.18, 420.0, 659.26])
def test_brightness_of_a_clean_tone_is_praat_s_centre_of_gravity(hz: float) -> None:
    assert centroid_hz(tone(hz), RATE_HZ) == pytest.approx(gravity(tone(hz)), rel=0.03)


@pytest.mark.parametrize(("snr_db", "within"), [(40, 0.01), (30, 0.01), (20, 0.03), (10, 0.12)])
def test_hiss_does_not_make_a_tone_bright(snr_db: float, within: float) -> None:
    clean = tone(164.81)
    hiss = np.random.default_rng(1).normal(0, np.sqrt((clean**2).mean()) * 10 ** (-snr_db / 20), clean.size)
    assert centroid_hz(clean + hiss, RATE_HZ) == pytest.approx(475.0, rel=within)
