"""How far two pronunciations are apart: the cheapest changes that make one of the other.

Conventions
-----------
Pronunciations are strings of the letters of ``pronounced``. A change of a
consonant costs by how many of place, manner and voice differ, a change of a
vowel by how far the tongue moves, leaving a sound out or putting one in by how
much it is heard. The costs are ours, set by hand on the errors of a recogniser
(tests/bench/speech_sentences, tuning); the features of the sounds are those of
any textbook of phonetics (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from annotate.listen.pronounced import LETTERS, VOWELS

# Vowels by the tongue: how far down (0 closed, 3 open) and how far back (0 front, 2 back).
_TONGUE = {
    "y": (0.0, 0.0), "i": (0.5, 0.3), "e": (1.5, 0.4), "æ": (2.4, 0.6), "a": (3.0, 1.6), "ɔ": (2.2, 2.2),
    "o": (1.0, 2.0), "u": (0.7, 1.7), "U": (0.0, 1.8), "ʌ": (1.8, 1.3), "ɝ": (1.4, 1.2), "E": (1.0, 0.2),
    "I": (2.0, 0.8), "Q": (2.2, 1.6), "O": (1.2, 1.5),
}  # fmt: skip
# Consonants: place from the lips (0) to the throat (7), manner, voice.
_MADE = {
    "p": (0, "stop", 0), "b": (0, "stop", 1), "t": (3, "stop", 0), "d": (3, "stop", 1), "k": (6, "stop", 0),
    "g": (6, "stop", 1), "f": (1, "hiss", 0), "v": (1, "hiss", 1), "θ": (2, "hiss", 0), "ð": (2, "hiss", 1),
    "s": (3, "hiss", 0), "z": (3, "hiss", 1), "S": (4, "hiss", 0), "Z": (4, "hiss", 1), "C": (4, "burst", 0),
    "J": (4, "burst", 1), "h": (7, "hiss", 0), "m": (0, "nose", 1), "n": (3, "nose", 1), "ŋ": (6, "nose", 1),
    "l": (3, "l", 1), "r": (4, "r", 1), "w": (0, "w", 1), "j": (5, "w", 1),
}  # fmt: skip
_KIN = {
    frozenset(pair)
    for pair in (("burst", "hiss"), ("burst", "stop"), ("l", "r"), ("l", "w"), ("r", "w"), ("nose", "stop"))
}
_GLIDES = {frozenset(pair) for pair in ("ɝr", "ow", "Uw", "ol", "yj", "ʌr")}
PLACE_COST, PLACE_STEP_COST = 0.35, 0.05
KIN_COST, MANNER_COST, VOICE_COST = 0.35, 0.6, 0.25
VOWEL_COST, TONGUE_COST, MOST_VOWEL_COST = 0.15, 0.22, 0.8
GLIDE_COST, MOST_COST, OTHER_COST = 0.5, 1.2, 1.3
VOWEL_GAP, FAINT_GAP, GAP = 0.6, 0.5, 0.8
FAINT = "hjw"

_ALL = "".join(LETTERS.values())
_NUMBER = {letter: number for number, letter in enumerate(_ALL, start=1)}


def _change(one: str, other: str) -> float:
    if one == other:
        return 0.0
    if one in VOWELS and other in VOWELS:
        (down, back), (other_down, other_back) = _TONGUE[one], _TONGUE[other]
        return min(MOST_VOWEL_COST, VOWEL_COST + TONGUE_COST * (abs(down - other_down) + abs(back - other_back)))
    if one in _MADE and other in _MADE:
        (place, manner, voice), (other_place, other_manner, other_voice) = _MADE[one], _MADE[other]
        cost = PLACE_COST + PLACE_STEP_COST * abs(place - other_place) if place != other_place else 0.0
        if manner != other_manner:
            cost += KIN_COST if frozenset((manner, other_manner)) in _KIN else MANNER_COST
        return min(MOST_COST, cost + VOICE_COST * (voice != other_voice))
    return GLIDE_COST if frozenset((one, other)) in _GLIDES else OTHER_COST


def _gap(letter: str) -> float:
    return VOWEL_GAP if letter in VOWELS else FAINT_GAP if letter in FAINT else GAP


# Row and column 0 stand for "no sound here".
_CHANGE = np.array([[0.0] * (len(_ALL) + 1), *([0.0, *(_change(a, b) for b in _ALL)] for a in _ALL)])
_GAP = np.array([0.0, *map(_gap, _ALL)])


def weight(sounds: str) -> float:
    """What it costs to leave out all of a pronunciation."""
    return float(sum(_gap(sound) for sound in sounds))


class SoundList:
    """Pronunciations that one is compared with, all at once; arrays of shape (sounds of the longest, n)."""

    def __init__(self, pronunciations: Sequence[str]) -> None:
        self._length = np.array([len(one) for one in pronunciations], np.intp)
        self._sounds = np.zeros((max(self._length, default=0), len(pronunciations)), np.intp)
        for number, one in enumerate(pronunciations):
            self._sounds[: len(one), number] = [_NUMBER[sound] for sound in one]
        self._gaps = _GAP[self._sounds]
        self.weights = self._gaps.sum(axis=0)

    def distances(self, sounds: str, columns: NDArray[np.intp] | None = None) -> NDArray[np.float64]:
        """Distance of ``sounds`` to each (or to those in ``columns``): the classic table of least changes."""
        lengths = self._length if columns is None else self._length[columns]
        rows = int(lengths.max(initial=0))
        cut = (slice(rows),) if columns is None else (slice(rows), columns)
        letters, gaps = self._sounds[cut], self._gaps[cut]
        # Kept without the gaps up to each place: then what is left out along a row costs nothing more.
        left_out = np.zeros((rows + 1, len(lengths)))
        np.cumsum(gaps, axis=0, out=left_out[1:])
        row = np.zeros_like(left_out)
        for number in (_NUMBER[sound] for sound in sounds):
            above, row = row, row + _GAP[number]
            np.minimum(row[1:], above[:-1] + (_CHANGE[number][letters] - gaps), out=row[1:])
            for at in range(rows):
                np.minimum(row[at], row[at + 1], out=row[at + 1])
        last: NDArray[np.float64] = (row + left_out)[lengths, np.arange(len(lengths))]
        return last

    def shares(self, ways: Sequence[str], columns: NDArray[np.intp] | None = None) -> NDArray[np.float64]:
        """Distance of the nearest of several ways to say something, as a share of the longer one's weight."""
        far = np.min([self.distances(way, columns) for way in ways], axis=0)
        weights = self.weights if columns is None else self.weights[columns]
        return np.asarray(far / np.maximum(np.maximum(weights, max(map(weight, ways))), 1e-9))

    def may_be_near(self, ways: Sequence[str], farthest: NDArray[np.float64]) -> NDArray[np.intp]:
        """Numbers of those that can be within a share of ``farthest`` (n,) by their weight alone.

        Two are never nearer than their weights are apart: no change costs less than the gaps of its two differ.
        """
        weights = [weight(way) for way in ways]
        light, heavy = min(weights), max(weights)
        apart = np.maximum(np.maximum(self.weights - heavy, light - self.weights), 0.0)
        return np.flatnonzero(apart <= farthest * np.maximum(self.weights, heavy) + 1e-9)


def distance(one: str, other: str) -> float:
    """Between two pronunciations; 0 for the same."""
    return float(SoundList([other]).distances(one)[0])
