"""Loads what is known about misheard trade words: ``doubtful.toml`` and the list of common words."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

# Points that a sound-alike needs unless its entry says otherwise.
NEEDED_POINTS = 2


@dataclass(frozen=True)
class Alike:
    """A way to mishear ``right``: allowed neighbours (empty is any), points needed."""

    right: str
    needs: int
    is_sure: bool
    before: frozenset[str]
    after: frozenset[str]
    not_before: frozenset[str]
    not_after: frozenset[str]

    def fits(self, before: str, after: str) -> bool:
        """Whether it may stand between these two words."""
        if (self.before and before not in self.before) or (self.after and after not in self.after):
            return False
        return before not in self.not_before and after not in self.not_after


@dataclass(frozen=True)
class DoubtData:
    alikes: Mapping[str, tuple[Alike, ...]]
    strong: frozenset[str]
    weak: frozenset[str]
    hints: Mapping[str, tuple[str, ...]]
    terms: tuple[str, ...]
    kinds: Mapping[str, tuple[str, ...]]
    heard_for: Mapping[str, tuple[str, ...]]


@cache
def doubt_data() -> DoubtData:
    table = tomllib.loads(resources.files("annotate.listen").joinpath("doubtful.toml").read_text("utf-8"))
    places: dict[str, list[str]] = table["places"]
    trade = {*table["context"]["strong"], *table["context"]["weak"]}
    alikes: dict[str, list[Alike]] = {}
    for entry in table["alike"]:
        # A word of the trade is taken as it was heard.
        for heard in entry["heard"]:
            if heard.removesuffix("'s") in trade:
                continue
            alikes.setdefault(heard, []).append(_alike(entry, places))
    return DoubtData(
        {heard: tuple(entries) for heard, entries in alikes.items()},
        frozenset(table["context"]["strong"]),
        frozenset(table["context"]["weak"]),
        {name: tuple(words) for name, words in table["hints"].items()},
        tuple(table["terms"]["words"]),
        {name: tuple(words) for name, words in table["kinds"].items()},
        {right: tuple(heard) for right, heard in table["heard_for"].items()},
    )


def _alike(entry: Mapping[str, Any], places: Mapping[str, list[str]]) -> Alike:
    def named(key: str) -> frozenset[str]:
        """Neighbours by word, or a whole list of them by its name with a colon before it."""
        words = entry.get(key, [])
        return frozenset(word for one in words for word in (places[one[1:]] if one.startswith(":") else [one]))

    return Alike(
        entry["right"],
        entry.get("needs", NEEDED_POINTS),
        entry.get("is_sure", False),
        named("before"),
        named("after"),
        named("not_before"),
        named("not_after"),
    )


@cache
def common_words() -> frozenset[str]:
    lines = resources.files("annotate.listen").joinpath("common_words.txt").read_text("utf-8").splitlines()
    return frozenset(line for line in lines if not line.startswith("#"))
