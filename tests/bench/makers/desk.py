"""The mixing desk: puts sounds in a row with known ends, adds a room, a background, a phone and a codec."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy import signal

from tests.bench.makers import reeds, strokes, tones, voices

RATE_HZ = 16_000
Maker = Callable[[np.random.Generator], np.ndarray]


@dataclass(frozen=True)
class Cast:
    """Who makes each kind of sound."""

    speech: Maker
    play: Maker
    crow: Maker
    scrape: Maker


@dataclass(frozen=True)
class Scene:
    """Samples (float32, mono, 16 kHz) and the truth: (start_ms, end_ms, kind) from 0 to the end without gaps."""

    samples: np.ndarray
    truth: tuple[tuple[int, int, str], ...]
    treatment: str


def level(samples: np.ndarray) -> float:
    """Root mean square of the sounding part (frames within 25 dB of the loudest)."""
    frames = samples[: samples.size // 320 * 320].reshape(-1, 320)
    power = (frames.astype(np.float64) ** 2).mean(axis=1)
    return float(np.sqrt(power[power > power.max() * 0.003].mean()))


def _take(cast: Cast, kind: str, random: np.random.Generator) -> np.ndarray:
    if kind == "speech":
        parts = [cast.speech(random) for _ in range(int(random.integers(1, 3)))]
        joined = parts[0]
        for part in parts[1:]:
            joined = np.concatenate([joined, np.zeros(int(random.uniform(0.15, 0.35) * RATE_HZ), np.float32), part])
        if random.random() < 0.2:  # talk over scraping
            under = cast.scrape(random)
            under = np.resize(under, joined.size) * level(joined) / level(under) * 10 ** (-random.uniform(6, 14) / 20)
            joined = joined + under
        return joined
    if kind == "crow":
        parts = []
        for _ in range(int(random.integers(1, 4))):
            parts += [cast.crow(random), np.zeros(int(random.uniform(0.08, 0.3) * RATE_HZ), np.float32)]
        return np.concatenate(parts[:-1])
    maker: Maker = getattr(cast, kind)
    return maker(random)


def _room(samples: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """A small room: decay 0.15-0.45 s, direct sound 8-16 dB over the tail."""
    decay = float(random.uniform(0.15, 0.45))
    tail = random.normal(0, 1, int(decay * RATE_HZ)) * 10 ** (-3 * np.linspace(0, 1, int(decay * RATE_HZ)))
    tail *= 10 ** (-random.uniform(8, 16) / 20) / np.sqrt((tail**2).sum())
    tail[0] += 1
    return np.asarray(signal.fftconvolve(samples, tail)[: samples.size])


def _background(kind: str, size: int, random: np.random.Generator) -> np.ndarray:
    """Unit-level room tone, fan or rain."""
    spectrum = np.fft.rfft(random.normal(0, 1, size))
    freq = np.fft.rfftfreq(size, 1 / RATE_HZ) + 20
    slope = {"room": -0.5, "fan": -0.9, "rain": float(random.uniform(-0.2, 0.1))}[kind]
    made = np.fft.irfft(spectrum * freq**slope, size)
    made /= made.std()
    time = np.arange(size) / RATE_HZ
    if kind == "fan":
        turn = float(random.uniform(90, 180))
        for k in range(1, 5):
            made += 0.5 / k * np.sin(2 * np.pi * k * turn * time + random.uniform(0, 6))
    if kind == "rain":
        drops = (random.random(size) < 25 / RATE_HZ) * random.exponential(6, size)
        made += signal.lfilter(*signal.iirpeak(2500, 3, fs=RATE_HZ), drops)
    return np.asarray(made / made.std())


def _gain_control(samples: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """A phone's automatic gain: fast down (20 ms), slow up (about 1 s), up to 18 dB more, soft limit."""
    step = RATE_HZ // 100
    frames = samples[: samples.size // step * step].reshape(-1, step)
    level = np.sqrt((frames**2).mean(axis=1)) + 1e-9
    slow = float(random.uniform(0.6, 2.0))
    held, gains = float(level.max()), np.empty(level.size)
    for i, now in enumerate(level):
        held += (now - held) * (0.4 if now > held else 0.01 / slow)
        gains[i] = min(0.12 / held, 8.0)
    gain = np.interp(np.arange(samples.size), np.arange(level.size) * step + step / 2, gains)
    return np.asarray(np.tanh(samples * gain))


def codec(samples: np.ndarray, name: str) -> np.ndarray:
    """Through an encoder and back, put back on its own clock."""
    form = {
        "mp3": ["-c:a", "libmp3lame", "-b:a", "48k", "-f", "mp3"],
        "aac": ["-c:a", "aac", "-b:a", "48k", "-f", "adts"],
        "aac 64": ["-ar", "44100", "-c:a", "aac", "-b:a", "64k", "-f", "adts"],
        "opus": ["-c:a", "libopus", "-b:a", "24k", "-f", "ogg"],
    }
    raw = ["-f", "f32le", "-ar", str(RATE_HZ), "-ac", "1"]
    head = ["ffmpeg", "-v", "error"]
    coded = subprocess.run(
        [*head, *raw, "-i", "-", *form[name], "-"], input=samples.astype(np.float32).tobytes(), check=True,
        capture_output=True,
    ).stdout  # fmt: skip
    back = subprocess.run([*head, "-i", "-", *raw, "-"], input=coded, check=True, capture_output=True).stdout
    made = np.frombuffer(back, dtype=np.float32)
    size = 1 << int(np.ceil(np.log2(made.size + samples.size)))
    likeness = np.fft.irfft(np.fft.rfft(made, size) * np.conj(np.fft.rfft(samples, size)), size)
    lag = int(np.argmax(likeness[:8000]))
    fitted = np.zeros(samples.size, np.float32)
    part = made[lag : lag + samples.size]
    fitted[: part.size] = part
    return fitted


TREATMENTS = ("plain", "room", "fan", "rain", "phone", "mp3", "aac", "silent gaps")


def _lay_out(
    cast: Cast, random: np.random.Generator, seconds: float
) -> tuple[np.ndarray, list[tuple[int, int, str]], list[float]]:
    """Sounds in an order a sitting could have, each at its own level, with quiet between most of them."""
    follows = {
        "speech": ("scrape", "crow", "play", "scrape"),
        "scrape": ("speech", "crow", "speech"),
        "crow": ("speech", "scrape", "play"),
        "play": ("speech", "crow", "scrape"),
    }
    kind = str(random.choice(["speech", "scrape", "crow", "play"]))
    parts: list[np.ndarray] = []
    truth: list[tuple[int, int, str]] = []
    now, levels = 0, []
    while now < seconds * RATE_HZ:
        if random.random() < 0.85 or not truth:
            gap = int(random.choice([random.uniform(0.5, 1.2), random.uniform(1, 5)]) * RATE_HZ)
            hush = np.zeros(gap)
            if random.random() < 0.25:  # something is put down
                click = random.normal(0, 1, 400) * np.exp(-np.arange(400) / 60) * 0.1
                at = int(random.integers(0, gap - 400))
                hush[at : at + 400] += click
            parts.append(hush)
            truth.append((now, now + gap, "quiet"))
            now += gap
        one = _take(cast, kind, random).astype(np.float64)
        wanted = 10 ** (random.uniform(*{"speech": (-30, -18), "scrape": (-38, -22)}.get(kind, (-26, -12))) / 20)
        one = one * wanted / level(one)
        levels.append(wanted)
        parts.append(one)
        truth.append((now, now + one.size, kind))
        now += one.size
        kind = str(random.choice(follows[kind]))
    return np.concatenate(parts), truth, levels


def scene(cast: Cast, seed: int, treatment: str, seconds: float = 60.0) -> Scene:
    """One recording of about ``seconds`` with the given treatment; fan and rain 20 dB below the middle level."""
    random = np.random.default_rng(seed)
    samples, cuts, levels = _lay_out(cast, random, seconds)
    if treatment in ("room", "phone", "mp3"):
        samples = _room(samples, random)
    floor = float(min(np.median(levels) * 0.1, min(levels) * 0.3))  # 20 dB, and never above what can be heard
    if treatment in ("fan", "rain"):
        samples = samples + floor * _background(treatment, samples.size, random)
    elif treatment != "silent gaps":
        samples = samples + min(floor, 10 ** (random.uniform(-70, -52) / 20)) * _background(
            "room", samples.size, random
        )
    if treatment == "phone":
        samples = _gain_control(samples, random)
    samples = (np.clip(samples, -1, 1) * 32767).round() / 32767
    if treatment in ("mp3", "aac"):
        samples = codec(samples, treatment)
    truth = tuple((round(a / 16), round(b / 16), kind) for a, b, kind in cuts)
    return Scene(samples.astype(np.float32), truth, treatment)


def _fluid(random: np.random.Generator) -> np.ndarray:
    return tones.from_set(random, "fluid", 11)


def _tim(random: np.random.Generator) -> np.ndarray:
    return tones.from_set(random, "pretty_midi", 12)


def cast_of(name: str, people: Path | None = None) -> Cast:
    """Maker A, B, C or D. C speaks with real people when their archive is given."""
    if name == "A":
        return Cast(voices.espeak, _fluid, reeds.modulated, strokes.banded)
    if name == "B":
        return Cast(voices.flite, tones.additive, reeds.pulsed, strokes.grains)
    if name == "D":
        return Cast(voices.klatt, tones.blown, reeds.coupled, strokes.stick_slip)
    if people is None:
        return Cast(voices.flite, _tim, reeds.beating, strokes.coloured)
    clips = voices.people(people)

    def read(random: np.random.Generator) -> np.ndarray:
        clip = clips[random.integers(len(clips))]
        size = min(clip.size, int(random.uniform(2.5, 9) * RATE_HZ))
        start = int(random.integers(0, clip.size - size + 1))
        return voices.trim(clip[start : start + size])

    return Cast(read, _tim, reeds.beating, strokes.coloured)
