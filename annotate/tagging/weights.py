"""The weight of words: how likely a line tells each step, mode, place and fault.

Rules know what was foreseen. What was not is weighed: every word, pair and
triple of words of a line, and everything the rules found in it, speaks for or
against each *head* ("step:scrape", "mode:plan", "zone:tip", "fault:flat"). The
weights come from logistic regressions on labelled lines
(``tests/bench/suggest_weights.py`` makes them anew) and lie beside the
vocabulary, a row for each feature in whole steps of one size.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path

import numpy as np
import numpy.typing as npt

from annotate.tagging.numerals import is_number
from annotate.tagging.sentence import Reading
from annotate.tagging.values import Understanding

FILE = "word_weights.npz"
LONGEST = 3  # words in a row
BEGINNINGS, ENDINGS = (3, 4, 5, 6), (3, 4)  # letters of a word of more than three
Row = npt.NDArray[np.float32]


@dataclass(frozen=True)
class Weights:
    """``table`` holds a row for each feature of ``rows``, a column for each head; ``start`` is there before any."""

    heads: tuple[str, ...]
    start: Row
    rows: Mapping[str, int]
    table: npt.NDArray[np.float32]

    def chances(self, features: Iterable[str]) -> dict[str, float]:
        """Probability of each head; the more features a line has, the less each weighs."""
        said = set(features)
        known = [self.rows[one] for one in said if one in self.rows]
        odds = self.start + self.table[known].sum(axis=0) / np.sqrt(max(len(said), 1))
        return dict(zip(self.heads, (1 / (1 + np.exp(-odds))).tolist(), strict=True))


@cache
def weights() -> Weights:
    """The weights that come with the program."""
    with resources.files("annotate.vocabulary").joinpath(FILE).open("rb") as file, np.load(file) as kept:
        features = kept["features"].tobytes().decode("utf-8").split("\n")
        heads = kept["heads"].tobytes().decode("utf-8").split("\n")
        table = kept["steps"].astype(np.float32) * kept["step"]
        return Weights(tuple(heads), kept["start"], {one: row for row, one in enumerate(features)}, table)


def write_weights(made: Weights, path: Path) -> None:
    """The file that ``weights`` reads; weights are rounded to a 127th of the largest."""
    step = np.float32(np.abs(made.table).max() / 127)
    np.savez_compressed(
        path,
        features=np.frombuffer("\n".join(made.rows).encode(), np.uint8),
        heads=np.frombuffer("\n".join(made.heads).encode(), np.uint8),
        start=made.start,
        step=step,
        steps=np.round(made.table / step).astype(np.int8),
    )


def features_of(found: Reading, ruled: Understanding) -> list[str]:
    """What is weighed of a line: its words in ones, twos and threes, what was found in it, what the rules made of it.

    Words stand as they are without what was taken back, numbers as ``#``; of a longer word also how it begins and ends
    ("scra<", ">ping"), so that its other forms are known; what was found begins with its kind ("cue:sand").
    """
    words = ["#" if is_number(word) else word for word in found.plain if word != "_"]
    out = [
        " ".join(words[start : start + size])
        for size in range(1, LONGEST + 1)
        for start in range(len(words) - size + 1)
    ]
    out += [edge for word in words for edge in _edges(word)]
    out += [f"cue:{find.id}" for find in found.cues] + [f"cue:{find.id.split('/')[0]}" for find in found.cues]
    out += [f"family:{find.id.split('/')[0]}" for find in found.families]
    for kind, finds in (
        ("fault", found.symptoms),
        ("place", found.places),
        ("mode", found.modes),
        ("none", found.none),
    ):
        out += [f"{kind}:{find.id}" for find in finds]
    out += [f"unit:{amount.unit}" for amount in found.amounts]
    out += _sizes(found, ruled)
    for label in ruled.labels:
        out += [f"rule:{label.step}", f"rule:{label.mode}", f"rule:{label.mode}:{label.step}"]
        out += [f"rule zone:{zone}" for zone in label.zones] + [f"rule blade:{label.blade}", f"rule side:{label.side}"]
    used = {zone for label in ruled.labels for zone in label.zones}
    named = {one.id.removeprefix("zones:") for one in found.places if one.id.startswith("zones:")}
    out += [f"rule no zone:{zone}" for zone in sorted(named - used)]
    denied = {one.id for one in found.symptoms} - set(ruled.symptoms)
    return [*out, *(f"rule fault:{one}" for one in ruled.symptoms), *(f"rule no fault:{one}" for one in sorted(denied))]


def _sizes(found: Reading, ruled: Understanding) -> list[str]:
    """How much is said: several clauses and places may be several pieces of work."""
    clauses = f"clauses:{min(len(found.clauses), 6)}"
    places = f"places:{min(len({one.id for one in found.places if one.id.startswith('zones')}), 4)}"
    sentences = f"sentences:{min(len({one.sentence for one in found.clauses}), 4)}"
    rules = f"rules:{len(ruled.labels)}"
    return [clauses, places, sentences, rules, f"{rules} {clauses}", f"{rules} {places}"]


@cache
def _edges(word: str) -> tuple[str, ...]:
    begins = [f"{word[:size]}<" for size in BEGINNINGS if size < len(word)]
    return (*begins, *(f">{word[-size:]}" for size in ENDINGS if size < len(word))) if len(word) > 3 else ()
