"""Which kind of sound is heard when, on small recordings made by formula.

Speech cannot be made by formula: the voice detector's answer is passed in where
a test needs one. The figures on full scenes are in tests/bench/sounds_accuracy.py.
"""

from itertools import pairwise

import numpy as np
import pytest

from annotate.errors import BadInput, Cancelled
from annotate.listen import features, sounds

RATE_HZ = 16_000


def hush(seconds: float, seed: int = 1, level: float = 0.0005) -> np.ndarray:
    return np.random.default_rng(seed).normal(0, level, int(seconds * RATE_HZ))


def note(hz: float, seconds: float) -> np.ndarray:
    time = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    tone = sum(
        np.sin(2 * np.pi * hz * k * time + k) / (1 + ((hz * k - 500) / 300) ** 2) for k in range(1, 20) if hz * k < 7000
    )
    return 0.15 * tone * np.clip(time / 0.03, 0, 1) * np.clip((seconds - time) / 0.03, 0, 1)


def rough(hz: float, seconds: float) -> np.ndarray:
    time = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    tone = (
        np.sin(2 * np.pi * hz * time)
        + 0.6 * np.sin(2 * np.pi * 2.04 * hz * time)
        + 0.3 * np.sin(2 * np.pi * 3.1 * hz * time)
    )
    return 0.1 * tone * (1 + 0.8 * np.sin(2 * np.pi * 37 * time)) * np.clip(time / 0.03, 0, 1)


def strokes(seconds: float, per_s: float = 2.5) -> np.ndarray:
    time = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    noise = np.diff(np.random.default_rng(7).normal(0, 0.05, time.size + 1))
    return noise * np.clip(np.sin(np.pi * np.mod(time * per_s, 1)) - 0.2, 0, 1)


def kinds_at(heard: tuple[sounds.Sound, ...], *times_ms: int) -> list[str]:
    return [next(s.kind for s in heard if s.start_ms <= at < s.end_ms) for at in times_ms]


def test_a_bench_in_small() -> None:
    scale = np.concatenate([note(130.81 * 2 ** (step / 12), 0.35) for step in (0, 2, 4, 5, 7)])
    parts = [hush(1.5), strokes(3.0), hush(1.5), rough(410, 1.2), hush(1.5), scale, hush(1.5)]
    samples = np.concatenate(parts) + hush(sum(part.size for part in parts) / RATE_HZ, 2)
    heard = sounds.hear(samples.astype(np.float32))
    assert kinds_at(heard, 700, 3000, 5200, 6600, 8000, 9500, 11_500) == [
        "quiet", "scrape", "quiet", "crow", "quiet", "play", "quiet",
    ]  # fmt: skip
    assert len(heard) == 7


def test_sounds_leave_no_gap_and_end_with_the_recording() -> None:
    samples = np.concatenate([hush(1.0), strokes(2.0), hush(1.003)]).astype(np.float32)
    heard = sounds.hear(samples)
    assert heard[0].start_ms == 0
    assert heard[-1].end_ms == 4003
    assert all(a.end_ms == b.start_ms for a, b in pairwise(heard))
    assert all(0.5 <= sound.confidence <= 1 for sound in heard)


def test_talk_over_scraping_is_speech() -> None:
    samples = np.concatenate([hush(1.0), strokes(4.0), hush(1.0)]).astype(np.float32)
    voice = np.zeros(-(-samples.size // features.HOP), np.float32)
    voice[62:110] = 0.95  # 2.0 to 3.5 s
    assert kinds_at(sounds.hear(samples, voice=voice), 1500, 2700, 4500) == ["scrape", "speech", "scrape"]


def test_a_held_note_that_the_detector_takes_for_a_vowel_is_play() -> None:
    samples = np.concatenate([hush(1.0), note(164.81, 3.0), hush(1.0)]).astype(np.float32)
    voice = np.zeros(-(-samples.size // features.HOP), np.float32)
    voice[40:120] = 0.7
    assert kinds_at(sounds.hear(samples, voice=voice), 500, 2500, 4600) == ["quiet", "play", "quiet"]


def test_a_slurred_scale_with_vibrato_that_the_detector_takes_for_talk_is_play() -> None:
    time = np.arange(4 * RATE_HZ) / RATE_HZ
    steps = np.array([0, 2, 4, 5, 7, 9, 11, 12, 11, 9, 7, 5, 4, 2, 0, 2])[(time * 4).astype(int)]
    hz = 98 * 2 ** ((steps + 0.2 * np.sin(2 * np.pi * 5.5 * time)) / 12)
    phase = 2 * np.pi * np.cumsum(hz) / RATE_HZ
    scale = 0.05 * sum(np.sin(k * phase + k) / (1 + ((k * hz - 500) / 300) ** 2) for k in range(1, 20))
    samples = np.concatenate([hush(1.0), scale, hush(1.0)]) + hush(6.0, 3)
    voice = np.zeros(-(-samples.size // features.HOP), np.float32)
    voice[33:155] = 0.6
    assert kinds_at(sounds.hear(samples.astype(np.float32), voice=voice), 500, 2000, 4000, 5600) == [
        "quiet", "play", "play", "quiet",
    ]  # fmt: skip


def test_ticks_and_rumble_are_no_strokes() -> None:
    ticks = hush(5.0)
    for at in range(4000, ticks.size - 800, RATE_HZ // 2):
        ticks[at : at + 600] += np.random.default_rng(at).normal(0, 0.05, 600)
    rumble = np.cumsum(np.random.default_rng(3).normal(0, 1, 2 * RATE_HZ))
    rumble = np.diff(rumble - np.convolve(rumble, np.ones(400) / 400, "same"), prepend=0)
    rumble = np.convolve(rumble, np.hanning(60) / 30, "same") * 0.01
    samples = np.concatenate([ticks, hush(1.0), rumble, hush(1.0), strokes(2.0)])
    voice = np.zeros(-(-samples.size // features.HOP), np.float32)
    heard = sounds.hear((samples + hush(samples.size / RATE_HZ, 4)).astype(np.float32), voice=voice)
    assert [sound.kind for sound in heard] == ["quiet", "scrape"]


def test_a_hum_that_ends_a_sentence_is_talk() -> None:
    samples = np.concatenate([hush(3.0), note(140.0, 0.5), hush(1.5)]).astype(np.float32)
    voice = np.zeros(-(-samples.size // features.HOP), np.float32)
    voice[40:94], voice[94:110] = 0.95, 0.2
    assert kinds_at(sounds.hear(samples, voice=voice), 500, 2000, 3250, 4500) == ["quiet", "speech", "speech", "quiet"]


@pytest.mark.parametrize(("seconds", "kind"), [(1.0, "crow"), (6.0, "play")])
def test_a_clear_pitch_is_a_peep_or_a_long_tone_by_its_length(seconds: float, kind: str) -> None:
    peep = note(480.0, seconds)
    samples = np.concatenate([hush(1.5), peep, hush(0.25), note(480.0, seconds), hush(1.5)])
    voice = np.zeros(-(-samples.size // features.HOP), np.float32)
    heard = sounds.hear((samples + hush(samples.size / RATE_HZ, 5)).astype(np.float32), voice=voice)
    assert kinds_at(heard, 1500 + round(seconds * 500)) == [kind]


@pytest.mark.parametrize(
    ("second_hz", "kind"),
    [(293.66, "play"), (446.0, "crow")],  # A4 and D4 are a melody; a peep at nearly the same pitch is the same reed
)
def test_two_clear_pitches_are_notes_of_a_melody_or_peeps_of_one_reed(second_hz: float, kind: str) -> None:
    seconds = 3.0 if kind == "play" else 1.2
    samples = np.concatenate([hush(1.5), note(440.0, seconds), hush(0.4), note(second_hz, seconds), hush(1.5)])
    voice = np.zeros(-(-samples.size // features.HOP), np.float32)
    heard = sounds.hear((samples + hush(samples.size / RATE_HZ, 6)).astype(np.float32), voice=voice)
    assert [sound.kind for sound in heard] == ["quiet", kind, "quiet"]


def test_strokes_that_whistle_high_up_are_no_tone() -> None:
    whistle = 0.75 * note(1190.0, 4.0) + np.random.default_rng(9).normal(0, 0.03, 4 * RATE_HZ)
    time = np.arange(whistle.size) / RATE_HZ
    samples = np.concatenate([hush(1.5), whistle * (np.mod(time * 2.5, 1) < 0.5), hush(1.5)])
    voice = np.zeros(-(-samples.size // features.HOP), np.float32)
    heard = sounds.hear((samples + hush(samples.size / RATE_HZ, 6)).astype(np.float32), voice=voice)
    assert [sound.kind for sound in heard] == ["quiet", "scrape", "quiet"]


def test_a_hush_turned_up_by_a_phone_stays_quiet() -> None:
    gain = 10 ** (np.clip(np.linspace(0, 24, 5 * RATE_HZ), 0, 18) / 20)
    samples = np.concatenate([strokes(2.0), hush(5.0) * gain, strokes(2.0)]).astype(np.float32)
    assert kinds_at(sounds.hear(samples), 1000, 4500, 6500, 8000) == ["scrape", "quiet", "quiet", "scrape"]


def test_silence_is_quiet() -> None:
    heard = sounds.hear(np.zeros(3 * RATE_HZ, np.float32))
    assert [(sound.start_ms, sound.end_ms, sound.kind) for sound in heard] == [(0, 3000, "quiet")]


@pytest.mark.parametrize("size", [1, 100, 511, 513, 8000])
def test_very_short_recordings_are_heard(size: int) -> None:
    heard = sounds.hear(np.zeros(size, np.float32))
    assert sum(sound.end_ms - sound.start_ms for sound in heard) == round(size / 16)


def test_no_samples_no_sounds() -> None:
    assert sounds.hear(np.zeros(0, np.float32)) == ()


def test_broken_samples_do_not_break_the_ear() -> None:
    samples = np.concatenate([hush(1.0), strokes(2.0), hush(1.0)]).astype(np.float32)
    samples[5000:5010] = np.nan
    samples[9000] = np.inf
    assert kinds_at(sounds.hear(samples), 2000) == ["scrape"]


def test_blocks_give_what_the_whole_gives() -> None:
    samples = np.concatenate([hush(1.0), strokes(3.0), note(196.0, 2.0), hush(1.0)]).astype(np.float32)
    voice = np.zeros(-(-samples.size // features.HOP), np.float32)
    whole = features.measure(samples, voice)
    parts = features.measure(samples, voice, block=40 * features.HOP)
    assert len(parts) == len(whole) == 219
    for name in ("level_db", "periodicity", "slow_beats", "weakest_db"):
        assert getattr(parts, name) == pytest.approx(getattr(whole, name), abs=0.02)


def test_progress_is_told_and_a_wish_to_stop_is_heard() -> None:
    told: list[float] = []
    samples = hush(130.0).astype(np.float32)
    voice = np.zeros(-(-samples.size // features.HOP), np.float32)
    sounds.hear(samples, voice=voice, progress=told.append)
    assert told == pytest.approx([0.4615, 0.923, 1.0], abs=0.001)
    with pytest.raises(Cancelled):
        sounds.hear(samples, voice=voice, cancelled=lambda: True)


def test_what_is_not_mono_at_16_khz_is_refused() -> None:
    with pytest.raises(BadInput, match="48000 samples a second"):
        sounds.hear(np.zeros(100, np.float32), 48_000)
    with pytest.raises(BadInput, match="2 dimensions"):
        sounds.hear(np.zeros((2, 100), np.float32))
