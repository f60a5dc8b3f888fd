"""Knife, file and sanding strokes by three unlike methods (mono float32, 16 kHz)."""

from __future__ import annotations

import numpy as np
from scipy import signal

RATE_HZ = 16_000


def _band(random: np.random.Generator, noise: np.ndarray, low: float, high: float) -> np.ndarray:
    sos = signal.butter(int(random.integers(1, 4)), [low, min(high, 7800)], "band", fs=RATE_HZ, output="sos")
    return np.asarray(signal.sosfilt(sos, noise))


def banded(random: np.random.Generator) -> np.ndarray:
    """Maker A: shaped bursts of band-passed noise, 1-5 strokes a second, forth or forth and back."""
    seconds = float(random.uniform(2, 10))
    made = np.zeros(int(seconds * RATE_HZ))
    rhythm = float(random.uniform(1.2, 5))
    duty = float(random.uniform(0.45, 0.95))
    low, high = float(random.uniform(300, 2500)), float(random.uniform(3500, 7800))
    back = float(random.choice([0, 0.4, 0.9]))
    at, count = 0.0, 0
    while at < seconds - 0.1:
        length = duty / rhythm * random.uniform(0.8, 1.2)
        size = int(length * RATE_HZ)
        noise = random.normal(0, 1, size)
        shape = np.sin(np.pi * np.linspace(0, 1, size) ** random.uniform(0.5, 1.5)) ** random.uniform(0.4, 1.2)
        gain = back if count % 2 else 1.0
        one = _band(random, noise, low, high) * shape * gain * random.uniform(0.6, 1.2)
        start = int(at * RATE_HZ)
        made[start : start + size] += one[: made.size - start]
        at += random.uniform(0.9, 1.1) / rhythm
        count += 1
    return (made / np.abs(made).max()).astype(np.float32)


def grains(random: np.random.Generator) -> np.ndarray:
    """Maker B: thousands of tiny impacts on a small resonant body; the density follows the hand's speed."""
    seconds = float(random.uniform(2, 9))
    size = int(seconds * RATE_HZ)
    time = np.arange(size) / RATE_HZ
    rhythm = float(random.uniform(0.8, 3.5))
    speed = np.abs(np.sin(np.pi * rhythm * time + 0.2 * np.sin(2 * np.pi * 0.3 * time)))
    if random.random() < 0.4:
        speed = speed * (np.sin(np.pi * rhythm * time) > 0)
    density = float(random.uniform(600, 5000))
    hits = random.random(size) < density * speed / RATE_HZ
    made = np.where(hits, random.exponential(1, size) * random.choice([-1, 1], size), 0.0) * speed**0.5
    body = np.zeros(size)
    for _ in range(4):
        centre = float(random.uniform(800, 6800))
        b, a = signal.iirpeak(centre, random.uniform(1.5, 6), fs=RATE_HZ)
        body += random.uniform(0.3, 1) * signal.lfilter(b, a, made)
    made = body + 0.15 * made
    return (made / np.abs(made).max()).astype(np.float32)


def coloured(random: np.random.Generator) -> np.ndarray:
    """Maker C: coloured noise whose corner follows a saw-tooth hand, with pauses to look; sanding is near even."""
    seconds = float(random.uniform(2, 10))
    size = int(seconds * RATE_HZ)
    spectrum = np.fft.rfft(random.normal(0, 1, size))
    freq = np.fft.rfftfreq(size, 1 / RATE_HZ) + 1
    noise = np.fft.irfft(spectrum * freq ** float(random.uniform(-0.6, 0.6)), size)
    noise = signal.sosfilt(signal.butter(2, random.uniform(250, 1200), "high", fs=RATE_HZ, output="sos"), noise)
    time = np.arange(size) / RATE_HZ
    rhythm = float(random.uniform(1, 4))
    floor = float(random.choice([0.02, 0.1, 0.4]))
    saw = floor + (1 - floor) * (1 - np.mod(time * rhythm, 1)) ** random.uniform(0.5, 2)
    bright = signal.sosfilt(signal.butter(2, 3000, "high", fs=RATE_HZ, output="sos"), noise)
    made = noise * saw + bright * saw**2
    if random.random() < 0.3:  # the edge sings a little
        made = made + 0.1 * np.abs(made).max() * np.sin(2 * np.pi * random.uniform(2500, 5000) * time) * saw**2
    return (made / np.abs(made).max()).astype(np.float32)


def stick_slip(random: np.random.Generator) -> np.ndarray:
    """Maker D: an edge that sticks and slips at uneven moments, each slip ringing the cane for a millisecond."""
    seconds = float(random.uniform(2, 9))
    size = int(seconds * RATE_HZ)
    made = np.zeros(size)
    at = 0.0
    rhythm = float(random.uniform(0.9, 4))
    slips_hz = float(random.uniform(300, 1500))
    rest = float(random.choice([0.0, 0.25, 0.5]))
    while at < size - 1:
        where = np.mod(at / RATE_HZ * rhythm, 1)
        speed = max(np.sin(np.pi * np.clip((where - rest) / (1 - rest), 0, 1)), 0.0)
        if speed > 0.08:
            made[int(at)] += random.normal() * speed
        at += RATE_HZ / slips_hz * random.gamma(1.2) / max(speed, 0.15)
    ring = np.zeros(300)
    time = np.arange(300) / RATE_HZ
    for _ in range(6):
        decay = float(random.uniform(0.0004, 0.003))
        ring += random.normal() * np.exp(-time / decay) * np.sin(2 * np.pi * random.uniform(700, 7500) * time)
    made = signal.fftconvolve(made, ring)[:size]
    return (made / np.abs(made).max()).astype(np.float32)
