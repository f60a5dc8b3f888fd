"""Words without their dress: lower case, no punctuation around, numbers and ids by their kind."""

from __future__ import annotations

from functools import lru_cache

NUMBER, ID = "<n>", "<id>"


@lru_cache(maxsize=20_000)
def plain(text: str) -> str:
    """Lower case; letters, digits, and apostrophes and hyphens inside."""
    kept = (letter for letter in text.lower().replace("’", "'") if letter.isalnum() or letter in "'-")
    return "".join(kept).strip("'-")


def kind_of_number(word: str) -> str:
    """A plain word as it is, but a number and an id such as b14 by their kind."""
    if not any(letter.isdigit() for letter in word):
        return word
    return NUMBER if word.isdigit() else ID
