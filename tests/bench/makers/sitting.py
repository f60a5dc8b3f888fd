"""Sittings of makers E, F, G and H: long and short stretches that often touch, small noises in the quiet, far phones.

Labels follow the desk: pauses up to 0.35 s inside talk and 0.3 s between
crows belong to them, as do the pauses between strokes and between detached
notes; talk over scraping is speech; ticks, taps, creaks, water and what the
room adds after a sound are quiet.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import signal

from tests.bench.makers import blades, bores, delays, desk, others, talk, tools, wet_tones

RATE_HZ = 16_000
TREATMENTS = ("near", "small room", "far", "fan", "rain", "phone", "aac 64", "opus", "street")


@dataclass(frozen=True)
class Manner:
    """How a maker of sittings works: its cast and the share of sounds that follow without a pause."""

    cast: desk.Cast
    touching: float


def manner_of(name: str) -> Manner:
    """Maker E, F, G or H."""
    if name == "E":
        return Manner(desk.Cast(talk.formant, bores.either, blades.several, tools.tool), 0.4)
    if name == "G":
        return Manner(desk.Cast(others.larger, others.bent, others.knocking, others.drawn), 0.2)
    if name == "H":
        return Manner(desk.Cast(delays.rebuilt, delays.shaped, delays.fed_back, delays.torn), 0.3)
    return Manner(desk.Cast(talk.joined, wet_tones.wet, blades.chaotic, tools.painted), 0.3)


def _stretch(manner: Manner, kind: str, random: np.random.Generator) -> np.ndarray:
    """One stretch of a kind, made of one or several pieces."""
    cast = manner.cast
    maker: desk.Maker = getattr(cast, kind)
    longest, pause = {"speech": (2, 0.3), "play": (1, 0.0), "crow": (4, 0.3), "scrape": (1, 0.0)}[kind]
    parts = [maker(random).astype(float)]
    for _ in range(int(random.integers(1, longest + 1)) - 1):
        parts += [np.zeros(int(float(random.uniform(0.06, pause)) * RATE_HZ)), maker(random).astype(float)]
    made = np.concatenate(parts)
    if kind == "speech" and random.random() < 0.3:
        under = np.concatenate([cast.scrape(random).astype(float) for _ in range(40)])
        while under.size < made.size:
            under = np.concatenate([under, under])
        below = 10 ** (-float(random.uniform(6, 16)) / 20)
        made = made + under[: made.size] * desk.level(made) / desk.level(under[: made.size]) * below
    if kind in ("scrape", "play", "speech"):
        made = made[: 40 * RATE_HZ]
    return made


def _rows(
    manner: Manner, random: np.random.Generator, seconds: float
) -> tuple[np.ndarray, list[tuple[int, int, str]], list[float]]:
    """Stretches in the order of work: scrape, look, try, say; with their ends and levels."""
    chances = {
        "speech": {"scrape": 0.55, "crow": 0.2, "play": 0.15, "speech": 0.1},
        "scrape": {"speech": 0.5, "crow": 0.3, "scrape": 0.2},
        "crow": {"speech": 0.4, "scrape": 0.3, "play": 0.3},
        "play": {"speech": 0.5, "scrape": 0.3, "crow": 0.2},
    }
    ranges = {"speech": (-32, -18), "scrape": (-40, -24), "crow": (-28, -10), "play": (-28, -10)}
    person = {kind: float(random.uniform(*span)) for kind, span in ranges.items()}
    kind = str(random.choice(list(chances)))
    parts: list[np.ndarray] = []
    truth: list[tuple[int, int, str]] = []
    levels: list[float] = []
    now = 0
    while now < seconds * RATE_HZ:
        repeats = bool(truth) and truth[-1][2] == kind
        if not truth or repeats or random.random() > manner.touching:
            size = int(float(random.choice([random.uniform(0.4, 1.0), random.uniform(0.7, 3), random.uniform(2, 12)],
                                           p=[0.45, 0.4, 0.15])) * RATE_HZ)  # fmt: skip
            parts.append(tools.stillness(random, size) * 10 ** (float(random.uniform(-44, -26)) / 20))
            truth.append((now, now + size, "quiet"))
            now += size
        one = _stretch(manner, kind, random)
        wanted = 10 ** (person[kind] / 20 + float(random.uniform(-4, 4)) / 20)
        parts.append(one * wanted / desk.level(one))
        levels.append(wanted)
        truth.append((now, now + one.size, kind))
        now += one.size
        kind = str(random.choice(list(chances[kind]), p=list(chances[kind].values())))
    return np.concatenate(parts), truth, levels


def _reverberated(samples: np.ndarray, random: np.random.Generator, decay_s: float, direct_db: float) -> np.ndarray:
    """Early reflections and a tail that darkens; the direct sound ``direct_db`` over both."""
    size = int(decay_s * RATE_HZ)
    tail = random.normal(0, 1, size) * 10 ** (-3 * np.linspace(0, 1, size))
    dull = signal.sosfilt(signal.butter(1, 2500, fs=RATE_HZ, output="sos"), tail)
    tail = tail * np.linspace(1, 0, size) + dull * np.linspace(0, 1, size)
    for _ in range(8):
        tail[int(random.integers(30, 500))] += float(random.choice([-1, 1])) * float(random.uniform(1, 4))
    tail *= 10 ** (-direct_db / 20) / np.sqrt((tail**2).sum())
    tail[0] = 1
    return np.asarray(signal.fftconvolve(samples, tail)[: samples.size])


def _noise(kind: str, size: int, random: np.random.Generator) -> np.ndarray:
    """Unit level: a fan with blades, rain on a roof, a street with cars, a room."""
    freq = np.fft.rfftfreq(size, 1 / RATE_HZ) + 15
    time = np.arange(size) / RATE_HZ
    white = np.fft.rfft(random.normal(0, 1, size))
    slope = {"fan": -0.7, "rain": -0.15, "street": -0.9, "room": -0.6}[kind] + float(random.uniform(-0.15, 0.15))
    made = np.fft.irfft(white * freq**slope, size)
    made /= made.std()
    if kind == "fan":
        turn = float(random.uniform(60, 240))
        made = made * (1 + 0.15 * np.sin(2 * np.pi * turn / 7 * time))
        made += sum(0.5 / k * np.sin(2 * np.pi * k * turn * time + float(random.uniform(0, 6))) for k in (1, 2, 3, 5))
    elif kind == "rain":
        for centre in (900, 2600, 5200):
            drops = (random.random(size) < 40 / RATE_HZ) * random.exponential(4, size)
            made += signal.lfilter(*signal.iirpeak(centre * float(random.uniform(0.8, 1.2)), 4, fs=RATE_HZ), drops)
    elif kind == "street":
        knots = np.arange(0, time[-1] + 10, 5)
        made = made * np.interp(time, knots, random.uniform(0.2, 1.6, knots.size))
    return np.asarray(made / made.std())


def _hand(samples: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """A phone's gain: down within 5 ms, up at 6-25 dB a second after a hold, up to 24 dB, hard limit."""
    step = RATE_HZ // 200
    frames = samples[: samples.size // step * step].reshape(-1, step)
    peaks = np.abs(frames).max(axis=1) + 1e-9
    up = 10 ** (float(random.uniform(6, 25)) / 200 / 20)
    gain, hold, gains = 1.0, 0, np.empty(peaks.size)
    for i, peak in enumerate(peaks):
        if gain * peak > 0.35:
            gain, hold = 0.35 / peak, 60
        elif hold:
            hold -= 1
        else:
            gain = min(gain * up, 16.0)
        gains[i] = gain
    made = samples * np.interp(np.arange(samples.size), np.arange(gains.size) * step, gains)
    return np.clip(made, -0.5, 0.5)


def scene(manner: Manner, seed: int, treatment: str, seconds: float = 60.0) -> desk.Scene:
    """One recording of about ``seconds`` with the given treatment; fan and rain 20 dB below the middle level."""
    random = np.random.default_rng(seed)
    samples, cuts, levels = _rows(manner, random, seconds)
    if treatment == "far":
        samples = _reverberated(samples, random, float(random.uniform(0.3, 0.5)), float(random.uniform(2, 6)))
    elif treatment != "near":
        samples = _reverberated(samples, random, float(random.uniform(0.12, 0.35)), float(random.uniform(6, 14)))
    floor = float(min(np.median(levels) * 0.1, min(levels) * 0.4))  # 20 dB, and never above what can be heard
    if treatment in ("fan", "rain"):
        samples = samples + floor * _noise(treatment, samples.size, random)
    elif treatment == "street":
        samples = samples + 0.6 * floor * _noise(treatment, samples.size, random)
    else:
        hush = min(0.5 * floor, 10 ** (float(random.uniform(-75, -55)) / 20))
        samples = samples + hush * _noise("room", samples.size, random)
    if treatment == "phone":
        samples = _hand(samples, random)
    samples = (np.clip(samples, -1, 1) * 32767).round() / 32767
    if treatment in ("aac 64", "opus"):
        samples = desk.codec(samples, treatment)
    truth = tuple((round(a / 16), round(b / 16), kind) for a, b, kind in cuts)
    return desk.Scene(samples.astype(np.float32), truth, treatment)
