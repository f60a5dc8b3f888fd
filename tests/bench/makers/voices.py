"""Invented talk at the bench, spoken by three different kinds of synthesis (mono float32, 16 kHz)."""

from __future__ import annotations

import io
import subprocess
import tarfile
from functools import cache
from pathlib import Path

import numpy as np
import soundfile
import soxr

RATE_HZ = 16_000

SENTENCES = (
    "Right, this one has been soaking for about four minutes.",
    "I am going to take a little off the left channel now.",
    "Eight strokes on each side, and then we listen again.",
    "That is still too resistant, so I will go a bit further back.",
    "Listen to the crow. It is lower than yesterday.",
    "The tip measures point one two at the middle.",
    "Hold the plaque flat and let the file do the work.",
    "No.",
    "Okay, let me try that.",
    "What I do not want is to touch the spine at all, because the low notes would go.",
    "Now the second wire, just a quarter turn, and check the opening against the light.",
    "It was raining all week, so the cane has moved, and the opening closed by itself.",
    "Better, much better.",
    "If the E goes flat when I push, there is too much off the heart.",
    "Turn it over, same thing on the other blade.",
    "You can see the shadow here, a little dark spot beside the rail.",
    "We leave it overnight and look again in the morning.",
    "So, reed number fourteen, third sitting, still flat and still soft.",
    "Hm, interesting.",
    "Do not press. A sharp knife takes dust, a blunt one takes chips.",
)

_ESPEAK = (
    ("en-gb", 50, 165, ""),
    ("en-us", 40, 150, "m3"),
    ("en-gb-scotland", 55, 170, "f2"),
    ("en-us", 65, 160, "f3"),
    ("en-gb-x-rp", 35, 145, "m7"),
    ("en-029", 50, 155, ""),
    ("en-gb-x-gbclan", 45, 175, "f4"),
    ("en-us-nyc", 30, 140, "m1"),
    ("de", 50, 160, "f1"),
)
_KLATT = (
    ("en-us", 45, 155, "klatt2"),
    ("en-gb", 60, 170, "klatt4"),
    ("en-us", 35, 145, "klatt6"),
    ("en", 70, 165, "f5"),
)
_FLITE = ("kal", "awb", "rms", "slt")


def read(data: bytes) -> np.ndarray:
    samples, rate = soundfile.read(io.BytesIO(data), dtype="float32", always_2d=True)
    return trim(np.asarray(soxr.resample(samples.mean(axis=1), rate, RATE_HZ), dtype=np.float32))


def trim(samples: np.ndarray) -> np.ndarray:
    """Without the silent ends (below -50 dB of the peak)."""
    loud = np.nonzero(np.abs(samples) > 0.003 * np.abs(samples).max())[0]
    return samples[loud[0] : loud[-1] + 1]


@cache
def _espeak(text: str, voice: str, pitch: int, speed: int, variant: str) -> np.ndarray:
    name = f"{voice}+{variant}" if variant else voice
    command = ["espeak-ng", "-v", name, "-p", str(pitch), "-s", str(speed), "--stdout", text]
    # The streamed header states no length, which readers refuse: it is set to what came.
    data = bytearray(subprocess.run(command, check=True, capture_output=True).stdout)
    data[4:8] = (len(data) - 8).to_bytes(4, "little")
    data[40:44] = (len(data) - 44).to_bytes(4, "little")
    return read(bytes(data))


@cache
def _flite(text: str, number: int) -> np.ndarray:
    command = ["flite", "-voice", _FLITE[number], "-t", text, "-o", "/dev/stdout"]
    data = bytearray(subprocess.run(command, check=True, capture_output=True).stdout)
    data[4:8] = (len(data) - 8).to_bytes(4, "little")
    data[40:44] = (len(data) - 44).to_bytes(4, "little")
    return read(bytes(data))


def espeak(random: np.random.Generator) -> np.ndarray:
    """One sentence by formant synthesis in one of nine voices."""
    return _espeak(SENTENCES[random.integers(len(SENTENCES))], *_ESPEAK[random.integers(len(_ESPEAK))])


def klatt(random: np.random.Generator) -> np.ndarray:
    """One sentence by a second formant synthesiser, the voice made a little larger or smaller by resampling."""
    spoken = _espeak(SENTENCES[random.integers(len(SENTENCES))], *_KLATT[random.integers(len(_KLATT))])
    return np.asarray(soxr.resample(spoken, RATE_HZ, RATE_HZ * float(random.uniform(0.93, 1.08))), dtype=np.float32)


def flite(random: np.random.Generator) -> np.ndarray:
    """One sentence by concatenation or statistical synthesis in one of four voices."""
    return _flite(SENTENCES[random.integers(len(SENTENCES))], int(random.integers(len(_FLITE))))


@cache
def people(archive: Path) -> tuple[np.ndarray, ...]:
    """The public-domain LibriVox clips of the pocketsphinx 5.1.1 source archive: real people reading."""
    clips = []
    with tarfile.open(archive) as tar:
        for member in tar:
            if "librivox" in member.name and member.name.endswith(".wav"):
                held = tar.extractfile(member)
                assert held is not None
                clips.append(read(held.read()))
    return tuple(clips)
