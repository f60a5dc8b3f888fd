"""Maker G, made when the points of crows and notes had been fitted to A-F.

Bent phases, blades that hit each other, a tip drawn over a rough face.
"""

from __future__ import annotations

import numpy as np
import soxr
from scipy import signal

from tests.bench.makers import bores, talk

RATE_HZ = 16_000


def _even(made: np.ndarray) -> np.ndarray:
    return (made / np.abs(made).max()).astype(np.float32)


def bent(random: np.random.Generator) -> np.ndarray:
    """Notes by phase distortion: a cosine read too fast and then too slowly, through a body."""
    notes = bores.player(random)
    size = int((notes[-1][0] + notes[-1][1] + 0.1) * RATE_HZ)
    time = np.arange(size) / RATE_HZ
    hz, loud = np.full(size, notes[0][2]), np.zeros(size)
    rise, fall = float(random.uniform(0.01, 0.06)), float(random.uniform(0.02, 0.08))
    for start, length, pitch, strength in notes:
        first, last = int(start * RATE_HZ), min(size, int((start + length) * RATE_HZ))
        own = time[first:last] - start
        hz[first:] = pitch
        scoop = 1 - 0.02 * np.exp(-own / 0.03) * float(random.random() < 0.5)
        hz[first:last] *= scoop
        loud[first:last] = strength * np.clip(own / rise, 0, 1) * np.clip((length - own) / fall, 0, 1)
    wave = np.sin(2 * np.pi * np.cumsum(float(random.uniform(4, 6.5)) + 0.3 * random.normal(0, 1, size)) / RATE_HZ)
    shake = float(random.choice([0, 0, 0.15, 0.3]))
    hz = hz * 2 ** (float(random.choice([0, 5, 15])) * wave / 1200)
    phase = np.mod(np.cumsum(hz) / RATE_HZ, 1)
    knee = 0.5 - 0.42 * np.clip(loud * (1 + shake * wave), 0, 1) * float(random.uniform(0.6, 1))
    warped = np.where(phase < knee, 0.5 * phase / knee, 0.5 + 0.5 * (phase - knee) / (1 - knee))
    made = -np.cos(2 * np.pi * warped) * loud * (1 + shake * wave)
    made = signal.sosfilt(signal.butter(1, 50, "high", fs=RATE_HZ, output="sos"), made)
    made = np.diff(made, prepend=0) + 0.15 * made  # a reed's flow is brighter than the bend
    for centre in (random.uniform(380, 700), random.uniform(900, 1600), random.uniform(2200, 3500)):
        made = made + float(random.uniform(0.3, 1.5)) * signal.lfilter(*signal.iirpeak(centre, 3, fs=RATE_HZ), made)
    air = signal.sosfilt(signal.butter(1, [900, 5000], "band", fs=RATE_HZ, output="sos"), random.normal(0, 1, size))
    made = made / np.abs(made).max() + float(random.uniform(0.003, 0.03)) * air * loud
    kept = np.nonzero(loud > 0.02)[0]
    return _even(made[kept[0] : kept[-1] + 1])


def knocking(random: np.random.Generator) -> np.ndarray:
    """A crow: a blade pushed to and fro that knocks against the other one; by the push it rings evenly or rattles."""
    seconds = float(random.choice([random.uniform(0.3, 0.8), random.uniform(0.6, 2.0), random.uniform(1.5, 3.5)]))
    step_hz = 4 * RATE_HZ
    size = int(seconds * step_hz)
    drive = 2 * np.pi * float(random.uniform(300, 560))
    own = drive * float(random.uniform(0.35, 0.9))
    loss, bounce = float(random.uniform(0.02, 0.2)), float(random.uniform(0.3, 0.85))
    rest = float(random.uniform(-0.4, 0.6))  # below 0 the blade is held off its stop, above it is pressed on
    turn = (np.cumsum(drive * (1 + 0.004 * random.normal(0, 1, size // 640 + 2).repeat(640)[:size])) / step_hz).tolist()
    flap = 2 * np.pi * float(random.uniform(22, 95)) * np.arange(size) / step_hz
    depth = float(random.choice([0.0, random.uniform(0.2, 0.9), random.uniform(0.4, 1.0)]))
    push = (np.sin(turn) * (1 + depth * np.sin(flap))).tolist()
    place, speed, made = 0.5, 0.0, [0.0] * size
    dt = 1 / step_hz
    for i in range(size):
        speed += dt * (drive * drive * push[i] - own * own * (place + rest) - 2 * loss * own * speed)
        place += dt * speed
        if place < 0:
            place, speed = 0.0, -bounce * speed
        made[i] = place
    flow = np.minimum(np.asarray(made), np.percentile(made, 98))
    flow = signal.resample_poly(np.diff(flow, prepend=flow[0]), 1, 4)
    for centre in (random.uniform(700, 1500), random.uniform(2000, 4500)):
        flow = flow + float(random.uniform(0.3, 1.5)) * signal.lfilter(*signal.iirpeak(centre, 4, fs=RATE_HZ), flow)
    flow = signal.sosfilt(signal.butter(2, 180, "high", fs=RATE_HZ, output="sos"), flow)
    time = np.arange(flow.size) / RATE_HZ
    flow = flow * np.clip(time / random.uniform(0.01, 0.1), 0, 1) * np.clip((seconds - time) / 0.06, 0, 1)
    return _even(flow + 0.01 * np.abs(flow).max() * random.normal(0, 1, flow.size))


def drawn(random: np.random.Generator) -> np.ndarray:
    """Scraping: a tip drawn to and fro over one rough face; the faster it goes the higher and louder it hisses."""
    seconds = float(random.choice([random.uniform(0.7, 2), random.uniform(2, 8), random.uniform(6, 20)]))
    size = int(seconds * RATE_HZ)
    spectrum = np.fft.rfft(random.normal(0, 1, 1 << 16))
    spectrum *= (np.arange(spectrum.size) + 30.0) ** float(random.uniform(-0.5, 0.2))
    face = np.fft.irfft(spectrum)
    time = np.arange(size) / RATE_HZ
    rate = float(random.uniform(0.7, 4.5)) * (1 + 0.15 * np.sin(2 * np.pi * float(random.uniform(0.1, 0.4)) * time))
    turn = np.mod(np.cumsum(rate) / RATE_HZ, 1)
    there = float(random.uniform(0.35, 0.6))
    lifted = random.random() < 0.5  # the way back in the air
    going = np.where(turn < there, np.sin(np.pi * turn / there), -np.sin(np.pi * (turn - there) / (1 - there)))
    speed = np.where((going < 0) & lifted, 0, going) * float(random.uniform(0.6, 1.6))
    where = np.cumsum(speed)
    made = np.interp(np.mod(where, face.size - 1), np.arange(face.size), face) * np.abs(speed) ** 0.8
    made = np.diff(made, prepend=0) + 0.3 * made
    low = float(random.uniform(250, 1500))
    made = signal.sosfilt(signal.butter(1, low, "high", fs=RATE_HZ, output="sos"), made)
    centre = float(random.uniform(1500, 6000))
    made = made + float(random.uniform(0.3, 2)) * signal.lfilter(*signal.iirpeak(centre, 1.5, fs=RATE_HZ), made)
    return _even(made)


def larger(random: np.random.Generator) -> np.ndarray:
    """Talk of either engine, the speaker made larger or smaller by resampling."""
    spoken = talk.formant(random) if random.random() < 0.5 else talk.joined(random)
    return np.asarray(soxr.resample(spoken, RATE_HZ, RATE_HZ * float(random.uniform(0.9, 1.1))), dtype=np.float32)
