"""Loudness against pyloudnorm, an independent implementation of ITU-R BS.1770-4."""

import numpy as np
import pyloudnorm
import pytest

from annotate.listen import compare

pytestmark = pytest.mark.outside


# The recommendation prints its filters for 48 kHz only; redrawn for 16 kHz, ours and theirs differ by 0.13 LU.
@pytest.mark.parametrize("rate_hz", [44_100, 48_000])
def test_loudness_agrees_with_pyloudnorm(rate_hz: int) -> None:
    random = np.random.default_rng(rate_hz)
    time = np.arange(4 * rate_hz) / rate_hz
    for samples in (
        random.normal(0, 0.05, time.size),
        0.3 * np.sin(2 * np.pi * 150 * time) * (np.mod(time, 1) < 0.6),
        0.1 * np.sin(2 * np.pi * 3000 * time) * np.linspace(0, 1, time.size),
    ):
        ours = compare.loudness_lufs(samples, rate_hz)
        theirs = pyloudnorm.Meter(rate_hz).integrated_loudness(samples)
        assert ours == pytest.approx(theirs, abs=0.1)


def test_the_filters_at_48_khz_are_the_printed_ones() -> None:
    """Tables 1 and 2 of ITU-R BS.1770-4 (values quoted from memory; a wrong digit would not fit to six places)."""
    shelf, high_pass = compare._k_filters(48_000)
    assert shelf == pytest.approx(
        [1.53512485958697, -2.69169618940638, 1.19839281085285, 1, -1.69065929318241, 0.73248077421585], abs=1e-6
    )
    assert high_pass == pytest.approx([1, -2, 1, 1, -1.99004745483398, 0.99007225036621], abs=1e-6)
