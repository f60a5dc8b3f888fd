"""Crows of makers E and F: several reeds' pitches at once, double crows, rattles, peeps; a valve gone chaotic."""

from __future__ import annotations

import numpy as np
from scipy import signal

RATE_HZ = 16_000


def _breath(random: np.random.Generator, made: np.ndarray) -> np.ndarray:
    """Started by the breath or by the tongue, ended by either, unsteady between."""
    time = np.arange(made.size) / RATE_HZ
    left = made.size / RATE_HZ - time
    rise, fall = random.choice([0.006, 0.05, 0.15]), random.choice([0.02, 0.08, 0.2])
    knots = random.uniform(0.6, 1.0, max(3, int(made.size / RATE_HZ * 6)))
    sway = np.interp(np.linspace(0, knots.size - 1, made.size), np.arange(knots.size), knots)
    made = made * np.clip(time / rise, 0, 1) * np.clip(left / fall, 0, 1) * sway
    return (made / np.abs(made).max()).astype(np.float32)


def _pitch(random: np.random.Generator, size: int, hz: float, cents: float) -> np.ndarray:
    """Phase (turns) of a pitch that wanders a few times a second."""
    count = max(4, int(size / RATE_HZ * 8))
    bend = np.interp(np.linspace(0, count - 1, size), np.arange(count), random.normal(0, cents, count))
    return np.asarray(np.cumsum(hz * 2 ** (bend / 1200)) / RATE_HZ)


def _reed_wave(phase: np.ndarray, sharp: float) -> np.ndarray:
    """A wave of a closing reed: many partials, fewer the smaller ``sharp`` is (0..0.95)."""
    turn = 2 * np.pi * phase
    return np.asarray(np.sin(turn) / (1 - sharp * np.cos(turn)))


def several(random: np.random.Generator) -> np.ndarray:
    """Maker E: two to five reed waves that beat; or low and high in turn; or a rattle; or one short peep."""
    kind = str(random.choice(["many", "many", "double", "rattle", "peep"]))
    is_oboe = random.random() < 0.35
    hz = float(random.uniform(470, 560) if is_oboe else random.uniform(300, 500))
    size = int(float(random.uniform(0.3, 0.9) if kind == "peep" else random.uniform(0.5, 2.6)) * RATE_HZ)
    time = np.arange(size) / RATE_HZ
    sharp = float(random.uniform(0.4, 0.85))
    if kind == "peep":
        rising = (
            hz * float(random.uniform(1.0, 1.9)) * 2 ** (-float(random.uniform(0, 60)) / 1200 * np.exp(-time / 0.05))
        )
        made = _reed_wave(np.cumsum(rising) / RATE_HZ, sharp * 0.7)
        return _breath(random, made + 0.01 * random.normal(0, 1, size))
    if kind == "double":
        low, high = _reed_wave(_pitch(random, size, hz, 10), sharp), _reed_wave(_pitch(random, size, 2 * hz, 10), 0.4)
        turn = 0.5 + 0.5 * np.tanh(4 * np.sin(2 * np.pi * float(random.uniform(0.7, 3)) * time + random.uniform(0, 6)))
        flutter = 1 + float(random.uniform(0.3, 0.8)) * np.sin(2 * np.pi * float(random.uniform(18, 70)) * time)
        made = (low * turn + high * (1 - 0.7 * turn)) * flutter
    elif kind == "rattle":
        flap = np.mod(_pitch(random, size, float(random.uniform(25, 75)), 60), 1)
        made = _reed_wave(_pitch(random, size, hz, 25), sharp) * np.exp(-flap * float(random.uniform(1.5, 4)))
        made = made + 0.15 * random.normal(0, 1, size) * (flap < 0.2)
    else:
        made = _reed_wave(_pitch(random, size, hz, 12), sharp)
        for _ in range(int(random.integers(1, 5))):
            other = hz * float(random.choice([random.uniform(1.04, 1.35), random.uniform(0.5, 0.95), 2.0, 1.5]))
            joins = np.clip((time - float(random.uniform(-0.3, 0.4))) / 0.1, 0, 1)
            made = made + float(random.uniform(0.4, 0.9)) * joins * _reed_wave(_pitch(random, size, other, 15), sharp)
        made = np.tanh(made * float(random.uniform(0.4, 1.2)))  # blades that meet make sum and difference pitches
    made = made + 0.02 * np.abs(made).max() * random.normal(0, 1, size)
    return _breath(random, made)


def chaotic(random: np.random.Generator) -> np.ndarray:
    """Maker F: puffs whose strength and spacing follow a doubling map, from one pitch over many to a rattle."""
    size = int(float(random.uniform(0.35, 2.4)) * RATE_HZ)
    hz = float(random.uniform(310, 560))
    grow = float(random.choice([random.uniform(2.6, 2.95), random.uniform(3.2, 3.55), random.uniform(3.6, 3.95)]))
    shift = float(random.uniform(0.05, 0.3))
    state, at = 0.4, 3.0
    made = np.zeros(size)
    while at < size - 2:
        state = grow * state * (1 - state)
        whole, part = int(at), at - int(at)
        made[whole] += (0.2 + state) * (1 - part)
        made[whole + 1] += (0.2 + state) * part
        at += RATE_HZ / hz * (1 + (shift * (state - 0.6) if grow > 3 else 0.0) + 0.003 * random.normal())
    puff = signal.windows.hann(int(RATE_HZ / hz * float(random.uniform(0.25, 0.6))) + 3)
    made = np.diff(np.convolve(made, puff, "same"), prepend=0)
    for _ in range(3):
        centre = float(random.uniform(500, 5500))
        made = made + float(random.uniform(0.5, 2)) * signal.lfilter(*signal.iirpeak(centre, 4, fs=RATE_HZ), made)
    made = made + 0.01 * np.abs(made).max() * random.normal(0, 1, size)
    return _breath(random, made)
