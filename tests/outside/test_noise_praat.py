"""The noise of a note against Praat's harmonicity (through praat-parselmouth), over the same band."""

import numpy as np
import parselmouth
import pytest

from annotate.listen.notes import find_notes

pytestmark = pytest.mark.outside
RATE_HZ = 16_000


def made(hz: float, snr_db: float, colour: str) -> np.ndarray:
    """A tone of eight partials in white noise, or in noise above 4 kHz only."""
    at = np.arange(3 * RATE_HZ) / RATE_HZ
    tone = sum(0.7**k * np.sin(2 * np.pi * hz * (k + 1) * at + k) for k in range(8))
    noise = np.random.default_rng(2).normal(0, 1, at.size)
    if colour == "high":
        found = np.fft.rfft(noise)
        found[np.fft.rfftfreq(at.size, 1 / RATE_HZ) < 4000] = 0
        noise = np.fft.irfft(found, at.size)
    return 0.1 * (tone + noise * np.sqrt((tone**2).mean() / (noise**2).mean()) * 10 ** (-snr_db / 20))


@pytest.mark.parametrize("colour", ["white", "high"])
@pytest.mark.parametrize("hz", [116.54, 200.0, 440.0])
@pytest.mark.parametrize("snr_db", [10, 20, 30])
def test_noise_of_a_note_is_praat_s_harmonicity(hz: float, snr_db: float, colour: str) -> None:
    samples = made(hz, snr_db, colour)
    theirs = parselmouth.Sound(samples, RATE_HZ).to_harmonicity_ac(
        time_step=0.01, minimum_pitch=58, silence_threshold=0.1, periods_per_window=4.5
    )
    values = theirs.values[theirs.values > -100]
    (note,) = find_notes(samples, RATE_HZ)
    assert note.hnr_db == pytest.approx(float(np.median(values)), abs=1.0)
    assert note.hnr_db == pytest.approx(snr_db, abs=1.0)
