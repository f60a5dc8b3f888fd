"""Spoken marks: a tag said outright, in a fixed order that is hard to say by chance.

    logbook  STEP  ZONES  SIDE  BLADE  (because SYMPTOMS)  (reed ID)

"Logbook scrape channels left lower blade because resistant." Only the signal
word and the step are needed; the rest keeps its order. Every word up to the
end of the sentence must belong to the mark, or it is no mark. The signal word
is the maker's to set.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache

from annotate.errors import BadInput
from annotate.tagging.forms import forms
from annotate.tagging.lexicon import Lexicon
from annotate.tagging.reeds import reed_said
from annotate.tagging.sentence import read
from annotate.tagging.tokens import tokenise
from annotate.tagging.values import Label, Understanding
from annotate.vocabulary import Vocabulary, Word, vocabulary

DEFAULT_SIGNAL = "logbook"
_ORDER = ("zones", "sides", "blades")
_LINK = "because"
_SHORT_STEPS = {
    "leak test": "leak", "break in": "break_in", "opening": "opening", "aperture": "opening", "wire": "wires",
    "tube": "form", "clear": "clear", "chips": "clear",
}  # fmt: skip
_SHORT_BLADES = {
    "up": "up",
    "upper": "up",
    "top": "up",
    "down": "down",
    "lower": "down",
    "bottom": "down",
    "both blades": "both",
}
_SHORT_SIDES = {"left": "left", "right": "right", "both": "both", "both sides": "both"}


def check_signal(signal: str) -> str:
    """The signal word in lower case; BadInput when it is empty, several words, or a word of the trade."""
    word = signal.strip().lower()
    if not word.isalpha() or len(word) < 4:
        raise BadInput("is not a signal word", signal or "(nothing)", "Use one word of four letters or more.")
    words = vocabulary()
    taken = {
        w for group in (words.steps, words.zones, words.symptoms) for entry in group.values() for w in _names(entry)
    }
    if word in taken:
        raise BadInput("is a word of the trade and would be said by chance", signal, "Choose another word.")
    return word


def find_mark(
    text: str, signal: str = DEFAULT_SIGNAL, words: Lexicon | None = None, known_reeds: Sequence[str] = ()
) -> Understanding | None:
    """The mark that ``text`` speaks, as an understanding with full confidence, or None."""
    tokens = tokenise(text)
    plain = [t.word for t in tokens]
    if signal not in plain:
        return None
    at = plain.index(signal)
    rest = [w for w in plain[at + 1 : _sentence_end(plain, at)] if w != ","]
    label = _parsed(rest, words.instrument if words else "bassoon")
    if label is None:
        return None
    end = tokens[_sentence_end(plain, at) - 1].end
    label = Label(
        "done", label.step, label.zones, label.blade, label.side, label.symptoms, tokens[at].start, end,
        text[tokens[at].start : end], ("spoken mark",), 1.0,
    )  # fmt: skip
    reed = None
    if "reed" in rest and words is not None:
        reed = reed_said(read(" ".join(rest[rest.index("reed") :]), words), known_reeds)
    elif "reed" in rest:
        from annotate.tagging.lexicon import lexicon

        reed = reed_said(read(" ".join(rest[rest.index("reed") :]), lexicon()), known_reeds)
    return Understanding(text, (label,), label.symptoms, reed, ())


def _sentence_end(plain: Sequence[str], at: int) -> int:
    return next((i for i in range(at, len(plain)) if plain[i] in (".", "?")), len(plain))


def _names(entry: Word) -> Iterable[str]:
    yield entry.id.replace("_", " ")
    yield entry.label.lower()
    yield from (a.lower() for a in entry.aliases)


@cache
def _tables(instrument: str) -> Mapping[str, Mapping[tuple[str, ...], str]]:
    words = vocabulary(instrument)
    tables: dict[str, dict[tuple[str, ...], str]] = {}
    for group in ("steps", "zones", "symptoms"):
        table: dict[tuple[str, ...], str] = {}
        for entry in words.group(group).values():
            for name in _names(entry):
                parts = tuple(name.replace("-", " ").split())
                table.setdefault(parts, entry.id)
                if group == "steps" and len(parts) == 1:
                    for form in forms(parts[0]):
                        table.setdefault((form,), entry.id)
        tables[group] = table
    tables["steps"] |= {tuple(k.split()): v for k, v in _SHORT_STEPS.items()}
    tables["blades"] = {tuple(k.split()): v for k, v in _SHORT_BLADES.items()}
    for entry in words.blades.values():
        for name in _names(entry):
            tables["blades"].setdefault(tuple(name.replace("-", " ").split()), entry.id)
    tables["sides"] = {tuple(k.split()): v for k, v in _SHORT_SIDES.items()}
    return tables


def _take(table: Mapping[tuple[str, ...], str], words: Sequence[str], i: int) -> tuple[str, int] | None:
    """The longest entry of the table at ``i``, and the place after it."""
    for size in range(min(4, len(words) - i), 0, -1):
        found = table.get(tuple(words[i : i + size]))
        if found:
            return found, i + size
    return None


def _parsed(words: Sequence[str], instrument: str) -> Label | None:
    tables = _tables(instrument)
    step = _take(tables["steps"], words, 0)
    if step is None:
        return None
    i = step[1]
    got: dict[str, list[str]] = {group: [] for group in (*_ORDER, "symptoms")}
    for group in _ORDER:
        i += i < len(words) and bool(got["zones"]) and words[i] == "and"
        while (hit := _take(tables[group], words, i)) is not None:
            got[group].append(hit[0])
            i = hit[1]
            if group != "zones":
                break
            i += i < len(words) - 1 and words[i] == "and"
    if i < len(words) and words[i] == _LINK:
        i += 1
        while (hit := _take(tables["symptoms"], words, i)) is not None:
            got["symptoms"].append(hit[0])
            i = hit[1]
    if i < len(words) and words[i] != "reed":
        return None
    blade, side = next(iter(got["blades"]), None), next(iter(got["sides"]), None)
    return Label("done", step[0], tuple(got["zones"]), blade, side, tuple(got["symptoms"]))


def mark_parts(signal: str = DEFAULT_SIGNAL, words: Vocabulary | None = None) -> tuple[tuple[str, str, str], ...]:
    """The parts of a mark in the order they are said: name, whether it is needed, and what may be said."""
    words = words or vocabulary()
    return (
        ("signal", "always", signal),
        ("step", "always", ", ".join(w.label for w in words.steps.values())),
        ("zones", "", ", ".join(w.label for w in words.zones.values())),
        ("side", "", "left, right, both sides"),
        ("blade", "", "upper blade, lower blade, both blades"),
        (_LINK, "", ", ".join(w.label for w in words.symptoms.values())),
        ("reed", "", "its id, for example: reed B fourteen"),
    )


def mark_examples(signal: str = DEFAULT_SIGNAL, instrument: str = "bassoon") -> tuple[str, ...]:
    """Marks as they are said: a short one, and one with every part."""
    zone = "windows" if instrument == "oboe" else "channels"
    return (f"{signal} crow", f"{signal} scrape {zone} left lower blade {_LINK} too resistant, reed B fourteen")


def mark_table(signal: str = DEFAULT_SIGNAL, words: Vocabulary | None = None) -> str:
    """A short plain-text table of the marks, for the command line."""
    rows = mark_parts(signal, words)
    body = "\n".join(f"{number}  {name:11s}{said}" for number, (name, _, said) in enumerate(rows, 1))
    example = mark_examples(signal, words.instrument if words else "bassoon")[1]
    return f"Say the parts in this order; only the first two are needed.\n\n{body}\n\nExample: {example}\n"
