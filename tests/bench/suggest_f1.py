"""Prints how well lines are understood: ``python -m tests.bench.suggest_f1 [tune|held]``.

Counts per sentence, as bags: a label counts as right when its mode and the
named parts agree. For ``clip`` the tip, for ``opening`` the aperture is implied
and not compared (labelling conventions). Readings: quantity, value and unit.
"""

from __future__ import annotations

import json
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from annotate.tagging.understand import understand
from annotate.tagging.values import as_json

# In the order of writing. Every set was first measured unseen, then used to mend the rules; of "held" the four
# mends that its first measurement suggested were made at the very end, and no more. "bank" holds ways of saying
# each step and fault, written to learn from; the thirteenth to twentieth were measured unseen first.
# The twenty-third and twenty-fourth were written by somebody who had not read the rules, twelve styles each; first
# sight: step 0.868 and 0.871, with zones 0.800 and 0.851, with blade and side 0.771 and 0.851, symptoms 0.909 and
# 0.884, readings 0.968 and 0.900, plans 0.727 and 0.897, no-work sentences tagged 1 of 26 and 4 of 28. The
# twenty-fifth, by a third hand and in other styles, on rules mended from those two: step 0.905, with zones 0.886,
# with blade and side 0.867, symptoms 0.867, readings 0.867, plans 0.903, recaps 0.842, no-work 1 of 30.
SETS = (
    "tune", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "held",
    "bank", "eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth",
    "seventeenth", "eighteenth", "nineteenth", "twentieth", "talk", "twentyfirst",
    "twentysecond", "twentythird", "twentyfourth", "twentyfifth",
)  # fmt: skip
DATA = Path(__file__).parent.parent / "tagging" / "data"
Row = dict[str, Any]


def _zones(label: Row) -> tuple[str, ...]:
    implied = {"clip": {"tip"}, "opening": {"opening"}}.get(label["step"], set())
    return tuple(sorted(set(label["zones"]) - implied))


PARTS: dict[str, Callable[[Row], Iterable[Any]]] = {
    "step": lambda r: [(x["mode"], x["step"]) for x in r["labels"]],
    "step+zones": lambda r: [(x["mode"], x["step"], _zones(x)) for x in r["labels"]],
    "step+zones+blade+side": lambda r: [(x["mode"], x["step"], _zones(x), x["blade"], x["side"]) for x in r["labels"]],
    "symptoms": lambda r: r["symptoms"],
    "readings": lambda r: [(m["quantity"], round(float(m["value"]), 5), m["unit"]) for m in r["measurements"]],
    "plans": lambda r: [(x["step"], _zones(x)) for x in r["labels"] if x["mode"] == "plan"],
    "recaps": lambda r: [(x["step"], _zones(x)) for x in r["labels"] if x["mode"] == "recap"],
    "negated": lambda r: [(x["step"], _zones(x)) for x in r["labels"] if x["mode"] == "negated"],
    "reed": lambda r: [r["reed"]] if r["reed"] else [],
}


def f1(rows: list[tuple[Row, Row]], part: Callable[[Row], Iterable[Any]]) -> tuple[float, int]:
    """F1 over pairs (truth, answer), and how many there were to find."""
    hit = told = true = 0
    for truth, answer in rows:
        a, b = Counter(part(truth)), Counter(part(answer))
        hit += (a & b).total()
        true += a.total()
        told += b.total()
    return (2 * hit / (true + told) if true + told else 1.0), true


def pairs(names: Iterable[Path]) -> list[tuple[Row, Row]]:
    """The rows of the files with the answer to each."""
    out = []
    for path in names:
        for line in path.read_text("utf-8").splitlines():
            row = json.loads(line)
            out.append((row, as_json(row["id"], understand(row["text"]))))
    return out


def main() -> None:
    """Print the figures of the chosen set, and with ``-v`` every row that differs."""
    which = next((a for a in sys.argv[1:] if not a.startswith("-")), "")
    groups = [which] if which else list(SETS)
    for group in groups:
        files = sorted(DATA.glob(f"{group}*.jsonl"))
        if not files:
            continue
        start = time.perf_counter()
        rows = pairs(files)
        seconds = time.perf_counter() - start
        print(f"{group}: {len(rows)} sentences of {len(files)} speakers, {seconds:.2f} s")
        for name, part in PARTS.items():
            value, count = f1(rows, part)
            print(f"  {name:24s} F1 {value:.3f}   ({count} to find)")
        idle = [(t, a) for t, a in rows if not t["labels"]]
        tagged = sum(any(x["mode"] == "done" for x in a["labels"]) for _, a in idle)
        any_label = sum(bool(a["labels"]) for _, a in idle)
        print(
            f"  no work: {tagged} of {len(idle)} get a tag ({100 * tagged / max(1, len(idle)):.1f} %), "
            f"{any_label} any label"
        )
        if "-v" in sys.argv:
            _differences(rows)


def _short(label: Row) -> str:
    places = f"{','.join(label['zones'])} b:{label['blade'] or '-'} s:{label['side'] or '-'}"
    return f"{label['mode'][0]} {label['step']} {places} [{','.join(label['symptoms'])}]"


def _differences(rows: list[tuple[Row, Row]]) -> None:
    for truth, answer in rows:
        bad = [
            n
            for n in ("step+zones+blade+side", "symptoms", "readings", "reed")
            if Counter(PARTS[n](truth)) != Counter(PARTS[n](answer))
        ]
        if not bad:
            continue
        print(f"\n{truth['id']} {truth['text']}\n   {bad}")
        for name, row in (("truth ", truth), ("answer", answer)):
            readings = [(m["quantity"], m["value"], m["unit"]) for m in row["measurements"]]
            print(f"   {name} {'; '.join(map(_short, row['labels']))} | {row['symptoms']} | {row['reed']} | {readings}")


if __name__ == "__main__":
    main()
