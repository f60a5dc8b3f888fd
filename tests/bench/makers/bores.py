"""Playing of makers E and G: a reed that drives a bore as a waveguide, and tones by frequency modulation."""

from __future__ import annotations

import numpy as np
import soxr
from scipy import signal

RATE_HZ = 16_000
BORE_RATE_HZ = 32_000
Note = tuple[float, float, float, float]  # start s, length s, Hz, loudness 0..1


def player(random: np.random.Generator) -> list[Note]:
    """What somebody plays to try a reed: long tones, scales slurred or tongued, trills, an interval, a tune."""
    is_bassoon = random.random() < 0.7
    low, high = (34, 70) if is_bassoon else (58, 84)
    kind = str(random.choice(["long", "slurred", "tongued", "staccato", "trill", "interval", "tune", "swell"]))
    root = int(random.integers(low, high - 9))
    tuned = 440 * 2 ** (float(random.uniform(-35, 35)) / 1200)
    loud = float(random.uniform(0.6, 1.0))

    def hz(step: float) -> float:
        return float(tuned * 2 ** ((root + step - 69) / 12))

    if kind in ("long", "swell"):
        return [(0.0, float(random.uniform(2, 11)), hz(0), loud)]
    if kind == "interval":
        beat = float(random.uniform(0.7, 1.8))
        return [(0.0, beat, hz(0), loud), (beat, beat * 1.5, hz(int(random.choice([3, 5, 7, 12]))), loud)]
    if kind == "trill":
        beat, upper = float(random.uniform(0.08, 0.14)), int(random.choice([1, 2]))
        return [(i * beat, beat, hz(upper * (i % 2)), loud) for i in range(int(random.integers(10, 30)))]
    up = [0, 2, 3, 5, 7, 8, 10, 12] if random.random() < 0.4 else [0, 2, 4, 5, 7, 9, 11, 12]
    steps = up + up[-2::-1] if kind != "tune" else [0, *random.integers(-4, 9, 11).tolist()]
    beat = float(random.uniform(0.13, 0.55))
    share = {"slurred": 1.0, "tongued": 0.85, "staccato": 0.45, "tune": 0.92}[kind]
    beats = [float(random.choice([beat, beat, 2 * beat])) if kind == "tune" else beat for _ in steps]
    starts = np.concatenate([[0], np.cumsum(beats)[:-1]])
    return [(float(s), b * share, hz(int(step)), loud) for s, b, step in zip(starts, beats, steps, strict=True)]


def _curves(random: np.random.Generator, notes: list[Note], rate_hz: int) -> tuple[np.ndarray, np.ndarray]:
    """Pitch (Hz) and breath (0..1) of every sample: glides of 15 ms, tongue and release, vibrato, swell."""
    end_s = notes[-1][0] + notes[-1][1]
    size = int((end_s + 0.08) * rate_hz)
    pitch, breath = np.full(size, notes[0][2]), np.zeros(size)
    for start, length, hz, loud in notes:
        first, last = int(start * rate_hz), int((start + length) * rate_hz)
        pitch[first:] = hz
        breath[first:last] = loud
    slide = max(1, int(0.012 * rate_hz))
    pitch = np.exp(signal.lfilter([1 / slide], [1, -(1 - 1 / slide)], np.log(pitch / pitch[0]))) * pitch[0]
    reach = max(1, int(float(random.uniform(0.006, 0.03)) * rate_hz))
    breath = signal.lfilter([1 / reach], [1, -(1 - 1 / reach)], breath)
    time = np.arange(size) / rate_hz
    if random.random() < 0.6:
        rate, deep = float(random.uniform(4.2, 6.8)), float(random.uniform(5, 30))
        wave = np.sin(2 * np.pi * rate * time + float(random.uniform(0, 6))) * np.clip(time / 0.5, 0, 1)
        pitch = pitch * 2 ** (deep * wave / 1200)
        breath = breath * (1 + 0.1 * wave)
    if len(notes) == 1 and random.random() < 0.6:
        breath = breath * (0.75 + 0.25 * np.sin(np.pi * time / end_s))
    return pitch, breath


def _bore(random: np.random.Generator, pitch: np.ndarray, breath: np.ndarray) -> np.ndarray:
    """A cone as two delay lines joined at the reed, whose opening follows the pressure difference."""
    place = float(random.uniform(0.24, 0.28))
    slope, rest = float(random.uniform(0.3, 0.36)), float(random.uniform(0.64, 0.68))  # else it only hisses
    hiss = (float(random.uniform(0.01, 0.06)) * random.normal(0, 1, pitch.size)).tolist()
    span = (BORE_RATE_HZ / pitch - 1.5).tolist()
    length = 4096
    long, short = [0.0] * length, [0.0] * length
    made, before = [0.0] * pitch.size, 0.0
    for at, push in enumerate((breath * 0.5 + 0.38 * np.clip(breath * 8, 0, 1)).tolist()):
        push *= 1 + hiss[at]
        back = at - span[at] * (1 - place)
        whole = int(back // 1)
        part = back - whole
        came = long[whole % length] * (1 - part) + long[(whole + 1) % length] * part
        turned = -0.95 * 0.5 * (came + before)
        before = came
        back = at - span[at] * place
        whole = int(back // 1)
        part = back - whole
        inside = turned - short[whole % length] * (1 - part) - short[(whole + 1) % length] * part
        gap = push - inside
        opening = min(1.0, max(-1.0, rest + slope * gap))
        short[at % length] = turned
        long[at % length] = push - gap * opening - turned
        made[at] = inside
    return np.asarray(made)


def _finish(made: np.ndarray) -> np.ndarray:
    loud = np.nonzero(np.abs(made) > 0.01 * np.abs(made).max())[0]
    made = made[loud[0] : loud[-1] + 1]
    return (made / np.abs(made).max()).astype(np.float32)


def bore(random: np.random.Generator) -> np.ndarray:
    """One phrase on a modelled reed and bore, now and then with a second bore over it: a multiphonic."""
    pitch, breath = _curves(random, player(random), BORE_RATE_HZ)
    made = _bore(random, pitch, breath)
    if random.random() < 0.06:
        made = made + 0.6 * _bore(random, pitch * float(random.uniform(1.4, 1.6)), breath)
    made = signal.sosfilt(signal.butter(1, 60, "high", fs=BORE_RATE_HZ, output="sos"), made)
    centre = float(random.uniform(420, 620) if pitch.mean() < 300 else random.uniform(900, 1500))
    made = made + 2 * signal.lfilter(*signal.iirpeak(centre, 2.5, fs=BORE_RATE_HZ), made)
    return _finish(np.asarray(soxr.resample(made, BORE_RATE_HZ, RATE_HZ)))


def frequency_modulated(random: np.random.Generator) -> np.ndarray:
    """One phrase of two carriers near a formant whose brightness follows the breath."""
    pitch, breath = _curves(random, player(random), RATE_HZ)
    phase = 2 * np.pi * np.cumsum(pitch) / RATE_HZ
    formant = float(random.uniform(420, 620) if pitch.mean() < 300 else random.uniform(900, 1600))
    number = np.maximum(1, round(formant / float(np.median(pitch))))
    index = breath * float(random.uniform(1.2, 3.0))
    made = np.sin(number * phase + index * np.sin(phase))
    made = made + 0.35 * np.sin(max(2, round(2.6 * number)) * phase + 0.8 * index * np.sin(phase))
    made = made + float(random.uniform(0.1, 0.5)) * np.sin(phase)
    hiss = signal.sosfilt(signal.butter(1, 1500, "high", fs=RATE_HZ, output="sos"), random.normal(0, 1, pitch.size))
    return _finish(np.asarray((made + float(random.uniform(0.005, 0.04)) * hiss) * breath))


def either(random: np.random.Generator) -> np.ndarray:
    """Maker E: six phrases in ten on the bore, the others by frequency modulation."""
    return bore(random) if random.random() < 0.6 else frequency_modulated(random)
