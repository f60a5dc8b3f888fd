"""Notes made by formula: where they are, how they hold, speak and sound."""

import numpy as np
import pytest

from annotate.errors import BadInput
from annotate.listen import notes

RATE_HZ = 16_000


def made(
    hz: np.ndarray | float, seconds: float, rise_s: float = 0.03, partials: tuple[float, ...] = (1.0, 0.5, 0.25)
) -> np.ndarray:
    time = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    phase = 2 * np.pi * np.cumsum(np.broadcast_to(hz, time.shape)) / RATE_HZ
    tone = sum(gain * np.sin((k + 1) * phase + k) for k, gain in enumerate(partials))
    return 0.1 * tone * np.clip(time / rise_s, 0, 1) * np.clip((seconds - time) / 0.03, 0, 1)


def test_a_scale_is_cut_into_its_notes() -> None:
    hz = [130.81, 146.83, 164.81, 174.61, 196.00]
    silence = np.zeros(RATE_HZ // 4)
    scale = np.concatenate([silence, *(made(one, 0.4) for one in hz), silence])
    found = notes.find_notes(scale, RATE_HZ, offset_ms=10_000)
    assert [note.note for note in found] == ["C3", "D3", "E3", "F3", "G3"]
    for number, note in enumerate(found):
        assert note.start_ms == pytest.approx(10_250 + 400 * number, abs=50)
        assert note.hz == pytest.approx(hz[number], rel=0.0003)
        assert abs(note.cents) < 1


def test_tongued_notes_of_one_pitch_are_parted() -> None:
    gap = np.zeros(int(0.06 * RATE_HZ))
    found = notes.find_notes(np.concatenate([made(220, 0.3), gap] * 4), RATE_HZ)
    assert [note.note for note in found] == ["A3"] * 4
    assert [note.start_ms for note in found] == pytest.approx([0, 360, 720, 1080], abs=30)


def test_steadiness_of_a_vibrato_is_its_standard_deviation() -> None:
    time = np.arange(3 * RATE_HZ) / RATE_HZ
    held = 164.81 * 2 ** (10 * np.sin(2 * np.pi * 4 * time) / 1200)
    (note,) = notes.find_notes(made(held, 3.0), RATE_HZ)
    # A sine of 10 cents has 7.07; the 77 ms window smooths 4 Hz by 4-5 %.
    assert note.steadiness_cents == pytest.approx(7.07, rel=0.1)
    assert note.note == "E3"


def test_sag_is_from_the_first_to_the_last_third() -> None:
    time = np.arange(2 * RATE_HZ) / RATE_HZ
    falling = 138.59 * 2 ** (-15 * time / 1200)
    (note,) = notes.find_notes(made(falling, 2.0), RATE_HZ)
    # 30 cents in all; the middles of the outer thirds are two thirds of the held part apart.
    assert note.sag_cents == pytest.approx(-19, abs=1.5)
    assert note.note == "C#3"


@pytest.mark.parametrize("rise_s", [0.03, 0.06, 0.12])
def test_attack_is_the_rise_from_10_to_90_percent(rise_s: float) -> None:
    (note,) = notes.find_notes(np.concatenate([np.zeros(4000), made(233.08, 1.0, rise_s)]), RATE_HZ)
    assert note.attack_ms == pytest.approx(0.8 * rise_s * 1000, abs=5)


def test_a_slurred_note_has_no_attack() -> None:
    hz = np.repeat([196.0, 220.0, 246.94], RATE_HZ)
    found = notes.find_notes(np.concatenate([np.zeros(4000), made(hz, 3.0), np.zeros(4000)]), RATE_HZ)
    assert [note.note for note in found] == ["G3", "A3", "B3"]
    assert found[0].attack_ms == pytest.approx(24, abs=5)
    assert [note.attack_ms for note in found[1:]] == [None, None]


def test_a_sound_that_begins_in_a_note_has_no_attack() -> None:
    (note,) = notes.find_notes(made(220.0, 2.0)[RATE_HZ // 2 :], RATE_HZ)
    assert note.attack_ms is None


def test_the_attack_of_a_tongued_note_is_read_after_a_dip_that_is_no_silence() -> None:
    # Down to a sixth between two notes, then up in 40 ms: 10 to 90 % of the way are 32.
    level = np.interp(
        np.arange(2 * RATE_HZ) / RATE_HZ, [0, 0.03, 0.93, 0.96, 1.0, 1.04, 2], [0, 1, 1, 0.15, 0.15, 1, 1]
    )
    time = np.arange(2 * RATE_HZ) / RATE_HZ
    tone = 0.1 * level * sum(np.sin(2 * np.pi * 220 * k * time + k) / k for k in (1, 2, 3))
    found = notes.find_notes(np.concatenate([np.zeros(4000), tone, np.zeros(4000)]), RATE_HZ)
    assert [note.note for note in found] == ["A3", "A3"]
    assert found[1].attack_ms == pytest.approx(32, abs=5)


def test_level_and_brightness_are_those_of_the_partials() -> None:
    (note,) = notes.find_notes(made(200.0, 1.5, partials=(1.0, 0.0, 1.0)), RATE_HZ)
    # Two sines of 0.1: 10 log10(2 x 0.005) dBFS.
    assert note.level_dbfs == pytest.approx(-20.0, abs=0.1)
    # Equal partials at 200 and 600 Hz: their middle.
    assert note.brightness_hz == pytest.approx(400, abs=6)
    assert note.brightness_harmonic == pytest.approx(2.0, abs=0.03)
    assert note.hnr_db > 35


def test_a_sample_that_is_no_number_costs_no_note() -> None:
    sound = np.concatenate([np.zeros(4000), made(220.0, 1.0), np.zeros(4000)])
    sound[100], sound[12_000] = np.nan, np.inf
    assert [note.note for note in notes.find_notes(sound, RATE_HZ)] == ["A3"]


def test_silence_has_no_notes() -> None:
    assert notes.find_notes(np.zeros(RATE_HZ), RATE_HZ) == ()
    assert notes.find_notes(np.zeros(10), RATE_HZ) == ()


def test_a_tuning_out_of_range_is_refused() -> None:
    with pytest.raises(BadInput, match="not a tuning"):
        notes.find_notes(made(220, 0.5), RATE_HZ, a4_hz=390)
