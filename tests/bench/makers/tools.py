"""Knife, file, stone, gouge and paper of makers E and F, and small sounds of a room where nobody works."""

from __future__ import annotations

import numpy as np
from scipy import signal

RATE_HZ = 16_000


def _timbre(random: np.random.Generator, noise: np.ndarray, low_hz: float, high_hz: float, peaks: int) -> np.ndarray:
    """Noise through a few broad resonances inside a band: cane, blade and table."""
    made = signal.sosfilt(signal.butter(1, [low_hz, high_hz], "band", fs=RATE_HZ, output="sos"), noise)
    for _ in range(peaks):
        centre = float(np.exp(random.uniform(np.log(low_hz), np.log(high_hz))))
        sharp = float(random.uniform(1, 6))
        made = made + float(random.uniform(0.3, 1.5)) * signal.lfilter(*signal.iirpeak(centre, sharp, fs=RATE_HZ), made)
    return np.asarray(made)


def _click(random: np.random.Generator, size: int, decay_s: float) -> np.ndarray:
    time = np.arange(size) / RATE_HZ
    tone = np.sin(2 * np.pi * float(random.uniform(250, 4500)) * time)
    return np.asarray((random.normal(0, 1, size) * 0.5 + tone) * np.exp(-time / decay_s))


_TOOLS = {  # strokes a second, share of the time on the cane, low Hz, high Hz, teeth a second at full speed
    "knife": ((1.5, 5.0), (0.35, 0.7), (700, 2500), (5000, 7600), (0, 0)),
    "file": ((1.5, 6.0), (0.6, 0.95), (400, 1500), (4500, 7600), (250, 900)),
    "paper": ((2.0, 8.0), (0.8, 1.0), (500, 2000), (4000, 7600), (0, 0)),
    "stone": ((0.6, 1.5), (0.6, 0.85), (1200, 3000), (6000, 7700), (0, 0)),
    "gouge": ((0.5, 1.2), (0.5, 0.8), (200, 500), (2500, 5000), (0, 0)),
}


def tool(random: np.random.Generator) -> np.ndarray:
    """Maker E: strokes of one of five tools at a varied rate, with clicks of handling between some of them."""
    rates, shares, lows, highs, teeth = _TOOLS[str(random.choice(list(_TOOLS)))]
    rate, share = float(random.uniform(*rates)), float(random.uniform(*shares))
    seconds = float(random.choice([random.uniform(0.6, 2), random.uniform(2, 8), random.uniform(6, 22)]))
    low, high, toothed = (float(random.uniform(*pair)) for pair in (lows, highs, teeth))
    parts, now = [], 0.0
    back = float(random.choice([0.0, 0.0, 0.5, 0.9]))
    drift = 1.0
    count = 0
    while now < seconds or count < 1:
        drift = float(np.clip(drift * np.exp(random.normal(0, 0.08)), 0.7, 1.4))
        size = int(share / rate * drift * RATE_HZ)
        place = np.linspace(0, 1, size)
        speed = np.sin(np.pi * place ** float(random.uniform(0.6, 1.6))) ** float(random.uniform(0.3, 0.9))
        noise = random.normal(0, 1, size) * speed
        if toothed:
            noise = noise * (1 + 0.8 * np.sin(2 * np.pi * np.cumsum(toothed * speed) / RATE_HZ))
        gain = float(random.uniform(0.5, 1.2)) * (back if back and count % 2 else 1.0)
        parts.append(noise * gain)
        gap = np.zeros(int((1 - share) / rate * drift * RATE_HZ))
        if gap.size > 800 and random.random() < 0.15:
            at = int(random.integers(0, gap.size - 400))
            gap[at : at + 400] = 0.6 * _click(random, 400, 0.003)
        parts.append(gap)
        now += (size + gap.size) / RATE_HZ
        count += 1
    made = np.concatenate(parts[:-1])
    made = _timbre(random, made, low, high, int(random.integers(1, 5)))
    if low > 1200 and random.random() < 0.5:  # a blade that rings on the stone
        made = made + 0.4 * signal.lfilter(*signal.iirpeak(float(random.uniform(2500, 6500)), 30, fs=RATE_HZ), made)
    return (made / np.abs(made).max()).astype(np.float32)


def painted(random: np.random.Generator) -> np.ndarray:
    """Maker F: strokes painted in time and frequency; each is a patch that slides, of grains with random phase."""
    seconds = float(random.choice([random.uniform(0.5, 1.5), random.uniform(2, 7), random.uniform(5, 16)]))
    step, width = 64, 256
    frames = int(seconds * RATE_HZ / step) + 4
    rate = float(random.uniform(0.8, 6))
    duty, still = float(random.uniform(0.4, 1.0)), float(random.choice([0, 0, 0.05, 0.3]))
    centre, spread = float(random.uniform(1500, 5500)), float(random.uniform(0.5, 1.4))
    slide, skew = float(random.uniform(-0.6, 0.6)), float(random.uniform(0.3, 2.5))
    roll = np.cumsum(np.exp(random.normal(0, 0.1, frames))) * rate * step / RATE_HZ
    where = np.mod(roll, 1) / duty
    speed = np.where(where < 1, np.sin(np.pi * np.clip(where, 0, 1) ** skew) ** 0.7, 0) + still
    speed = speed * np.where(np.mod(roll, 2) < 1, 1.0, float(random.choice([1.0, 0.6])))
    freq = np.fft.rfftfreq(width, 1 / RATE_HZ) + 40
    heart = centre * 2 ** (slide * (np.clip(where, 0, 1) - 0.5))
    patch = np.exp(-0.5 * (np.log2(freq[None] / heart[:, None]) / spread) ** 2) * speed[:, None]
    grain = random.gamma(0.7, 1, patch.shape) * np.exp(2j * np.pi * random.random(patch.shape))
    window = signal.windows.hann(width, sym=False)
    made = np.zeros(frames * step + width)
    for i, piece in enumerate(np.fft.irfft(patch * grain, axis=1) * window):
        made[i * step : i * step + width] += piece
    made = made[: int(seconds * RATE_HZ)]
    loud = np.nonzero(np.abs(made) > 0.03 * np.abs(made).max())[0]
    made = made[loud[0] : loud[-1] + 1]
    return (made / np.abs(made).max()).astype(np.float32)


def stillness(random: np.random.Generator, size: int) -> np.ndarray:
    """Nobody works: nothing at all, or a tick, taps, a creak of the chair, water in a cup (peak at most 1)."""
    made = np.zeros(size)
    kind = str(random.choice(["none", "none", "clock", "taps", "creak", "water", "put down"]))
    if size < 6000 or kind == "none":
        return made
    if kind == "clock":
        tick = 0.15 * _click(random, 200, 0.001)
        for at in range(int(random.integers(0, 4000)), size - 200, RATE_HZ // int(random.choice([1, 2]))):
            made[at : at + 200] += tick
    elif kind in ("taps", "put down"):
        at = int(random.integers(0, size - 5000))
        for _ in range(1 if kind == "put down" else int(random.integers(2, 5))):
            if at < size - 800:
                made[at : at + 800] += float(random.uniform(0.4, 1)) * _click(random, 800, 0.006)
            at += int(float(random.uniform(0.12, 0.4)) * RATE_HZ)
    elif kind == "creak":
        long = int(float(random.uniform(0.15, 0.35)) * RATE_HZ)
        at = int(random.integers(0, size - long))
        slips = np.mod(np.cumsum(np.linspace(*random.uniform(25, 90, 2), long)) / RATE_HZ, 1)
        creak = np.diff((slips < 0.5).astype(float), prepend=0) * np.sin(np.pi * np.linspace(0, 1, long))
        made[at : at + long] += signal.lfilter(*signal.iirpeak(float(random.uniform(300, 900)), 4, fs=RATE_HZ), creak)
    else:
        bubbles = np.zeros(size)
        for at in np.nonzero(random.random(size - 700) < 20 / RATE_HZ)[0]:
            time = np.arange(700) / RATE_HZ
            hz = float(random.uniform(500, 2200))
            bubbles[at : at + 700] += np.sin(2 * np.pi * (hz * time + hz * 4 * time**2)) * np.exp(-time / 0.008)
        made += 0.3 * bubbles
    top = float(np.abs(made).max())
    return made / max(top, 1.0)
