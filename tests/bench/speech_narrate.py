"""Invented narrations, spoken by synthesisers and heard by the recogniser: the ground of the speech benches.

Needs flite and espeak-ng on the machine (Debian packages of those names). The
sentences in ``speech_sentences`` carry their trade terms in braces; ``tuning``
was looked at while the rules were written, ``measuring`` was not.

    python -m tests.bench.speech_narrate tuning --out heard.json [--biased] [--voices slt,en-us]
"""

from __future__ import annotations

import argparse
import json
import re
import subprocess
import tempfile
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np

from annotate.listen.audio import read_sound
from annotate.listen.model_files import find_model
from annotate.listen.recognise import Recogniser, Wishes
from annotate.listen.trade_words import hint_words

RATE = 16_000
FLITE = ("slt", "rms", "awb", "kal16")
ESPEAK = ("en-us", "en-gb-x-rp")
VOICES = FLITE + ESPEAK
GAP_SECONDS = 1.5
SENTENCES = Path(__file__).parent / "speech_sentences"


@dataclass(frozen=True)
class Spoken:
    """One sentence in one voice: what was ``said`` (terms in braces) and the ``heard`` text."""

    voice: str
    said: str
    heard: str


def sentences(name: str) -> list[str]:
    return (SENTENCES / f"{name}.txt").read_text("utf-8").splitlines()


def without_braces(sentence: str) -> str:
    return re.sub(r"[{}]", "", sentence)


def speak(text: str, voice: str) -> np.ndarray:
    """The sentence as float32 mono at 16 kHz."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        if voice in FLITE:
            subprocess.run(["flite", "-voice", voice, "-t", text, "-o", str(path)], check=True)
        else:
            subprocess.run(["espeak-ng", "-v", voice, "-s", "150", "-w", str(path), text], check=True)
        return read_sound(path, 0)


def narrate(said: list[str], voice: str, recogniser: Recogniser, wishes: Wishes) -> list[Spoken]:
    """All sentences one after the other in one recording, with pauses; words go to the sentence they were said in."""
    pause = np.zeros(int(GAP_SECONDS * RATE), np.float32)
    sounds = [np.concatenate([speak(without_braces(sentence), voice), pause]) for sentence in said]
    edges = np.cumsum([0, *(len(sound) for sound in sounds)]) / RATE * 1000
    found = recogniser.recognise(np.concatenate(sounds), wishes)
    words = [word for line in found.utterances for word in line.words]
    out = []
    for number, sentence in enumerate(said):
        low, high = edges[number], edges[number + 1]
        own = [word.text for word in words if low <= (word.start_ms + word.end_ms) / 2 < high]
        out.append(Spoken(voice, sentence, " ".join(own)))
    return out


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("set", choices=["tuning", "measuring", "checking"])
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--biased", action="store_true", help="give the trade words as hints")
    parser.add_argument("--voices", default=",".join(VOICES))
    given = parser.parse_args()
    recogniser = Recogniser(find_model().folder, threads=2)
    hints = hint_words(reeds=("B 14", "B 15", "B 16", "B 21", "B 22")) if given.biased else ()
    heard: list[Spoken] = []
    for voice in given.voices.split(","):
        heard += narrate(sentences(given.set), voice, recogniser, Wishes("en", hints))
        given.out.write_text(json.dumps([asdict(one) for one in heard], indent=1), "utf-8")
        print(f"{voice}: {len(heard)} sentences so far", flush=True)


if __name__ == "__main__":
    main()
