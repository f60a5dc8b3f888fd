"""The sounds of one reed over its sessions: which were heard with it in hand, its held notes, its crows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from annotate.library import Library
from annotate.model import Recording, Tag

HELD_NOTES = ("E3", "C#3")  # whether these hold is the classic test of a bassoon reed: common practice, no source
HELD_MS = 1000  # a shorter note is passed through, not held: the last third must be long enough to sag


@dataclass(frozen=True)
class ReedSound:
    """A sound of playing or crowing with ``measures`` as they were stored; ``date`` is its session's day."""

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
    """A note that was held, with the sound it is in."""

    note: dict[str, Any]
    sound: ReedSound


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
        row["measures"] or {},
        recording,
        library.sessions.get(recording.session_id).date,
        closest.reed_id if closest else library.recordings.reed_at(recording, middle),
    )


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
    """The longest note of that name in each session, where one was held."""
    longest: dict[int, HeldNote] = {}
    for sound in sounds:
        for note in sound.measures.get("notes", ()):
            if note["note"] != name or _length(note) < HELD_MS:
                continue
            before = longest.get(sound.recording.session_id)
            if before is None or _length(note) > _length(before.note):
                longest[sound.recording.session_id] = HeldNote(note, sound)
    return list(longest.values())


def _length(note: dict[str, Any]) -> int:
    return int(note["end_ms"] - note["start_ms"])
