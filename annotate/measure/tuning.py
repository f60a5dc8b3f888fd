"""Pitch as the trade writes it: note names, equal temperament, cents.

Conventions: frequencies in Hz; scientific pitch (C4 is middle C, the octave
number changes at C); notes counted as MIDI counts them (A4 = 69); cents are
hundredths of an equal-tempered semitone, positive = sharp. Plain names are
ASCII (``Bb1``, ``C#3``), shown names carry the signs (``B♭1``, ``C♯3``).

ISO 16:1975 sets the A above middle C to 440 Hz; orchestras differ, so every
function takes ``a4_hz`` (400-480, which spans period pitch 415 to the highest
in use).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite, log2

from annotate.errors import BadInput

A4_HZ = 440.0  # ISO 16:1975
LOWEST_A4_HZ = 400.0  # below period pitch 415 with room to spare
HIGHEST_A4_HZ = 480.0
A4_NUMBER = 69  # MIDI note number of A4
CENTS_PER_OCTAVE = 1200.0

# The spellings players use on bassoon and oboe: B♭ E♭ A♭ flat, C♯ F♯ sharp.
NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
_LETTERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_SIGNS = {"": 0, "#": 1, "♯": 1, "b": -1, "♭": -1}
_NOTE = re.compile(r"^([A-Ga-g])([#♯b♭]?)(-?\d{1,2})$")


@dataclass(frozen=True)
class Pitch:
    """A frequency placed on the equal-tempered scale: the nearest note and how far off, in cents (-50..50)."""

    hz: float
    name: str
    cents: float
    number: int
    a4_hz: float

    @property
    def shown(self) -> str:
        """The name with its sign, as a page shows it: ``B♭1``."""
        return shown(self.name)


def check_a4(a4_hz: float) -> float:
    """Return ``a4_hz``, or raise BadInput unless it lies in 400-480 Hz."""
    if not (isfinite(a4_hz) and LOWEST_A4_HZ <= a4_hz <= HIGHEST_A4_HZ):
        raise BadInput("is not a tuning for A4", f"{a4_hz:g} Hz", "Give 400 to 480 Hz; 440 is the standard.")
    return a4_hz


def check_hz(hz: float) -> float:
    """Return ``hz``, or raise BadInput unless it is a positive finite number."""
    if not (isfinite(hz) and hz > 0):
        raise BadInput("is not a pitch", f"{hz} Hz", "Give a frequency above 0 Hz.")
    return hz


def note_number(name: str) -> int:
    """MIDI number of a note name, plain or shown: ``C4`` is 60, ``Bb1`` and ``B♭1`` are 34.

    Raises
    ------
    BadInput
        If the text is no note name with an octave.
    """
    found = _NOTE.match(name.strip())
    if not found:
        raise BadInput("is not a note", name or "(nothing)", "Write letter, sign and octave, for example Bb1 or C#3.")
    letter, sign, octave = found.groups()
    return 12 * (int(octave) + 1) + _LETTERS[letter.upper()] + _SIGNS[sign]


def note_name(number: int) -> str:
    """Plain name of a MIDI number in the trade's spelling: 34 is ``Bb1``, 49 is ``C#3``."""
    return f"{NAMES[number % 12]}{number // 12 - 1}"


def shown(name: str) -> str:
    """A plain name with its signs: ``Bb1`` becomes ``B♭1``."""
    return name[:1] + name[1:].replace("#", "♯").replace("b", "♭")


def note_hz(name: str, a4_hz: float = A4_HZ) -> float:
    """Frequency (Hz) of a note: ``a4_hz * 2 ** ((n - 69) / 12)``."""
    return float(check_a4(a4_hz) * 2 ** ((note_number(name) - A4_NUMBER) / 12))


def place(hz: float, a4_hz: float = A4_HZ) -> Pitch:
    """The nearest equal-tempered note of a frequency (Hz) and the cents from it.

    ``n = 69 + 12 log2(f / A4)``, rounded; cents are ``100 (n - round(n))``.
    """
    exact = A4_NUMBER + 12 * log2(check_hz(hz) / check_a4(a4_hz))
    number = round(exact)
    return Pitch(hz, note_name(number), 100 * (exact - number), number, a4_hz)


def cents_between(hz: float, from_hz: float) -> float:
    """How far ``hz`` lies above ``from_hz`` in cents: ``1200 log2(hz / from_hz)``."""
    return CENTS_PER_OCTAVE * log2(check_hz(hz) / check_hz(from_hz))


def cents_text(cents: float) -> str:
    """Whole cents with their sign, as a page shows them: ``+8 cents``, ``−45 cents``, ``0 cents``."""
    whole = round(cents)
    if whole == 0:
        return "0 cents"
    return f"{'+' if whole > 0 else '−'}{abs(whole)} cent{'' if abs(whole) == 1 else 's'}"
