"""Crows made by formula: their partials, their roughness, what is published about them."""

import numpy as np
import pytest

from annotate.errors import BadInput
from annotate.listen import compare, crow

RATE_HZ = 44_100


def made(
    hz: float, rate_hz: float = 40.0, depth: float = 0.0, seconds: float = 1.0, sample_hz: int = RATE_HZ
) -> np.ndarray:
    time = np.arange(int(seconds * sample_hz)) / sample_hz
    tone = sum(np.exp(-0.35 * k) * np.sin(2 * np.pi * hz * k * time + k) for k in range(1, 9))
    ends = np.clip(time / 0.03, 0, 1) * np.clip((seconds - time) / 0.05, 0, 1)
    return 0.1 * tone * ends * (1 + depth * np.sin(2 * np.pi * rate_hz * time))


@pytest.mark.parametrize("rate_hz", [16.0, 33.0, 75.0, 120.0, 148.0])
@pytest.mark.parametrize("depth", [0.1, 0.5, 0.95])
def test_roughness_is_the_modulation_put_in(rate_hz: float, depth: float) -> None:
    found = crow.measure_crow(made(420, rate_hz, depth), RATE_HZ)
    assert found is not None
    assert found.roughness_rate_hz == pytest.approx(rate_hz, rel=0.02)
    assert found.roughness_depth == pytest.approx(depth, rel=0.10)
    # The modulation's own side tones are no pitches: the tone that was put in is the lowest.
    assert found.lowest.hz == pytest.approx(420, abs=1)
    assert [partial.hz for partial in found.partials[:3]] == pytest.approx([420, 840, 1260], abs=1)
    assert found.pitches == ("one" if depth < 0.15 else "several")


@pytest.mark.parametrize("rate_hz", [20.0, 33.0, 75.0, 120.0])
def test_side_tones_are_no_pitch_in_noise_and_at_16_khz(rate_hz: float) -> None:
    samples = made(420, rate_hz, 0.5, sample_hz=16_000)
    samples += np.random.default_rng(5).normal(0, 1, samples.size) * np.sqrt((samples**2).mean()) / 10
    found = crow.measure_crow(samples, 16_000)
    assert found is not None
    assert found.lowest.hz == pytest.approx(420, abs=1)


def test_a_weaker_lower_pitch_of_two_that_beat_is_kept() -> None:
    found = crow.measure_crow(0.4 * made(370.0) + made(466.2), RATE_HZ)
    assert found is not None
    assert (found.lowest.note, found.pitches) == ("F#4", "several")
    assert found.lowest.hz == pytest.approx(370.0, abs=0.5)


def test_roughness_stays_in_bounds_with_noise_and_at_16_khz() -> None:
    samples = made(380, 55, 0.4, sample_hz=16_000)
    samples += np.random.default_rng(4).normal(0, 1, samples.size) * np.sqrt((samples**2).mean()) / 10
    found = crow.measure_crow(samples, 16_000)
    assert found is not None
    assert found.roughness_rate_hz == pytest.approx(55, rel=0.02)
    assert found.roughness_depth == pytest.approx(0.4, rel=0.10)


def test_a_peep_is_one_pitch_with_its_partials() -> None:
    found = crow.measure_crow(made(440.0), RATE_HZ, offset_ms=2500)
    assert found is not None
    assert (found.start_ms, found.end_ms, found.pitches) == (2500, 3500, "one")
    assert found.roughness_depth < 0.02
    assert (found.lowest.note, found.lowest.level_db) == ("A4", 0.0)
    assert found.lowest.cents == pytest.approx(0, abs=0.5)
    assert [partial.note for partial in found.partials[:3]] == ["A4", "A5", "E6"]
    assert found.partials[2].cents == pytest.approx(1.955, abs=0.5)  # a pure twelfth


def test_two_pitches_at_once_are_several() -> None:
    found = crow.measure_crow(made(370.0) + 0.7 * made(466.2), RATE_HZ)
    assert found is not None
    assert found.pitches == "several"
    assert found.roughness_rate_hz == pytest.approx(96.2, rel=0.02)
    assert found.lowest.hz == pytest.approx(370.0, abs=0.5)
    assert {partial.note for partial in found.partials[:2]} == {"F#4", "Bb4"}


def test_an_oboe_crow_in_octaves_is_one_tone() -> None:
    found = crow.measure_crow(made(523.25) + 0.3 * made(261.63), RATE_HZ)
    assert found is not None
    assert (found.pitches, found.lowest.note) == ("one", "C4")


def test_the_makers_tuning_moves_the_cents() -> None:
    found = crow.measure_crow(made(270.0), RATE_HZ, a4_hz=440.0)
    higher = crow.measure_crow(made(270.0), RATE_HZ, a4_hz=442.0)
    assert found is not None and higher is not None
    assert (found.lowest.note, higher.lowest.note) == ("C#4", "C4")
    assert found.lowest.cents == pytest.approx(-45.45, abs=0.5)
    assert higher.lowest.cents == pytest.approx(46.70, abs=0.5)


def test_silence_and_a_blink_give_nothing() -> None:
    assert crow.measure_crow(np.zeros(100), RATE_HZ) is None
    assert crow.measure_crow(np.zeros(RATE_HZ), RATE_HZ) is None


def test_a_tuning_out_of_range_is_refused() -> None:
    with pytest.raises(BadInput, match="not a tuning"):
        crow.measure_crow(made(400), RATE_HZ, a4_hz=500)


def test_what_is_published_names_its_source() -> None:
    assert len(crow.expected_for("bassoon")) == 4
    assert len(crow.expected_for("oboe")) == 1
    assert all(one.source and (one.high_hz is None or one.low_hz <= one.high_hz) for one in crow.EXPECTED)
    # "At least middle C" has no upper end.
    assert [one.low_hz for one in crow.EXPECTED if one.high_hz is None] == [256.0]
    first = crow.EXPECTED[0]
    # Middle F sharp to A at A4 = 440.
    assert (first.low_hz, first.high_hz) == (pytest.approx(369.994, abs=0.01), 440.0)


def test_of_a_long_crow_the_first_minute_is_measured() -> None:
    found = crow.measure_crow(np.concatenate([made(420, seconds=61.0), made(500, seconds=30.0)]), RATE_HZ)
    assert found is not None
    assert (found.start_ms, found.end_ms) == (0, 91_000)
    assert all(abs(partial.hz / 420 - round(partial.hz / 420)) < 0.01 for partial in found.partials)


def test_the_roughness_of_a_short_crow_is_not_told() -> None:
    short, longer = (crow.measure_crow(made(420, 33, 0.5, seconds=seconds), RATE_HZ) for seconds in (0.30, 0.40))
    assert short is not None and longer is not None
    assert (short.roughness_depth, short.roughness_rate_hz) == (None, None)
    assert longer.roughness_depth == pytest.approx(0.5, rel=0.1)
    assert longer.roughness_rate_hz == pytest.approx(33, rel=0.02)
    changes = [one.what for one in compare.crows_differ(longer, longer)]
    assert [one.what for one in compare.crows_differ(short, longer)] == [
        what for what in changes if "roughness" not in what
    ]


def test_a_sample_that_is_no_number_costs_no_crow() -> None:
    samples = made(420.0)
    samples[20_000] = np.nan
    found = crow.measure_crow(samples, RATE_HZ)
    assert found is not None
    assert found.lowest.hz == pytest.approx(420, abs=1)
