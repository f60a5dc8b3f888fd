"""Loads the trade words of one instrument from the TOML files beside this module.

``common.toml`` holds what both instruments share (steps, symptoms, blades,
sides, quantities); ``bassoon.toml`` and ``oboe.toml`` hold the zones. Each
entry: ``label`` (what a page shows), ``meaning`` (one line), ``aliases`` (how
it is said). A user's own file of the same form adds aliases.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any

from annotate.errors import BadInput, BadWord

INSTRUMENTS = ("bassoon", "oboe")
GROUPS = ("steps", "zones", "blades", "sides", "symptoms")


@dataclass(frozen=True)
class Word:
    """One trade word: fixed ``id``, ``label`` for pages, ``meaning``, ``aliases`` as said, ``cautions`` ids."""

    id: str
    label: str
    meaning: str = ""
    aliases: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Vocabulary:
    """The words of one instrument by group; iteration keeps the file's order."""

    instrument: str
    steps: Mapping[str, Word]
    zones: Mapping[str, Word]
    blades: Mapping[str, Word]
    sides: Mapping[str, Word]
    symptoms: Mapping[str, Word]
    cautions: Mapping[str, str] = field(default_factory=dict)

    def group(self, name: str) -> Mapping[str, Word]:
        """The words of ``steps``, ``zones``, ``blades``, ``sides`` or ``symptoms``."""
        found: Mapping[str, Word] = getattr(self, name)
        return found

    def check(self, group: str, ids: tuple[str, ...] | str | None) -> None:
        """Raise BadWord unless every id is in the group (None and () pass)."""
        if ids is None:
            return
        words = self.group(group)
        for one in (ids,) if isinstance(ids, str) else ids:
            if one not in words:
                raise BadWord(
                    f"is not one of the {group} of the {self.instrument}",
                    one or "(nothing)",
                    f"Use one of {', '.join(words)}.",
                )

    def with_own_words(self, text: str) -> Vocabulary:
        """The vocabulary with the maker's own aliases: TOML such as ``[zones.rails]`` with ``aliases = [...]``.

        Ids stay as they are: an id that is not there raises BadWord, text that is no such TOML BadInput.
        """
        try:
            own = tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            raise BadInput(f"cannot be read: {error}", "Your own words", "Mend that line and try again.") from None
        changed: dict[str, Mapping[str, Word]] = {}
        for group, entries in own.items():
            if group not in GROUPS:
                raise BadWord("is not a group of words", group, f"Use one of {', '.join(GROUPS)}.")
            changed[group] = _with_aliases(self, group, entries)
        return replace(self, **changed)  # type: ignore[arg-type]

    def label(self, group: str, word_id: str) -> str:
        """The label of an id, or the id itself when another instrument's word is met."""
        word = self.group(group).get(word_id)
        return word.label if word else word_id


def _words(table: Mapping[str, Any]) -> Mapping[str, Word]:
    return MappingProxyType(
        {
            key: Word(
                key,
                entry["label"],
                entry.get("meaning", ""),
                tuple(entry.get("aliases", ())),
                tuple(entry.get("cautions", ())),
            )
            for key, entry in table.items()
        }
    )


def _with_aliases(words: Vocabulary, group: str, entries: Mapping[str, Any]) -> Mapping[str, Word]:
    known = dict(words.group(group))
    for word_id, entry in entries.items():
        words.check(group, word_id)
        aliases = entry.get("aliases", []) if isinstance(entry, Mapping) else None
        if not isinstance(aliases, list) or not all(isinstance(a, str) and a.strip() for a in aliases):
            raise BadInput("needs aliases, a list of phrases", f"{group}.{word_id}", 'Write aliases = ["one", "two"].')
        before = known[word_id]
        known[word_id] = replace(before, aliases=tuple(dict.fromkeys((*before.aliases, *aliases))))
    return MappingProxyType(known)


def _read(name: str) -> dict[str, Any]:
    return tomllib.loads(resources.files("annotate.vocabulary").joinpath(name).read_text("utf-8"))


@cache
def vocabulary(instrument: str = "bassoon") -> Vocabulary:
    """The vocabulary of ``bassoon`` or ``oboe``; BadWord for any other."""
    if instrument not in INSTRUMENTS:
        raise BadWord("is not an instrument Benchreel knows", instrument, f"Use one of {', '.join(INSTRUMENTS)}.")
    common, own = _read("common.toml"), _read(f"{instrument}.toml")
    return Vocabulary(
        instrument,
        _words(common["steps"]),
        _words(own["zones"]),
        _words(common["blades"]),
        _words(common["sides"]),
        _words(common["symptoms"]),
        MappingProxyType(common.get("cautions", {})),
    )
