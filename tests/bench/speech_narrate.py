"""Invented narrations, spoken by synthesisers and heard by the recogniser: the ground of the speech benches.

The sentences in ``speech_sentences`` carry their trade terms in braces. The rules
for doubtful words were written with ``tuning``, ``practising`` and ``hard`` in
sight (the last two in voices that are hard to hear); ``measuring`` and
``checking`` were looked at in between, ``fresh`` only at the end; ``later`` was
written before anything of it was heard, and looked at after its first figures.

    python -m tests.bench.speech_narrate tuning --out heard.json [--biased] [--voices slt,en-us]
"""

from __future__ import annotations

import argparse
import json
import re
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np

from annotate.listen.model_files import find_model
from annotate.listen.recognise import Recogniser, Wishes
from annotate.listen.trade_words import hint_words
from annotate.model import Instead
from tests.bench.speech_voices import CLEAR, FRESH, HARD, LATER, PRACTISING, RATE, speak

GAP_SECONDS = 1.5
SENTENCES = Path(__file__).parent / "speech_sentences"
VOICES_OF_SET = {"practising": PRACTISING, "hard": HARD, "fresh": FRESH, "later": LATER}
SETS = ("tuning", "measuring", "checking", "practising", "hard", "fresh", "later")
REEDS = ("B 14", "B 15", "B 16", "B 21", "B 22")


@dataclass(frozen=True)
class Spoken:
    """One sentence in one voice: ``said`` (terms in braces), the ``heard`` text, how likely each heard word is.

    ``instead`` is, for each heard word, what may have been said instead from there.
    """

    voice: str
    said: str
    heard: str
    likely: tuple[float, ...] = ()
    instead: tuple[tuple[Instead, ...], ...] = ()


def sentences(name: str) -> list[str]:
    return (SENTENCES / f"{name}.txt").read_text("utf-8").splitlines()


def without_braces(sentence: str) -> str:
    return re.sub(r"[{}]", "", sentence)


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
        own = [word for word in words if low <= (word.start_ms + word.end_ms) / 2 < high]
        heard = " ".join(word.text for word in own)
        likely, instead = tuple(word.probability for word in own), tuple(word.instead for word in own)
        out.append(Spoken(voice, sentence, heard, likely, instead))
    return out


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("set", choices=SETS)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--biased", action="store_true", help="give the trade words as hints")
    parser.add_argument("--voices", help="names from speech_voices, with commas; else those of the set")
    given = parser.parse_args()
    recogniser = Recogniser(find_model().folder, threads=2)
    hints = hint_words(reeds=REEDS) if given.biased else ()
    voices = given.voices.split(",") if given.voices else list(VOICES_OF_SET.get(given.set, CLEAR))
    heard: list[Spoken] = []
    for voice in voices:
        heard += narrate(sentences(given.set), voice, recogniser, Wishes("en", hints))
        given.out.write_text(json.dumps([asdict(one) for one in heard], indent=1), "utf-8")
        print(f"{voice}: {len(heard)} sentences so far", flush=True)


if __name__ == "__main__":
    main()
