"""Crows of a reed blown alone, by three unlike methods (mono float32, 16 kHz)."""

from __future__ import annotations

import numpy as np
from scipy import signal

RATE_HZ = 16_000


def _swell(random: np.random.Generator, made: np.ndarray) -> np.ndarray:
    time = np.arange(made.size) / RATE_HZ
    length = made.size / RATE_HZ
    rise, fall = random.uniform(0.01, 0.12), random.uniform(0.03, 0.2)
    shape = np.clip(time / rise, 0, 1) * np.clip((length - time) / fall, 0, 1)
    shape = shape * (1 + 0.2 * np.sin(2 * np.pi * random.uniform(0.3, 1.5) * time))
    return (made * shape / np.abs(made).max()).astype(np.float32)


def _glide(random: np.random.Generator, size: int, hz: float, cents: float) -> np.ndarray:
    knots = random.normal(0, cents, 6)
    bend = np.interp(np.linspace(0, 5, size), np.arange(6), knots)
    return 2 * np.pi * np.cumsum(hz * 2 ** (bend / 1200)) / RATE_HZ


def known_partials(
    random: np.random.Generator, hz: float, seconds: float, rate_hz: float, depth: float, stretch: float = 0.0
) -> np.ndarray:
    """Partials ``k hz (1 + stretch k)`` under one amplitude modulation of known rate and depth (0..1)."""
    size = int(seconds * RATE_HZ)
    time = np.arange(size) / RATE_HZ
    base = _glide(random, size, hz, 12)
    made = np.zeros(size)
    for k in range(1, int(6000 / hz)):
        ratio = k * (1 + stretch * k * float(random.uniform(-1, 1)))
        made += np.exp(-0.35 * k) * random.uniform(0.5, 1.5) * np.sin(ratio * base + random.uniform(0, 6))
    return np.asarray(made * (1 + depth * np.sin(2 * np.pi * rate_hz * time)))


def modulated(random: np.random.Generator) -> np.ndarray:
    """Maker A: modulated partials 350-600 Hz, some inharmonic, some octaves; one in four a bare peep."""
    seconds = float(random.uniform(0.4, 2.2))
    hz = float(random.uniform(340, 600))
    if random.random() < 0.25:
        made = known_partials(random, hz, seconds, 30, 0.0)
        return _swell(random, made + 0.01 * random.normal(0, 1, made.size))
    made = known_partials(
        random, hz, seconds, float(random.uniform(20, 120)), float(random.uniform(0.3, 0.95)), random.uniform(0, 0.03)
    )
    if random.random() < 0.4:  # a second pitch joins on more air
        other = known_partials(random, hz * float(random.uniform(0.55, 0.95)), seconds, 40, 0.4)
        made = made + other * np.clip(np.linspace(-0.3, 1.2, made.size), 0, 1)
    return _swell(random, made + 0.02 * np.abs(made).max() * random.normal(0, 1, made.size))


def pulsed(random: np.random.Generator) -> np.ndarray:
    """Maker B: puffs of air through a closing slit, uneven in time and strength, with every n-th one missed."""
    seconds = float(random.uniform(0.4, 2.5))
    size = int(seconds * RATE_HZ)
    hz = float(random.uniform(300, 560))
    is_peep = random.random() < 0.25
    jitter, shimmer = (0.002, 0.03) if is_peep else (float(random.uniform(0.01, 0.05)), float(random.uniform(0.2, 0.6)))
    skip = 0 if is_peep else int(random.choice([0, 4, 5, 7, 9, 12]))
    made = np.zeros(size)
    at, count = 0.0, 0
    while at < size - 1:
        strength = 1 + shimmer * random.normal()
        if skip and count % skip == 0:
            strength *= 0.2
        whole, part = int(at), at - int(at)
        made[whole] += strength * (1 - part)
        made[whole + 1] += strength * part
        at += RATE_HZ / hz * (1 + jitter * random.normal())
        count += 1
    for centre, width in ((hz, 120), (random.uniform(1000, 1800), 300), (random.uniform(2300, 3400), 500)):
        b, a = signal.iirpeak(min(centre, 7000), centre / width, fs=RATE_HZ)
        made = made * 0.4 + signal.lfilter(b, a, made)
    sos = signal.butter(2, 150, "high", fs=RATE_HZ, output="sos")
    made = signal.sosfilt(sos, made)
    return _swell(random, made + 0.01 * np.abs(made).max() * random.normal(0, 1, size))


def beating(random: np.random.Generator) -> np.ndarray:
    """Maker C: frequency-modulated oscillators that beat, in octaves for oboe crows; one in four a single pitch."""
    seconds = float(random.uniform(0.5, 2.0))
    size = int(seconds * RATE_HZ)
    is_oboe = random.random() < 0.35
    hz = float(random.uniform(490, 540)) if is_oboe else float(random.uniform(330, 480))
    base = _glide(random, size, hz, 15)
    made = np.sin(base + 1.2 * np.sin(base))
    if random.random() < 0.25:
        return _swell(random, made + 0.008 * random.normal(0, 1, size))
    off = float(random.uniform(22, 100))
    index = float(random.uniform(0.4, 1.5))
    made = np.sin(base + index * np.sin(base * off / hz) + 0.8 * np.sin(2 * base + 0.5))
    second = _glide(random, size, hz + off, 20)
    made = made + random.uniform(0.3, 0.9) * np.sin(second + 0.9 * np.sin(second))
    if is_oboe:
        for ratio, gain in ((0.5, random.uniform(0, 0.8)), (2.0, random.uniform(0.2, 0.7))):
            third = _glide(random, size, hz * ratio, 20)
            made = made + gain * np.sin(third)
    return _swell(random, np.tanh(1.5 * made) + 0.02 * random.normal(0, 1, size))


def coupled(random: np.random.Generator) -> np.ndarray:
    """Maker D: two self-sustained oscillators (van der Pol), the two blades, that pull at each other.

    Weakly coupled they beat, strongly coupled they lock to one pitch: a peep.
    """
    seconds = float(random.uniform(0.5, 2.0))
    step_hz = 4 * RATE_HZ
    size = int(seconds * step_hz)
    hz = float(random.uniform(320, 540))
    is_peep = random.random() < 0.25
    apart = 0.01 if is_peep else float(random.uniform(0.06, 0.22))
    pull = 0.4 if is_peep else float(random.uniform(0.02, 0.08))
    if is_peep:  # locked blades move against each other, which the pull makes faster
        hz /= np.sqrt(1 + 2 * pull)
    bite = float(random.uniform(0.3, 1.5))
    breath = random.normal(0, 0.02, size)
    w1, w2 = 2 * np.pi * hz, 2 * np.pi * hz * (1 + apart)
    dt = 1 / step_hz
    x1, v1, x2, v2 = 0.1, 0.0, -0.05, 0.0
    made = np.empty(size)
    for i in range(size):
        a1 = bite * (1 - x1 * x1) * w1 * v1 - w1 * w1 * (x1 + pull * (x1 - x2) + breath[i])
        a2 = bite * (1 - x2 * x2) * w2 * v2 - w2 * w2 * (x2 + pull * (x2 - x1))
        v1 += a1 * dt
        x1 += v1 * dt
        v2 += a2 * dt
        x2 += v2 * dt
        made[i] = x1 + x2 + 0.3 * x1 * x2
    made = signal.resample_poly(made - made.mean(), 1, 4)
    return _swell(random, made + 0.01 * random.normal(0, 1, made.size))
