"""Two sounds of a reed side by side: from their files to loudness, differences and spectra."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from annotate.library import Library
from annotate.listen.audio import RATE_HZ, read_place, sound_of
from annotate.listen.compare import Difference, Matched, Picture, crows_differ, match, notes_differ, picture
from annotate.listen.crow import Crow, Partial
from annotate.listen.notes import Note
from annotate.listen.voiced import Samples
from annotate.work.files import original
from annotate.work.reed_sounds import ReedSound

LONGEST_MS = 60_000  # of a sound is compared: a minute says all that an average spectrum can
MOST_NOTES = 6  # pairs of notes; those held longest are the most telling


@dataclass(frozen=True)
class Pair:
    """Differences of one note (``what`` is its plain name) or of the crows (``what`` is "crow")."""

    what: str
    differences: tuple[Difference, ...]


@dataclass(frozen=True)
class Comparison:
    """Two sounds. ``is_cut``: only the first minute of one of them was compared."""

    first: ReedSound
    second: ReedSound
    matched: Matched
    picture: Picture
    pairs: tuple[Pair, ...]
    is_cut: bool


def compare(library: Library, first: ReedSound, second: ReedSound) -> Comparison:
    """Compare two stored sounds; Missing when a file is not where it was."""
    one, two = _samples(library, first), _samples(library, second)
    return Comparison(
        first,
        second,
        match(one, two, RATE_HZ, RATE_HZ),
        picture(one, two, RATE_HZ, RATE_HZ),
        tuple(pairs(first.measures, second.measures)),
        any(sound.end_ms - sound.start_ms > LONGEST_MS for sound in (first, second)),
    )


def _samples(library: Library, sound: ReedSound) -> Samples:
    path = original(library, sound.recording)
    end_ms = min(sound.end_ms, sound.start_ms + LONGEST_MS)
    return read_place(sound_of(path, sound.recording.probe, sound.start_ms, end_ms), RATE_HZ)


def pairs(first: dict[str, Any], second: dict[str, Any]) -> list[Pair]:
    """What can be compared in the measures of two sounds: their crows, or notes of the same name."""
    if "crow" in first and "crow" in second:
        return [Pair("crow", crows_differ(crow_from(first["crow"]), crow_from(second["crow"])))]
    one, two = _longest(first.get("notes", ())), _longest(second.get("notes", ()))
    both = sorted(one.keys() & two.keys(), key=lambda name: -min(_length(one[name]), _length(two[name])))
    return [Pair(name, notes_differ(one[name], two[name])) for name in both[:MOST_NOTES]]


def _longest(stored: Sequence[dict[str, Any]]) -> dict[str, Note]:
    """The longest note of each name."""
    found: dict[str, Note] = {}
    for note in (Note(**one) for one in stored):
        if note.note not in found or _length(note) > _length(found[note.note]):
            found[note.note] = note
    return found


def _length(note: Note) -> int:
    return note.end_ms - note.start_ms


def crow_from(stored: dict[str, Any]) -> Crow:
    """A crow from its stored form."""
    partials = tuple(Partial(**one) for one in stored["partials"])
    return Crow(**{**stored, "lowest": Partial(**stored["lowest"]), "partials": partials})
