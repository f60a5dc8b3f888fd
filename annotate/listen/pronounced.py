"""How English words sound: one letter for each sound, from a pronouncing dictionary or, for odd words, the spelling.

``pronounced.txt`` holds the words of the CMU Pronouncing Dictionary that are
common or belong to the trade, each of its 39 sounds as one letter. A word that
is not in it (recognisers write many that no dictionary has) is read by plain
spelling rules, which need only be near: the reader compares, it does not speak.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache
from importlib import resources

# The dictionary's names of sounds and our letters.
LETTERS = {
    "AA": "a", "AE": "æ", "AH": "ʌ", "AO": "ɔ", "AW": "Q", "AY": "I", "B": "b", "CH": "C", "D": "d", "DH": "ð",
    "EH": "e", "ER": "ɝ", "EY": "E", "F": "f", "G": "g", "HH": "h", "IH": "i", "IY": "y", "JH": "J", "K": "k",
    "L": "l", "M": "m", "N": "n", "NG": "ŋ", "OW": "o", "OY": "O", "P": "p", "R": "r", "S": "s", "SH": "S",
    "T": "t", "TH": "θ", "UH": "u", "UW": "U", "V": "v", "W": "w", "Y": "j", "Z": "z", "ZH": "Z",
}  # fmt: skip
VOWELS = "yieæaɔouUʌɝEIQO"
MOST_WAYS = 2
# Spelling to sound, the first that fits from left to right.
_SPELLING = (
    ("tion", "Sʌn"), ("ough", "ɔ"), ("augh", "ɔ"), ("igh", "I"), ("tch", "C"), ("dge", "J"), ("sch", "sk"),
    ("ch", "C"), ("sh", "S"), ("th", "θ"), ("ph", "f"), ("gh", ""), ("ck", "k"), ("qu", "kw"), ("wh", "w"),
    ("ng", "ŋ"), ("kn", "n"), ("wr", "r"), ("ee", "y"), ("ea", "y"), ("ie", "y"), ("oo", "U"), ("ou", "Q"),
    ("ow", "o"), ("oa", "o"), ("ai", "E"), ("ay", "E"), ("ei", "E"), ("ey", "y"), ("oi", "O"), ("oy", "O"),
    ("au", "ɔ"), ("aw", "ɔ"), ("ew", "U"), ("ue", "U"), ("ui", "U"), ("er", "ɝ"), ("ir", "ɝ"), ("ur", "ɝ"),
    ("ar", "ar"), ("or", "ɔr"), ("ce", "s"), ("ci", "si"), ("cy", "sy"), ("x", "ks"), ("q", "k"), ("c", "k"),
    ("j", "J"), ("y", "y"), ("a", "æ"), ("e", "e"), ("i", "i"), ("o", "a"), ("u", "ʌ"),
)  # fmt: skip
_LONG = {"a": "E", "e": "y", "i": "I", "o": "o", "u": "U"}
_SOFT = {"c": "s", "g": "J"}
_LONG_BY_E = re.compile(r"([aeiou])([bcdfgklmnprstvz])e([sd]?)$")
_ENDINGS = {"le": "ʌl", "es": "z", "e": ""}


@cache
def _dictionary() -> dict[str, tuple[str, ...]]:
    lines = resources.files("annotate.listen").joinpath("pronounced.txt").read_text("utf-8").splitlines()
    pairs = (line.split() for line in lines if not line.startswith("#"))
    return {word: tuple(ways) for word, *ways in pairs}


@lru_cache(maxsize=20_000)
def sounds_of(word: str) -> tuple[str, ...]:
    """Ways to say a plain word, the most usual first; an empty one for what has no letters."""
    known = _dictionary().get(word)
    if known:
        return known[:MOST_WAYS]
    stem = word.removesuffix("'s")
    if stem != word:
        return tuple(way + "z" for way in sounds_of(stem))
    parts = [part for part in re.split("[-']", word) if part]
    if len(parts) > 1:
        return ("".join(sounds_of(part)[0] for part in parts),)
    return (_read(re.sub("[^a-z]", "", word)),)


def sounds_together(words: tuple[str, ...]) -> tuple[str, ...]:
    """Ways to say several words without a pause."""
    ways = [""]
    for word in words:
        ways = [way + more for way in ways for more in sounds_of(word)][: MOST_WAYS + 1]
    return tuple(ways)


def _read(word: str) -> str:
    """A word of the letters a to z by its spelling."""
    out, at = "", 0
    while at < len(word):
        rest = word[at:]
        silent_e = _LONG_BY_E.match(rest)
        if silent_e and at:
            vowel, consonant, ending = silent_e.groups()
            out += _LONG[vowel] + _SOFT.get(consonant, consonant) + ending.replace("s", "z")
            break
        if at and rest in _ENDINGS:
            out += _ENDINGS[rest]
            break
        spelling, sound = next(((one, to) for one, to in _SPELLING if rest.startswith(one)), (rest[0], rest[0]))
        out += sound
        at += len(spelling)
    return re.sub(r"(.)\1+", r"\1", out)
