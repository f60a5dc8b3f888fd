"""Doubtful words against real recogniser errors: precision, recall, and silence on ordinary English.

    python -m tests.bench.speech_doubtful heard.json [...] [--show]

The files come from ``tests.bench.speech_narrate`` (unbiased), with the recogniser's
probabilities, which the program has too. An error is a
trade term (in braces in the sentence) in whose place the recogniser wrote
something else; words it left out have nothing to propose on and are counted
apart. A proposal is right when the said words stand in its place.
"""

from __future__ import annotations

import argparse
import json
from collections import Counter
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

from annotate.listen import bench_talk
from annotate.listen.doubtful import NEIGHBOURS, Doubt, all_doubts, doubtful, plain
from annotate.model import Instead, Word

SENTENCES = Path(__file__).parent / "speech_sentences"
# Ordinary English, full of the words that trade words are mistaken for; the last with words of the trade in other
# senses. And talk at the bench, which the program knows: by it it judges what stands together.
AS_WRITTEN = (
    *(SENTENCES / f"{name}.txt" for name in ("ordinary", "ordinary_more", "ordinary_other_senses")),
    Path(bench_talk.__file__).with_suffix(".txt"),
)


@dataclass
class Count:
    errors: int = 0
    left_out: int = 0
    found: int = 0
    right: int = 0
    proposed: int = 0
    missed: Counter[tuple[str, str]] = field(default_factory=Counter)
    wrong: list[tuple[str, str, str]] = field(default_factory=list)


def said_words(sentence: str) -> tuple[list[str], list[bool]]:
    """Plain words of a sentence and for each whether it is in a trade term."""
    words, marks, inside = [], [], False
    for raw in sentence.split():
        inside = inside or "{" in raw
        words.append(plain(raw))
        marks.append(inside)
        inside = inside and "}" not in raw
    return words, marks


def heard_words(text: str) -> list[str]:
    return [plain(word) for word in text.split()]


def same(one: list[str], other: list[str]) -> bool:
    return [word.replace("-", "") for word in one] == [word.replace("-", "") for word in other]


def as_words(one: dict[str, Any]) -> list[Word]:
    """The heard words with the recogniser's probabilities and its second look, where they are kept with the text."""
    likely = one.get("likely") or ()
    instead = one.get("instead") or [()] * len(likely)
    return [
        Word(at, at + 1, word, chance, tuple(Instead(**other) for other in others))
        for at, (word, chance, others) in enumerate(zip(one["heard"].split(), likely, instead, strict=False))
    ]


def count(one: dict[str, Any], around: str, total: Count) -> None:
    heard = one["heard"]
    words, marks = said_words(one["said"])
    written = heard_words(heard)
    doubts = doubtful(heard, as_words(one), around)
    total.proposed += len(doubts)
    blocks = SequenceMatcher(None, words, written, False).get_opcodes()
    right: list[Doubt] = []
    for kind, low, high, first, last in blocks:
        if kind == "equal":
            continue
        here = [doubt for doubt in doubts if doubt.first < last and doubt.last > first]
        good = [doubt for doubt in here if is_right(doubt, words, (low, high), (first, last))]
        right += good
        if not any(marks[low:high]):
            continue
        if first == last:
            total.left_out += 1
            continue
        total.errors += 1
        if good:
            total.found += 1
        else:
            total.missed[" ".join(words[low:high]), " ".join(written[first:last])] += 1
    right_ids = {id(doubt) for doubt in right}
    total.right += len(right_ids)
    total.wrong += [(doubt.heard, doubt.proposed, heard) for doubt in doubts if id(doubt) not in right_ids]


def is_right(doubt: Doubt, words: list[str], said: tuple[int, int], heard: tuple[int, int]) -> bool:
    """Whether the proposal's words were said at its place: found among the said words of the changed stretch."""
    proposed = heard_words(doubt.proposed)
    before, after = heard[0] - doubt.first, doubt.last - heard[1]
    stretch = words[max(0, said[0] - max(before, 0)) : said[1] + max(after, 0)]
    return any(same(stretch[at : at + len(proposed)], proposed) for at in range(len(stretch) - len(proposed) + 1))


def measure(path: Path) -> Count:
    spoken = json.loads(path.read_text("utf-8"))
    total = Count()
    for number, one in enumerate(spoken):
        near = [
            other["heard"]
            for other in spoken[max(number - NEIGHBOURS, 0) : number + NEIGHBOURS + 1]
            if other is not one and other["voice"] == one["voice"]
        ]
        count(one, " ".join(near), total)
    return total


def proposals(path: Path) -> tuple[int, list[tuple[str, Doubt]]]:
    """How many lines of text as it was written, and what is proposed in them: nothing should be."""
    lines = [line for line in path.read_text("utf-8").splitlines() if line.strip() and not line.startswith("#")]
    return len(lines), [(lines[number], doubt) for number, doubt in all_doubts(lines)]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("heard", nargs="*", type=Path)
    parser.add_argument("--show", action="store_true", help="list what was missed and what was wrong")
    given = parser.parse_args()
    for path in given.heard:
        total = measure(path)
        precision = total.right / total.proposed if total.proposed else 1.0
        print(
            f"{path.name}: {total.errors} errors in trade terms ({total.left_out} more left out), "
            f"{total.proposed} proposals: precision {precision:.3f}, recall {total.found / max(total.errors, 1):.3f}"
        )
        if given.show:
            for (said, heard), times in total.missed.most_common():
                print(f"  missed {times} x: said {said!r}, heard {heard!r}")
            for heard, proposed, line in total.wrong:
                print(f"  wrong: {heard!r} -> {proposed!r} in {line!r}")
    for path in AS_WRITTEN:
        count_lines, found = proposals(path)
        print(f"{path.name}, as written: {len(found)} proposals in {count_lines} lines")
        for line, doubt in found:
            print(f"  {doubt.heard!r} -> {doubt.proposed!r} in {line!r}")


if __name__ == "__main__":
    main()
