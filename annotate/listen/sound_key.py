"""How alike two English words sound, from their spelling alone: rough, but enough to rank misheard words.

A word's key is its consonants by sound (ph as f, soft c as s, silent letters
left out) with every run of vowels as one "a". The distance counts changes:
less between consonants made at the same place, and for vowels.
"""

from __future__ import annotations

import re
from functools import cache

# Spelling to sound, in this order. One letter stands for one sound: X = sh or ch, 0 = th.
_SPELLING = (
    ("tch", "X"),
    ("sch", "sk"),
    ("ch", "X"),
    ("sh", "X"),
    ("th", "0"),
    ("ph", "f"),
    ("gh", ""),
    ("ck", "k"),
    ("qu", "kw"),
    ("wh", "w"),
    ("dge", "j"),
    ("x", "ks"),
    ("q", "k"),
    ("z", "s"),
)
_SILENT_AT_START = (("kn", "n"), ("wr", "r"), ("gn", "n"), ("ps", "s"))
# Sounds made at the same place in the mouth: easily taken for each other.
_KIN = ("bp", "dt0", "gk", "fv", "sXj", "mn", "lr", "vw")
KIN_COST = 0.4
VOWEL_COST = 0.3
OTHER_COST = 1.0


@cache
def sound_key(text: str) -> str:
    """The key of a word or of several words run together."""
    word = re.sub(r"[^a-z]", "", text.lower())
    for spelling, sound in _SILENT_AT_START:
        if word.startswith(spelling):
            word = sound + word[len(spelling) :]
    word = re.sub(r"(?<=[a-z])e(?=s?$)", "", word) if len(word) > 3 else word
    for spelling, sound in _SPELLING:
        word = word.replace(spelling, sound)
    word = re.sub(r"c(?=[eiy])", "s", word).replace("c", "k")
    word = re.sub(r"[aeiouyh]+", "a", word)
    return re.sub(r"(.)\1+", r"\1", word)


def _cost(one: str, other: str) -> float:
    if one == other:
        return 0.0
    return KIN_COST if any(one in kin and other in kin for kin in _KIN) else OTHER_COST


def _alone(sound: str) -> float:
    return VOWEL_COST if sound == "a" else OTHER_COST


@cache
def distance(one: str, other: str) -> float:
    """How far two keys are apart, as a share of the longer one's weight: 0 for the same, 1 for nothing alike."""
    row = [0.0]
    for sound in other:
        row.append(row[-1] + _alone(sound))
    longest = max(sum(_alone(sound) for sound in one), row[-1])
    for sound in one:
        above, row = row, [row[0] + _alone(sound)]
        for number, target in enumerate(other):
            change = above[number] + _cost(sound, target)
            row.append(min(change, above[number + 1] + _alone(sound), row[number] + _alone(target)))
    return row[-1] / longest if longest else 0.0
