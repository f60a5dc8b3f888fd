"""The synthetic voices of the speech benches: quick and slow, of several accents, clear and over the noise of a bench.

Needs flite and espeak-ng on the machine (Debian packages of those names).
"""

from __future__ import annotations

import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path
from zlib import crc32

import numpy as np

from annotate.listen.audio import read_sound
from tests.listen import noises

RATE = 16_000
ESPEAK_WORDS_PER_MINUTE = 150


@dataclass(frozen=True)
class Voice:
    """A synthesiser's voice, ``pace`` times as fast as it speaks by itself, over ``noise`` at ``snr_db``."""

    engine: str
    name: str
    pace: float = 1.0
    noise: str = ""
    snr_db: float = 15.0


# The six that the first sets were heard in; one word each, as they come.
CLEAR = {
    "slt": Voice("flite", "slt"),
    "rms": Voice("flite", "rms"),
    "awb": Voice("flite", "awb"),
    "kal16": Voice("flite", "kal16"),
    "en-us": Voice("espeak", "en-us"),
    "en-gb-x-rp": Voice("espeak", "en-gb-x-rp"),
}
# For the set "practising", hard to hear.
PRACTISING = {
    "slt-quick": Voice("flite", "slt", 1.25),
    "rms-fan": Voice("flite", "rms", noise="fan", snr_db=12),
    "awb-scraping": Voice("flite", "awb", noise="scraping", snr_db=12),
    "scots": Voice("espeak", "en-gb-scotland"),
    "midlands-quick": Voice("espeak", "en-gb-x-gbcwmd", 1.2),
    "woman-fan": Voice("espeak", "en-us+f3", noise="fan", snr_db=12),
}
# For the set "hard", harder still: no voice of the table above.
HARD = {
    "rms-quick": Voice("flite", "rms", 1.3),
    "slt-scraping": Voice("flite", "slt", noise="scraping", snr_db=10),
    "awb-fan": Voice("flite", "awb", 1.1, "fan", 12),
    "new-york": Voice("espeak", "en-us-nyc"),
    "lancaster-quick": Voice("espeak", "en-gb-x-gbclan", 1.2),
    "caribbean-fan": Voice("espeak", "en-029+f2", noise="fan", snr_db=12),
}
# For the set "fresh": the noises that the recogniser is to bear, 20 dB below the voice.
FRESH = {
    "slt-slow": Voice("flite", "slt", 0.9),
    "rms-fan-20": Voice("flite", "rms", 1.1, "fan", 20),
    "awb-scraping-20": Voice("flite", "awb", noise="scraping", snr_db=20),
    "kal16-slow": Voice("flite", "kal16", 0.9),
    "man-fan-20": Voice("espeak", "en-us+m3", noise="fan", snr_db=20),
    "woman-rp": Voice("espeak", "en-gb-x-rp+f4"),
}
# For the set "later": paces, pitches and noises in between, no voice of the tables above.
LATER = {
    "awb-slow": Voice("flite", "awb", 0.85),
    "rms-slow-fan": Voice("flite", "rms", 0.92, "fan", 18),
    "slt-scraping-18": Voice("flite", "slt", 1.15, "scraping", 18),
    "woman-scots": Voice("espeak", "en-gb-scotland+f4"),
    "man-deep": Voice("espeak", "en-us+m7", 1.05),
    "woman-lancaster-fan": Voice("espeak", "en-gb-x-gbclan+f2", 0.95, "fan", 18),
}
VOICES = CLEAR | PRACTISING | HARD | FRESH | LATER


def speak(text: str, voice: str) -> np.ndarray:
    """The sentence as float32 mono at 16 kHz, with the voice's noise."""
    kind = VOICES[voice]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        subprocess.run(_command(kind, text, path), check=True)
        sound = read_sound(path, 0)
    return np.asarray(sound + _noise(kind, sound, crc32(text.encode())), np.float32)


def _command(kind: Voice, text: str, path: Path) -> list[str]:
    if kind.engine == "flite":
        stretch = ["--setf", f"duration_stretch={1 / kind.pace:.3f}"] if kind.pace != 1 else []
        return ["flite", "-voice", kind.name, *stretch, "-t", text, "-o", str(path)]
    return ["espeak-ng", "-v", kind.name, "-s", str(round(ESPEAK_WORDS_PER_MINUTE * kind.pace)), "-w", str(path), text]


def _noise(kind: Voice, sound: np.ndarray, seed: int) -> np.ndarray:
    if not kind.noise:
        return np.zeros_like(sound)
    level = float(np.sqrt(np.mean(sound**2))) * 10 ** (-kind.snr_db / 20)
    seconds = (len(sound) + 1) / RATE
    made = noises.brown(seconds, level, seed) if kind.noise == "fan" else noises.scrapes(seconds, 1.4, level, seed)
    return np.asarray(made[: len(sound)])
