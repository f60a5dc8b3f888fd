"""The vocabulary made ready for finding: one finder for each kind of phrase, built once per vocabulary."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache, reduce
from importlib import resources
from typing import Any

from annotate.tagging.forms import bag, forms
from annotate.tagging.patterns import Finder, Pattern, compile_pattern
from annotate.vocabulary import Vocabulary, Word, vocabulary

BLADE_ZONES = bag("tip corners wings heart spine channels rails back collar blend windows catch whole")
WIRE_ZONES = bag("wire_1 wire_2 wire_3")


@dataclass(frozen=True)
class Lexicon:
    """Everything the rules look for, ready to be found."""

    instrument: str
    zones: frozenset[str]
    heard_as: Mapping[str, str]
    masks: Finder
    places: Finder  # finds "zones:tip", "blades:up", "sides:left"
    symptoms: Finder
    cues: Finder  # finds "step/needs"
    families: Finder  # the same, asked only where no cue of a clause holds
    modes: Finder
    none: Finder
    asides: Finder
    pointing: Finder
    corrections: Finder
    quantities: Finder


_FILES = ("speech", "families", "idioms")


@cache
def speech() -> dict[str, Any]:
    """The phrases of the ``_FILES`` as plain data, with their sets (``@much``) written out."""
    texts = [resources.files("annotate.vocabulary").joinpath(f"{n}.toml").read_text("utf-8") for n in _FILES]
    sets = {name: said for text in texts for name, said in _sets(text).items()}
    for name, members in sets.items():
        texts = [text.replace(f"@{name}", members) for text in texts]
    return reduce(_merged, map(tomllib.loads, texts))


def _sets(text: str) -> dict[str, str]:
    """The table of sets alone: a whole file is parsed only once, which keeps the start quick."""
    start = text.index("[sets]\n")
    sets: dict[str, str] = tomllib.loads(text[start : text.index("\n[", start)])["sets"]
    return sets


def build(words: Vocabulary, own: Mapping[str, Any] | None = None) -> Lexicon:
    """A lexicon for one instrument; ``own`` is the maker's additions in the form of ``speech.toml``."""
    data = _merged(speech(), own or {})
    return Lexicon(
        words.instrument,
        frozenset(words.zones),
        data["heard_as"],
        Finder(compile_pattern("mask", said) for said in data["masks"]["say"]),
        Finder(_places(words, data)),
        Finder(_symptoms(words, data)),
        Finder(_cues(words, data)),
        Finder(_phrases(data["families"])),
        Finder(_group(data["modes"])),
        Finder(_group(data["none"])),
        Finder(compile_pattern("aside", said) for said in data["asides"]["say"]),
        Finder(_group(data["pointing"])),
        Finder(compile_pattern("correction", said) for said in data["corrections"]["say"]),
        Finder(_group(data["quantities"])),
    )


@cache
def lexicon(instrument: str | None = None) -> Lexicon:
    """The lexicon of an instrument, or of both where it is not known, without the maker's own additions."""
    return build(vocabulary(instrument) if instrument else _both_instruments())


# Oboe words that makers of any reed use for the slope behind the tip.
_NOT_OBOE_ALONE = ("transition", "ramp", "slope", "plateau")


def _both_instruments() -> Vocabulary:
    """The bassoon's words and the zones only the oboe has, without aliases that mean another thing on a bassoon."""
    bassoon = vocabulary("bassoon")
    taken = set(_NOT_OBOE_ALONE) | {
        a for group in (bassoon.zones, bassoon.symptoms) for w in group.values() for a in w.aliases
    }
    zones = {
        key: word if key in bassoon.zones else replace(word, aliases=tuple(a for a in word.aliases if a not in taken))
        for key, word in {**vocabulary("oboe").zones, **bassoon.zones}.items()
    }
    return replace(bassoon, zones=zones)


def _merged(base: Mapping[str, Any], own: Mapping[str, Any]) -> dict[str, Any]:
    """Own lists are added to the base lists, own tables are merged into the base tables."""
    out = dict(base)
    for key, value in own.items():
        if isinstance(value, Mapping) and isinstance(out.get(key), Mapping):
            out[key] = _merged(out[key], value)
        elif isinstance(value, list) and isinstance(out.get(key), list):
            out[key] = [*out[key], *value]
        else:
            out[key] = value
    return out


def _group(table: Mapping[str, Iterable[str]]) -> Iterable[Pattern]:
    return (compile_pattern(key, said) for key, phrases in table.items() for said in phrases)


def _plain(meaning: str, alias: str) -> Pattern:
    """An alias is plain words; brackets and the like in a maker's own alias are taken as blanks."""
    return compile_pattern(meaning, " ".join(w.strip("(){}|[]*~.") for w in alias.lower().replace("-", " ").split()))


def _places(words: Vocabulary, data: Mapping[str, Any]) -> Iterable[Pattern]:
    for group in ("zones", "blades", "sides"):
        known = words.group(group)
        for word in known.values():
            for alias in word.aliases:
                yield _plain(f"{group}:{word.id}", alias)
            for said in data[group].get(word.id, ()):
                yield compile_pattern(f"{group}:{word.id}", said)


def _symptoms(words: Vocabulary, data: Mapping[str, Any]) -> Iterable[Pattern]:
    for word in words.symptoms.values():
        for alias in word.aliases:
            yield _plain(word.id, alias)
        for said in data["symptoms"].get(word.id, ()):
            yield compile_pattern(word.id, said)


def _cues(words: Vocabulary, data: Mapping[str, Any]) -> Iterable[Pattern]:
    yield from _phrases(data["cues"])
    for word in words.steps.values():
        yield from (_alias_cue(word, alias) for alias in word.aliases if _is_own(word, alias))


def _phrases(tables: Iterable[Mapping[str, Any]]) -> Iterable[Pattern]:
    for table in tables:
        for said in table["say"]:
            yield compile_pattern(f"{table['step']}/{table.get('needs', '')}", said)


def _is_own(word: Word, alias: str) -> bool:
    """Aliases the maker added: those that the package's own vocabulary does not hold."""
    packaged = vocabulary("bassoon").steps.get(word.id)
    return packaged is None or alias not in packaged.aliases


def _alias_cue(word: Word, alias: str) -> Pattern:
    first, *rest = alias.lower().replace("-", " ").split()
    return compile_pattern(f"{word.id}/", " ".join([f"~{first}" if first in forms(first) else first, *rest]))
