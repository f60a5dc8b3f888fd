"""Two sounds side by side, average spectra, and the marks of a bent recording."""

from dataclasses import replace

import numpy as np
import pytest

from annotate.listen import compare, marks, notes, spectrum

RATE_HZ = 16_000


def tone(hz: float, gain: float, seconds: float = 1.5, rate_hz: int = RATE_HZ) -> np.ndarray:
    return gain * np.sin(2 * np.pi * hz * np.arange(int(seconds * rate_hz)) / rate_hz)


def test_the_louder_sound_is_turned_down() -> None:
    matched = compare.match(tone(400, 0.1), tone(400, 0.4), RATE_HZ, RATE_HZ)
    assert matched.first_gain_db == 0
    assert matched.second_gain_db == pytest.approx(-12.04, abs=0.01)


def test_a_full_scale_sine_at_997_hz_reads_as_the_recommendation_says() -> None:
    assert compare.loudness_lufs(tone(997, 1.0, 5, 48_000), 48_000) == pytest.approx(-3.01, abs=0.02)


def test_silence_has_the_lowest_loudness_and_no_gain() -> None:
    assert compare.loudness_lufs(np.zeros(RATE_HZ), RATE_HZ) == -70
    assert compare.match(np.zeros(8000), np.zeros(0), RATE_HZ, RATE_HZ).second_gain_db == 0


def test_differences_are_second_less_first() -> None:
    first, second = (notes.find_notes(tone(hz, gain), RATE_HZ)[0] for hz, gain in ((220, 0.1), (222, 0.2)))
    found = {(one.what, one.unit): one.change for one in compare.notes_differ(first, second)}
    assert found["pitch", "cents"] == pytest.approx(15.67, abs=0.3)
    assert found["level", "dBFS"] == pytest.approx(6.02, abs=0.05)


def test_the_picture_shows_both_at_the_same_loudness() -> None:
    shown = compare.picture(tone(440, 0.05), tone(440, 0.5), RATE_HZ, RATE_HZ)
    peak = int(np.argmax(shown.first_db))
    assert shown.hz[peak] == pytest.approx(440, rel=0.03)
    assert shown.second_db[peak] == pytest.approx(shown.first_db[peak], abs=0.05)


def test_a_sine_keeps_its_level_in_the_spectrum() -> None:
    found = spectrum.average(tone(500, 0.1), RATE_HZ)
    assert found.level_db.max() == pytest.approx(-20, abs=1.5)  # a Hann bin is up to 1.4 dB off its middle
    (peak, *_) = spectrum.peaks(tone(500.7, 0.1), RATE_HZ)
    assert peak.hz == pytest.approx(500.7, abs=0.1)
    assert peak.level_db == pytest.approx(-20, abs=0.2)


def test_too_little_sound_has_an_empty_spectrum() -> None:
    assert spectrum.average(np.zeros(3), RATE_HZ).hz.size == 0
    assert spectrum.centroid_hz(np.zeros(3), RATE_HZ) == 0
    assert spectrum.peaks(np.zeros(3), RATE_HZ) == ()


def test_a_cut_wave_is_marked_and_a_whole_one_is_not() -> None:
    assert marks.find_marks(np.clip(tone(300, 1.4), -1, 1), RATE_HZ).is_clipped
    assert marks.find_marks(0.4 * np.clip(tone(300, 1.4), -1, 1), RATE_HZ).is_clipped
    assert not marks.find_marks(tone(300, 1.0), RATE_HZ).is_clipped
    assert not marks.find_marks(tone(58, 0.99), RATE_HZ).is_clipped


def test_hush_cut_to_nothing_is_marked_and_a_quiet_room_is_not() -> None:
    room = np.random.default_rng(5).normal(0, 0.0003, RATE_HZ // 2)
    parts = [np.concatenate([tone(300, 0.2, 0.5), hush]) for hush in (room, room * 0)]
    assert marks.find_marks(np.tile(parts[1], 3), RATE_HZ).is_gated
    assert not marks.find_marks(np.tile(parts[0], 3), RATE_HZ).is_gated
    assert marks.find_marks(np.zeros(5), RATE_HZ) == marks.Marks(False, False, 0.0, 0)


def test_a_slurred_note_has_no_attack_to_compare() -> None:
    (found,) = notes.find_notes(tone(220, 0.1), RATE_HZ)
    begun = replace(found, attack_ms=20.0)
    named = [one.what for one in compare.notes_differ(begun, begun)]
    assert "attack" in named
    assert [one.what for one in compare.notes_differ(begun, replace(found, attack_ms=None))] == [
        one for one in named if one != "attack"
    ]
