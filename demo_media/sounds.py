"""Synthesised sounds of the bench: reed tones, crows, knife, file, paper, and the room.

Everything is 48 kHz mono, float64 in -1..1, and depends only on the random
generator that is handed in. Partials and formants are chosen by ear to suggest
the instrument; they are not measurements.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import signal

RATE_HZ = 48_000
Samples = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Made:
    """A sound, its level, and the strokes in it as (start, end) in seconds."""

    samples: Samples
    strokes: tuple[tuple[float, float], ...] = ()


def note_hz(midi: int, cents: float = 0.0) -> float:
    """Equal temperament, A4 = 440 Hz (ISO 16): 440 * 2**((midi - 69 + cents / 100) / 12)."""
    return float(440.0 * 2 ** ((midi - 69 + cents / 100) / 12))


def _time(seconds: float) -> Samples:
    return np.arange(round(seconds * RATE_HZ)) / RATE_HZ


def _ends(count: int, attack_s: float, release_s: float) -> Samples:
    shape = np.ones(count)
    rise, fall = round(attack_s * RATE_HZ), round(release_s * RATE_HZ)
    shape[:rise] = np.sin(np.linspace(0, np.pi / 2, rise)) ** 2
    shape[-fall:] *= np.cos(np.linspace(0, np.pi / 2, fall)) ** 2
    return shape


def _band(noise: Samples, low_hz: float, high_hz: float) -> Samples:
    sos = signal.butter(2, [low_hz, high_hz], "bandpass", fs=RATE_HZ, output="sos")
    return np.asarray(signal.sosfilt(sos, noise))


def _slow(rng: np.random.Generator, count: int, cut_hz: float) -> Samples:
    """A slow random wander of unit deviation, for what no player holds quite still."""
    few = rng.standard_normal(max(4, int(count / RATE_HZ * cut_hz * 2) + 4))
    wander = np.interp(np.linspace(0, few.size - 1, count), np.arange(few.size), few)
    return np.asarray(wander / max(wander.std(), 1e-9))


FORMANTS = {  # (centre Hz, width Hz, gain)
    "bassoon": ((480.0, 220.0, 1.0), (1150.0, 320.0, 0.35), (2400.0, 700.0, 0.08)),
    "oboe": ((1050.0, 420.0, 1.0), (2900.0, 700.0, 0.4), (4600.0, 900.0, 0.1)),
}


def tone(rng: np.random.Generator, instrument: str, midi: int, cents: float, sag_cents: float, seconds: float) -> Made:
    """A held note. Its middle third lies at ``cents``; it drifts by ``sag_cents`` from first to last third."""
    time = _time(seconds)
    where = time / seconds
    # Thirds have their middles at 1/6 and 5/6: a line through both, so first-to-last-third is the sag.
    drift = cents + sag_cents * (where - 0.5) * 1.5
    drift = drift + 0.8 * _slow(rng, time.size, 3.0) - 25 * np.exp(-time / 0.02)
    hz = note_hz(midi) * 2 ** (drift / 1200)
    phase = 2 * np.pi * np.cumsum(hz) / RATE_HZ
    base = note_hz(midi)
    out = np.zeros_like(time)
    swell = 1 + 0.04 * _slow(rng, time.size, 4.0)
    for number in range(1, int(9000 / base)):
        at = number * base
        gain = sum(g * np.exp(-(((at - centre) / width) ** 2)) for centre, width, g in FORMANTS[instrument])
        gain += 0.25 / number**1.3
        # High partials come in a little later, as they do on a reed.
        rise = 1 - np.exp(-time / (0.008 + 0.003 * number))
        out += gain * rise * np.sin(number * phase + rng.uniform(0, 2 * np.pi))
    breath = _band(rng.standard_normal(time.size), 900, 5000) * 0.012 * np.abs(out).max()
    out = (out * swell + breath) * _ends(time.size, 0.035, 0.09)
    return Made(out / np.sqrt(np.mean(out**2)) * 0.085)


CROWS = {
    # partials (Hz, gain), roughness rate in Hz, depth 0..1, noise
    # A tight crow is high; a second pitch a semitone above beats with it, else it would be a held A.
    "bassoon_crow_tight": (
        ((452.0, 1.0), (488.0, 0.3), (905.0, 0.6), (941.0, 0.18), (1360.0, 0.32), (1812.0, 0.18)),
        36.0,
        0.12,
        0.06,
    ),
    "bassoon_crow_middle": (
        ((398.0, 1.0), (797.0, 0.6), (594.0, 0.22), (1196.0, 0.3), (1590.0, 0.15)),
        58.0,
        0.4,
        0.06,
    ),
    "bassoon_crow_double": (
        ((349.0, 1.0), (698.0, 0.65), (262.0, 0.55), (524.0, 0.45), (1047.0, 0.32), (175.0, 0.4), (1396.0, 0.2)),
        43.5,
        0.7,
        0.09,
    ),
    "oboe_crow_low": (((494.0, 0.5), (988.0, 1.0), (1481.0, 0.25), (1976.0, 0.3)), 64.0, 0.3, 0.05),
    "oboe_crow_octaves": (((523.3, 0.8), (1046.5, 1.0), (2093.0, 0.5), (1569.8, 0.25), (261.6, 0.2)), 37.0, 0.55, 0.07),
}


def crow(rng: np.random.Generator, recipe: str, seconds: float) -> Made:
    """A reed blown alone: several partials at once, roughened by amplitude modulation."""
    partials, rate, depth, hiss = CROWS[recipe]
    time = _time(seconds)
    wobble = 2 ** ((5 * _slow(rng, time.size, 6.0)) / 1200)
    beat_phase = 2 * np.pi * np.cumsum(rate * (1 + 0.01 * _slow(rng, time.size, 5.0))) / RATE_HZ
    beat = 1 - depth * (0.5 + 0.5 * np.cos(beat_phase))
    out = np.zeros_like(time)
    for hz, gain in partials:
        phase = 2 * np.pi * np.cumsum(hz * wobble) / RATE_HZ + rng.uniform(0, 2 * np.pi)
        out += gain * np.sin(phase) + 0.35 * gain * np.sin(2 * phase) + 0.15 * gain * np.sin(3 * phase)
    out = out * beat * (1 + 0.06 * _slow(rng, time.size, 7.0))
    out += hiss * out.std() * 4 * _band(rng.standard_normal(time.size), 1200, 7000) * beat
    out *= _ends(time.size, 0.05, 0.12)
    return Made(out / np.sqrt(np.mean(out**2)) * 0.09)


TOOLS = {  # band Hz, grain Hz (how coarse the noise is), share of the period in which it sounds, level
    "knife": ((1800.0, 8500.0), 900.0, 0.62, 0.040),
    "file": ((2600.0, 11000.0), 420.0, 0.6, 0.034),
    "sand": ((600.0, 5200.0), 1600.0, 0.72, 0.034),
}


def strokes(rng: np.random.Generator, tool: str, count: int, seconds: float) -> Made:
    """``count`` strokes with the unevenness of a hand, spread over the length."""
    band, grain_hz, share, level = TOOLS[tool]
    out = np.zeros(round(seconds * RATE_HZ))
    period = seconds / count
    places = []
    for number in range(count):
        start = number * period + (0.0 if number == 0 else rng.uniform(-0.04, 0.04) * period)
        length = period * share * rng.uniform(0.88, 1.1)
        if number == count - 1:
            length = seconds - start
        first, size = round(start * RATE_HZ), round(length * RATE_HZ)
        size = min(size, out.size - first)
        noise = _band(rng.standard_normal(size), *band)
        grain = np.abs(_band(rng.standard_normal(size), grain_hz * 0.6, grain_hz * 1.4))
        noise *= 0.45 + 0.55 * grain / max(grain.mean(), 1e-9) * 0.6
        bow = np.sin(np.linspace(0, np.pi, size)) ** 0.6
        if tool == "sand":
            bow *= 0.8 + 0.2 * np.sin(np.linspace(0, 4 * np.pi, size))
        out[first : first + size] += noise / max(noise.std(), 1e-9) * bow * rng.uniform(0.75, 1.1)
        places.append((start, start + length))
    return Made(out * level, tuple(places))


def small(rng: np.random.Generator, recipe: str, seconds: float) -> Made:
    """Faint clicks of the bench in a pause: ``ticks`` of pliers, one ``snip`` of the cutter."""
    out = np.zeros(round(seconds * RATE_HZ))
    spots = {"ticks": (0.35, 0.9, 1.4), "snip": (0.55,), "": ()}[recipe]
    for spot in spots:
        click = rng.standard_normal(1200) * np.exp(-np.arange(1200) / 160)
        click = _band(click, 1500, 6000)
        first = round(spot * seconds / 1.8 * RATE_HZ) if recipe == "ticks" else round(spot * RATE_HZ)
        out[first : first + 1200] += click / np.abs(click).max() * (0.05 if recipe == "snip" else 0.02)
    return Made(out)


def make(rng: np.random.Generator, kind: str, recipe: str, seconds: float) -> Made:
    """The sound that a beat names."""
    name, _, rest = recipe.partition(":")
    if kind == "play":
        midi, cents, sag = (int(part) for part in rest.split(":"))
        return tone(rng, name, midi, cents, sag, seconds)
    if kind == "crow":
        return crow(rng, name, seconds)
    if kind == "scrape":
        return strokes(rng, name, int(rest), seconds)
    return small(rng, name, seconds)


def in_room(rng: np.random.Generator, dry: Samples) -> Samples:
    """The sound with a small room around it and the floor of noise of that room (about -62 dBFS)."""
    tail = round(0.16 * RATE_HZ)
    echo = rng.standard_normal(tail) * np.exp(-np.arange(tail) / (0.035 * RATE_HZ))
    echo = _band(echo, 200, 5000)
    echo[: round(0.004 * RATE_HZ)] = 0
    wet = signal.fftconvolve(dry, echo / np.sqrt(np.sum(echo**2)) * 0.16)[: dry.size]
    noise = rng.standard_normal(dry.size)
    pink = signal.lfilter([0.05, -0.0955, 0.0506, -0.0044], [1, -2.4949, 2.0172, -0.5222], noise)
    pink = pink / pink.std() * 7e-4
    time = np.arange(dry.size) / RATE_HZ
    hum = 1.2e-4 * np.sin(2 * np.pi * 100 * time)
    return np.asarray(np.clip(dry + wet + pink + hum, -0.98, 0.98))
