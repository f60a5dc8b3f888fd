"""Invented sounds without speech: float32 mono at 16 kHz, seeded, level well below full scale."""

import numpy as np
from scipy.signal import butter, sosfilt

RATE = 16_000


def silence(seconds: float) -> np.ndarray:
    return np.zeros(int(seconds * RATE), np.float32)


def white(seconds: float, rms: float = 0.1, seed: int = 0) -> np.ndarray:
    rng = np.random.default_rng(seed)
    return (rms * rng.standard_normal(int(seconds * RATE))).astype(np.float32)


def brown(seconds: float, rms: float = 0.05, seed: int = 0) -> np.ndarray:
    """Noise falling 6 dB per octave, like a distant fan or traffic."""
    drift = np.cumsum(np.random.default_rng(seed).standard_normal(int(seconds * RATE)))
    sound = sosfilt(butter(1, 30, "high", fs=RATE, output="sos"), drift)
    return (rms * sound / np.sqrt(np.mean(sound**2))).astype(np.float32)


def scrapes(seconds: float, per_second: float = 1.4, rms: float = 0.1, seed: int = 0) -> np.ndarray:
    """Bursts of band noise as a knife makes on cane."""
    rng = np.random.default_rng(seed)
    noise = sosfilt(butter(2, [1500, 6500], "band", fs=RATE, output="sos"), rng.standard_normal(int(seconds * RATE)))
    at = np.arange(len(noise)) / RATE * per_second
    sound = noise * np.maximum(0, np.sin(2 * np.pi * at)) ** 2
    return (rms * sound / np.sqrt(np.mean(sound**2))).astype(np.float32)


def tones(hertz: list[float], seconds_each: float = 1.7, rms: float = 0.1) -> np.ndarray:
    """Reed-like tones with a formant near 500 Hz, as a bassoon has, one after the other with a short rest."""
    out = []
    at = np.arange(int(seconds_each * RATE)) / RATE
    edge = np.minimum(1, np.minimum(at / 0.05, (seconds_each - at) / 0.1))
    for f in hertz:
        harmonics = range(1, int(7800 / f))
        sound = sum(
            np.sin(2 * np.pi * f * n * at + n) * (0.1 + np.exp(-(((f * n - 500) / 700) ** 2))) for n in harmonics
        )
        out += [edge * rms * sound / np.sqrt(np.mean(sound**2)), np.zeros(RATE // 5)]
    return np.concatenate(out).astype(np.float32)


def crows(seconds: float, hertz: float = 270, rattle_hz: float = 55, rms: float = 0.1) -> np.ndarray:
    """A reed blown alone: many harmonics, beating fast and deep, two seconds on and one off."""
    at = np.arange(int(seconds * RATE)) / RATE
    phase = 2 * np.pi * np.cumsum(hertz + 3 * np.sin(2 * np.pi * 5 * at)) / RATE
    sound = sum(np.sin(n * phase + n * n) / np.sqrt(n) for n in range(1, 20))
    sound = sound * (1 + 0.7 * np.sin(2 * np.pi * rattle_hz * at)) * (at % 3 < 2)
    return (rms * sound / np.sqrt(np.mean(sound**2))).astype(np.float32)
