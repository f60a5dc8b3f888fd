"""The sounds of one reed over its sessions: which were heard with it in hand, its held notes, its crows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from annotate.library import Library
from annotate.measure.tuning import cents_between, note_hz, place
from annotate.model import Recording, Tag

HELD_NOTES = ("E3", "C#3")  # whether these hold is the classic test of a bassoon reed: common practice, no source
HELD_MS = 1000  # a shorter note is passed through, not held: the last third must be long enough to sag
# How far from its place a held note may lie and still be meant. C♯3 more than 40-50 cents flat is a common fault
# (a player's log in the literature of the double reed), so it must not turn into a sharp C3 and leave its line.
FLATTEST_CENTS, SHARPEST_CENTS = -85.0, 50.0


@dataclass(frozen=True)
class ReedSound:
    """A sound of playing or crowing; ``date`` is its session's day.

    ``measures`` are as they were stored, but for names of notes and cents: these are from the A4 of the settings,
    also where another was set when the recording was listened to.
    """

    id: int
    kind: str
    start_ms: int
    end_ms: int
    measures: dict[str, Any]
    recording: Recording
    date: str
    reed_id: int | None

    @property
    def middle_ms(self) -> int:
        return (self.start_ms + self.end_ms) // 2


@dataclass(frozen=True)
class HeldNote:
    """A note that was held, with the sound it is in; the name and cents of ``note`` are those of the wanted one.

    ``nearest``: the name of the nearest note, another one when it was held more than 50 cents flat.
    """

    note: dict[str, Any]
    sound: ReedSound
    nearest: str


def sound_from(library: Library, row: dict[str, Any], recording: Recording, tags: Sequence[Tag]) -> ReedSound:
    """A stored sound with its reed: that of the shortest tag around its middle, else the one in hand there."""
    middle = (row["start_ms"] + row["end_ms"]) // 2
    told = [tag for tag in tags if tag.reed_id and tag.start_ms <= middle < tag.end_ms]
    closest = min(told, key=lambda tag: tag.end_ms - tag.start_ms, default=None)
    return ReedSound(
        row["id"],
        row["kind"],
        row["start_ms"],
        row["end_ms"],
        placed(row["measures"] or {}, library.settings.get().a4_hz),
        recording,
        library.sessions.get(recording.session_id).date,
        closest.reed_id if closest else library.recordings.reed_at(recording, middle),
    )


def placed(measures: dict[str, Any], a4_hz: float) -> dict[str, Any]:
    """What was measured with every pitch named from this A4; the pitches in Hz stay what they were."""
    told = dict(measures)
    if "notes" in told:
        told["notes"] = [{**_named(note, a4_hz), "a4_hz": a4_hz} for note in told["notes"]]
    if "crow" in told:
        crow = told["crow"]
        partials = [_named(one, a4_hz) for one in crow["partials"]]
        told["crow"] = {**crow, "lowest": _named(crow["lowest"], a4_hz), "partials": partials, "a4_hz": a4_hz}
    return told


def _named(part: dict[str, Any], a4_hz: float) -> dict[str, Any]:
    found = place(part["hz"], a4_hz)
    return {**part, "note": found.name, "cents": found.cents}


def sound_by_id(library: Library, sound_id: int) -> ReedSound:
    """One sound, or NotFound."""
    row = library.recordings.measure(sound_id)
    recording = library.recordings.get(row["recording_id"])
    return sound_from(library, row, recording, library.tags.of_recording(recording.id))


def sounds_of_reed(library: Library, reed_id: int) -> list[ReedSound]:
    """Playing and crows with this reed in hand, the first session first."""
    tagged = {tag.recording_id for tag in library.tags.of_reed(reed_id)}
    found: list[ReedSound] = []
    for recording in library.recordings.all():
        shown = {one for _, one in library.recordings.reeds_shown(recording.id)}
        if recording.reed_id != reed_id and recording.id not in tagged and reed_id not in shown:
            continue
        tags = library.tags.of_recording(recording.id)
        rows = [row for row in library.recordings.measures(recording.id) if row["kind"] in ("play", "crow")]
        found += [one for row in rows if (one := sound_from(library, row, recording, tags)).reed_id == reed_id]
    return sorted(found, key=lambda one: (one.date, one.recording.session_id, one.recording.position, one.start_ms))


def held_notes(sounds: Sequence[ReedSound], name: str) -> list[HeldNote]:
    """The longest note of that name in each session, where one was held.

    Where none was, the longest that is more than 50 cents flat of it, so that a
    note that a reed holds badly does not vanish from its line.
    """
    found: list[HeldNote] = []
    for _, session in groupby(sounds, key=lambda sound: sound.recording.session_id):
        held = [_held(note, sound, name) for sound in session for note in sound.measures.get("notes", ())]
        meant = [one for one in held if one and _length(one.note) >= HELD_MS]
        if meant:
            found.append(max(meant, key=lambda one: (one.nearest == name, _length(one.note))))
    return found


def _held(note: dict[str, Any], sound: ReedSound, name: str) -> HeldNote | None:
    """The note as one that was meant to be ``name``; None if it lies too far off."""
    cents = cents_between(note["hz"], note_hz(name, note["a4_hz"]))
    if not FLATTEST_CENTS <= cents <= SHARPEST_CENTS:
        return None
    return HeldNote({**note, "note": name, "cents": cents}, sound, note["note"])


def _length(note: dict[str, Any]) -> int:
    return int(note["end_ms"] - note["start_ms"])
