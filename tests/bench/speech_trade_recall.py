"""Trade-term recall with hints and without, per voice and over all.

    python -m tests.bench.speech_trade_recall plain.json biased.json

Both files come from ``tests.bench.speech_narrate``, of the same set. A term (in
braces in the sentence) counts as heard when all its words stand in their place
in what the recogniser wrote; spaces and hyphens do not matter.
"""

from __future__ import annotations

import argparse
import json
from collections import defaultdict
from difflib import SequenceMatcher
from pathlib import Path

import jiwer
from whisper_normalizer.english import EnglishTextNormalizer

from tests.bench.speech_doubtful import heard_words, said_words
from tests.bench.speech_narrate import without_braces


def heard_terms(said: str, heard: str) -> tuple[int, int]:
    """How many terms the sentence has, and how many of them were heard."""
    words, marks = said_words(said)
    equal = [False] * len(words)
    written = [word.replace("-", "") for word in heard_words(heard)]
    for block in SequenceMatcher(None, words, written, False).get_matching_blocks():
        equal[block.a : block.a + block.size] = [True] * block.size
    terms: list[list[int]] = []
    inside = False
    for number, raw in enumerate(said.split()):
        if "{" in raw:
            terms.append([])
            inside = True
        if inside and marks[number]:
            terms[-1].append(number)
        inside = inside and "}" not in raw
    return len(terms), sum(all(equal[number] for number in term) for term in terms)


def measure(path: Path) -> dict[str, tuple[int, int, float]]:
    """Voice -> terms, terms heard, word error rate; "all" over all voices."""
    plain = EnglishTextNormalizer()
    groups: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for one in json.loads(path.read_text("utf-8")):
        for name in (one["voice"], "all"):
            groups[name].append((one["said"], one["heard"]))
    out = {}
    for name, pairs in groups.items():
        counts = [heard_terms(said, heard) for said, heard in pairs]
        rate = jiwer.wer([plain(without_braces(said)) for said, _ in pairs], [plain(heard) for _, heard in pairs])
        out[name] = (sum(terms for terms, _ in counts), sum(found for _, found in counts), rate)
    return out


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("heard", nargs="+", type=Path)
    for path in parser.parse_args().heard:
        for name, (terms, found, rate) in measure(path).items():
            print(f"{path.name} {name}: {found} of {terms} terms, recall {found / terms:.3f}, word errors {rate:.3f}")


if __name__ == "__main__":
    main()
