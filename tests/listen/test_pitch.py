"""The pitch track on tones made by formula."""

import numpy as np
import pytest

from annotate.errors import BadInput
from annotate.listen import pitch

RATE_HZ = 16_000


def tone(hz: float, seconds: float, partials: tuple[float, ...] = (1.0, 0.5, 0.25)) -> np.ndarray:
    time = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    return 0.2 * sum(gain * np.sin(2 * np.pi * hz * (k + 1) * time + k) for k, gain in enumerate(partials))


@pytest.mark.parametrize("hz", [58.27, 87.31, 164.81, 261.63, 440.0, 659.26, 1046.5])
def test_a_steady_tone_is_read_to_a_tenth_of_a_cent_or_so(hz: float) -> None:
    found = pitch.track(tone(hz, 0.6), RATE_HZ)
    assert (found.hz > 0).all()
    assert np.abs(1200 * np.log2(found.hz / hz)).max() < 0.5


def test_a_missing_fundamental_does_not_move_the_pitch_an_octave() -> None:
    found = pitch.track(tone(73.42, 0.6, (0.0, 0.2, 0.6, 1.0, 0.8, 0.3)), RATE_HZ)
    assert np.abs(1200 * np.log2(found.hz / 73.42)).max() < 1


def test_a_strong_octave_partial_does_not_move_the_pitch_up() -> None:
    found = pitch.track(tone(146.83, 0.6, (0.3, 1.0, 0.2, 0.3)), RATE_HZ)
    assert np.abs(1200 * np.log2(found.hz / 146.83)).max() < 1


def test_frames_carry_the_time_of_their_middles() -> None:
    samples = np.concatenate([tone(220, 0.5), tone(330, 0.5)])
    found = pitch.track(samples, RATE_HZ)
    change = found.time_ms[np.argmax(found.hz > 270)]
    assert 490 <= change <= 515


def test_noise_and_silence_have_no_pitch() -> None:
    noise = 0.1 * np.random.default_rng(1).normal(0, 1, RATE_HZ)
    assert (pitch.track(noise, RATE_HZ).hz > 0).mean() < 0.02
    silence = pitch.track(np.zeros(RATE_HZ), RATE_HZ)
    assert (silence.hz == 0).all()
    assert np.isnan(pitch.hnr_db(np.zeros(RATE_HZ), RATE_HZ, silence, np.arange(silence.hz.size))).all()


@pytest.mark.parametrize("snr_db", [10, 20, 30])
@pytest.mark.parametrize("hz", [98.0, 200.0, 466.16])
def test_harmonics_to_noise_ratio_is_the_ratio_put_in(hz: float, snr_db: int) -> None:
    clean = tone(hz, 2.0)
    # White noise over all of the band.
    noise = np.random.default_rng(2).normal(0, np.sqrt((clean**2).mean()) * 10 ** (-snr_db / 20), clean.size)
    followed = pitch.track(clean + noise, RATE_HZ)
    found = pitch.hnr_db(clean + noise, RATE_HZ, followed, np.arange(followed.hz.size))
    assert np.median(found) == pytest.approx(snr_db, abs=1)


def test_a_faster_rate_gives_the_same_pitch() -> None:
    time = np.arange(48_000) / 48_000
    found = pitch.track(0.3 * np.sin(2 * np.pi * 311.13 * time) + 0.1 * np.sin(2 * np.pi * 622.26 * time), 48_000)
    assert np.abs(1200 * np.log2(found.hz / 311.13)).max() < 0.5


def test_a_blink_of_sound_gives_no_frames() -> None:
    assert pitch.track(np.zeros(100), RATE_HZ).hz.size == 0


def test_what_is_no_sound_is_refused() -> None:
    with pytest.raises(BadInput, match="2 dimensions"):
        pitch.track(np.zeros((2, 100)), RATE_HZ)
    with pytest.raises(BadInput, match="only 4000 samples"):
        pitch.track(np.zeros(4000), 4000)
