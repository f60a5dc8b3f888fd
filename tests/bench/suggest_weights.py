"""Makes the weight of words anew from labelled lines, and says how well lines are understood with them.

    python -m tests.bench.suggest_weights [--leave-out] [--write]

``--leave-out`` fits without a quarter of the later sets at a time and measures those: lines that neither the rules nor
the weights have seen. ``--write`` fits on all and writes the file beside the vocabulary. Needs scikit-learn (the
extra ``fit``).

Last, the weights that come with the program are measured on ``unseen_*.jsonl``, which nothing was ever fitted to.

The rules had been tuned on the sets of ``suggest_f1.SETS``: there what they say is nearly always right, so that it is
left out of the features; how far rules can be trusted is learned from the later sets, each written by somebody who had
not seen the rules.
"""

from __future__ import annotations

import argparse
import json
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from scipy.sparse import csr_matrix
from sklearn.linear_model import LogisticRegression

from annotate import vocabulary
from annotate.tagging.lexicon import lexicon
from annotate.tagging.second_opinion import Bounds, reconsidered
from annotate.tagging.sentence import Reading, read
from annotate.tagging.understand import by_rules
from annotate.tagging.values import Understanding, as_json
from annotate.tagging.weights import FILE, Weights, features_of, weights, write_weights
from tests.bench.suggest_f1 import DATA, PARTS, SETS, f1

OLD = tuple(sorted(path for name in SETS for path in DATA.glob(f"{name}_*.jsonl")))
AUTHORS = {path.stem: path for path in sorted(DATA.glob("author_*.jsonl"))}
FRESH_WEIGH = 3  # a line the rules were not tuned on counts as much as three others
LEAST_LINES = 4  # features of fewer lines are habits of one line
LEAST_TRUE = 5  # heads with fewer examples cannot be learned
PARTS_OF_SETS = 4  # of so many parts one is left out at a time
INVERSE_PENALTY = 150.0  # scikit-learn's C


@dataclass
class Line:
    """A labelled line, read once."""

    truth: dict[str, Any]
    found: Reading
    ruled: Understanding
    features: list[str]
    heads: frozenset[str]
    weigh: float = 1.0


def heads_of(truth: dict[str, Any]) -> frozenset[str]:
    """What is true of a line, as heads; places that a step implies are none."""
    implied = {("clip", "tip"), ("opening", "opening")}
    out = {f"fault:{one}" for one in truth["symptoms"]}
    out |= {"labels:some"} if truth["labels"] else set()
    out |= {"labels:many"} if len(truth["labels"]) > 1 else set()
    for label in truth["labels"]:
        out |= {f"step:{label['step']}", f"mode:{label['mode']}"}
        out |= {f"zone:{zone}" for zone in label["zones"] if (label["step"], zone) not in implied}
        out |= {f"{part}:{label[part]}" for part in ("blade", "side") if label[part]}
    return frozenset(out)


def lines_of(path: Path, is_fresh: bool) -> list[Line]:
    out = []
    for row in path.read_text("utf-8").splitlines():
        truth = json.loads(row)
        found = read(truth["text"], lexicon())
        ruled = by_rules(found)
        features = features_of(found, ruled)
        if not is_fresh:
            features = [one for one in features if not one.startswith("rule")]
        out.append(Line(truth, found, ruled, features, heads_of(truth), FRESH_WEIGH if is_fresh else 1.0))
    return out


@dataclass
class Table:
    """Features as columns: each row has length one, as ``Weights.chances`` weighs them."""

    columns: dict[str, int] = field(default_factory=dict)

    @classmethod
    def of(cls, lines: Sequence[Line]) -> Table:
        many = Counter(one for line in lines for one in set(line.features))
        return cls({one: at for at, one in enumerate(sorted(k for k, n in many.items() if n >= LEAST_LINES))})

    def matrix(self, lines: Sequence[Line]) -> csr_matrix:
        data, rows, columns = [], [], []
        for row, line in enumerate(lines):
            said = set(line.features)
            for one in said & self.columns.keys():
                data.append(1 / np.sqrt(len(said)))
                rows.append(row)
                columns.append(self.columns[one])
        return csr_matrix((data, (rows, columns)), shape=(len(lines), len(self.columns)))


def fitted(lines: Sequence[Line], c: float = INVERSE_PENALTY) -> Weights:
    """One logistic regression for each head."""
    table = Table.of(lines)
    x, weigh = table.matrix(lines), np.array([line.weigh for line in lines])
    many = Counter(head for line in lines for head in line.heads)
    heads = sorted(head for head, n in many.items() if n >= LEAST_TRUE)
    start, columns = [], []
    for head in heads:
        y = np.array([head in line.heads for line in lines])
        model = LogisticRegression(C=c, solver="liblinear", class_weight="balanced").fit(x, y, sample_weight=weigh)
        start.append(float(model.intercept_[0]))
        columns.append(model.coef_[0])
    table_of = np.array(columns, np.float32).T
    return Weights(tuple(heads), np.array(start, np.float32), table.columns, table_of)


def answers(lines: Iterable[Line], by: Weights, bounds: Bounds | None = None) -> list[tuple[Any, Any]]:
    """Pairs (truth, answer) as ``suggest_f1`` compares them."""
    return [
        (line.truth, as_json("", reconsidered(line.found, line.ruled, by.chances(line.features), bounds)))
        for line in lines
    ]


def tell(name: str, rows: list[tuple[Any, Any]]) -> None:
    idle = [answer for truth, answer in rows if not truth["labels"]]
    tagged = sum(any(label["mode"] == "done" for label in answer["labels"]) for answer in idle)
    said = " ".join(f"{part} {f1(rows, of)[0]:.3f}" for part, of in PARTS.items())
    print(f"{name}: {said}; no work tagged {tagged} of {len(idle)}", flush=True)


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--leave-out", action="store_true")
    parser.add_argument("--write", action="store_true")
    asked = parser.parse_args()
    old = [line for path in OLD for line in lines_of(path, is_fresh=False)]
    sets = {name: lines_of(path, is_fresh=True) for name, path in AUTHORS.items()}
    if asked.leave_out:
        unseen: list[tuple[Any, Any]] = []
        for at in range(PARTS_OF_SETS):
            left = sorted(sets)[at::PARTS_OF_SETS]
            made = fitted([*old, *(line for name, lines in sets.items() if name not in left for line in lines)])
            for name in left:
                tell(f"{name} by rules alone", [(line.truth, as_json("", line.ruled)) for line in sets[name]])
                tell(f"{name}", answers(sets[name], made))
                unseen += answers(sets[name], made)
        tell("all, each unseen by its weights", unseen)
    if asked.write:
        made = fitted([*old, *(line for lines in sets.values() for line in lines)])
        write_weights(made, Path(vocabulary.__file__).with_name(FILE))
        print(f"{len(made.rows)} features, {len(made.heads)} heads")
    for path in sorted(DATA.glob("unseen_*.jsonl")):
        tell(path.stem, answers(lines_of(path, is_fresh=True), weights()))


if __name__ == "__main__":
    main()
