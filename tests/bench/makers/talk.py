"""Talk of makers E and F: other sentences and voices, with breaths, hums and laughter between them."""

from __future__ import annotations

import subprocess
from functools import cache

import numpy as np
from scipy import signal

from tests.bench.makers import voices

RATE_HZ = 16_000

SENTENCES = (
    "Good morning, it is dry again today, forty percent at most.",
    "This is the cane from the second tube, the one with the long grain.",
    "I always start at the back, about twelve millimetres from the tip.",
    "Wait.",
    "See how the light comes through, there, and not there?",
    "Um, that was perhaps one stroke too many.",
    "Now I wet it again, for a minute or so, while I strop the knife.",
    "Yes.",
    "The second register speaks late, and the fork note is unstable.",
    "So we thin the sides first, then the corners, and leave the middle alone.",
    "Three. Four. Five. That is enough for now.",
    "My teacher used to say that the last stroke is the one you should not have made.",
    "Twenty six point five from the shoulder to the tip.",
    "Open it with the pliers, gently, until the gap is about one millimetre.",
    "Can you hear that it chatters when I blow harder?",
    "All right then.",
    "I will put it back in the box, and we shall see on Thursday.",
    "Fine paper now, six hundred, just to close the surface.",
)
_ESPEAK = ("en-us+Andrea", "en-gb+Lee", "en-us+steph", "en-gb-x-gbclan+Mario", "en+Alicia", "en-gb-scotland+Gene",
           "nl+f2", "fr+m5", "en-029+linda", "en-us+max")  # fmt: skip
_FLITE = ("slt", "rms", "awb", "kal16")


@cache
def _say(engine: str, text: str, number: int, setting: int) -> np.ndarray:
    if engine == "espeak":
        command = ["espeak-ng", "-v", _ESPEAK[number], "-p", str(25 + 15 * setting), "-s", str(130 + 20 * setting)]
        command += ["--stdout", text]
    else:
        stretch, mean = 0.85 + 0.15 * setting, (105, 130, 165, 210)[setting]
        command = ["flite", "-voice", _FLITE[number], "--setf", f"duration_stretch={stretch}"]
        command += ["--setf", f"int_f0_target_mean={mean}", "-t", text, "-o", "/dev/stdout"]
    data = bytearray(subprocess.run(command, check=True, capture_output=True).stdout)
    data[4:8] = (len(data) - 8).to_bytes(4, "little")
    data[40:44] = (len(data) - 44).to_bytes(4, "little")
    return voices.read(bytes(data))


def _mouth(random: np.random.Generator, source: np.ndarray, formants: tuple[float, ...]) -> np.ndarray:
    made = np.zeros(source.size)
    for i, centre in enumerate(formants):
        centre *= float(random.uniform(0.85, 1.15))
        made += 0.6**i * signal.lfilter(*signal.iirpeak(centre, centre / (80 + 40 * i), fs=RATE_HZ), source)
    return made


def _voice(random: np.random.Generator, size: int, first_hz: float, last_hz: float) -> np.ndarray:
    """Pulses of the voice from one pitch to another, uneven by 1 %."""
    turns = np.cumsum(np.linspace(first_hz, last_hz, size) * (1 + 0.01 * random.normal(0, 1, size))) / RATE_HZ
    return np.diff(np.where(np.mod(turns, 1) < 0.6, np.sin(np.pi * np.mod(turns, 1) / 0.6) ** 2, 0), prepend=0)


def _hum(random: np.random.Generator) -> np.ndarray:
    """A hum of agreement or doubt, mouth closed."""
    size = int(float(random.uniform(0.3, 0.7)) * RATE_HZ)
    hz = float(random.uniform(95, 230))
    source = _voice(random, size, hz, hz * float(random.uniform(0.75, 1.2)))
    return _mouth(random, source, (250, 1050, 2300)) * np.sin(np.pi * np.linspace(0, 1, size)) ** 0.5


def _laugh(random: np.random.Generator) -> np.ndarray:
    """Three to six short open vowels, breathy, falling."""
    hz, parts = float(random.uniform(130, 300)), []
    for i in range(int(random.integers(3, 7))):
        size = int(float(random.uniform(0.09, 0.14)) * RATE_HZ)
        source = _voice(random, size, hz * 0.94**i, hz * 0.9 ** (i + 1)) + 0.02 * random.normal(0, 1, size)
        parts += [_mouth(random, source, (700, 1250, 2600)) * np.sin(np.pi * np.linspace(0, 1, size))]
        size = int(float(random.uniform(0.06, 0.11)) * RATE_HZ)
        parts += [_mouth(random, 0.01 * random.normal(0, 1, size), (1000, 1700, 2900))]
    return np.concatenate(parts)


def _breath(random: np.random.Generator) -> np.ndarray:
    size = int(float(random.uniform(0.2, 0.4)) * RATE_HZ)
    return _mouth(random, random.normal(0, 1, size), (1100, 1900, 3200)) * np.sin(np.pi * np.linspace(0, 1, size))


def _talk(random: np.random.Generator, engine: str, count: int) -> np.ndarray:
    """One speaker: one to four sentences; breaths and short pauses between, now and then a hum or a laugh."""
    number, setting = int(random.integers(count)), int(random.integers(4))
    parts: list[np.ndarray] = []
    for _ in range(int(random.choice([1, 1, 2, 3, 4]))):
        one = _say(engine, SENTENCES[random.integers(len(SENTENCES))], number, setting).astype(float)
        if parts:
            parts.append(np.zeros(int(float(random.uniform(0.03, 0.12)) * RATE_HZ)))
            if random.random() < 0.5:
                air = _breath(random)
                parts += [air * 0.05 * np.abs(one).max() / np.abs(air).max(), np.zeros(800)]
        parts.append(one)
        if random.random() < 0.12:
            extra = _hum(random) if random.random() < 0.6 else _laugh(random)
            parts += [np.zeros(1600), extra * float(random.uniform(0.3, 0.8)) * np.abs(one).max() / np.abs(extra).max()]
    if random.random() < 0.08:
        only = _hum(random) if random.random() < 0.6 else _laugh(random)
        parts = [only / np.abs(only).max()]
    return np.concatenate(parts).astype(np.float32)


def formant(random: np.random.Generator) -> np.ndarray:
    """Maker E: formant synthesis in ten other voices, also with foreign accents."""
    return _talk(random, "espeak", len(_ESPEAK))


def joined(random: np.random.Generator) -> np.ndarray:
    """Maker F: joined units and statistical voices at other paces and pitches."""
    return _talk(random, "flite", len(_FLITE))
