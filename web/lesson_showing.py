"""What the page of a lesson is told of how each clip is shown: its parts, what it is set against, its stills."""

from __future__ import annotations

from typing import Any

from annotate.errors import NotFound
from annotate.lesson.stills import moments
from annotate.lesson.told.choosing import tag_title
from annotate.lesson.told.passage import parts_of
from annotate.library.store import Library
from annotate.model import Before, Clip, Recording, Showing
from annotate.timecode import clock_tenths
from annotate.work.exporting import tags_of
from web.words import long_date

OFFERED_STILLS = 6
SOUND_TITLES = {"crow": "Crow", "play": "Playing"}


def shown(store: Library, showing: Showing, clip: Clip) -> dict[str, Any]:
    """How a clip whose recording is in the library is shown."""
    recording = store.recordings.get(clip.recording_id)
    sounds, lines = store.recordings.sounds(recording.id), store.lines.of_recording(recording.id)
    parts = parts_of(clip, showing, sounds, lines)
    end_ms = min(clip.end_ms, recording.duration_ms)
    return {
        "name": recording.name,
        "parts": [{"start_ms": one.start_ms, "end_ms": one.end_ms, "speed": one.speed} for one in parts],
        "stills": moments(clip.start_ms, end_ms, OFFERED_STILLS) if recording.has_picture else [],
        "before_told": told_before(store, clip.before) if clip.before else None,
    }


def told_before(store: Library, before: Before) -> dict[str, Any]:
    """What a clip is set against, in words."""
    try:
        recording = store.recordings.get(before.recording_id)
    except NotFound:
        return {"text": "a recording that has been removed", "is_missing": True}
    title = title_of(store, recording, before.start_ms, before.end_ms)
    return {
        "text": f"{title}, {where(store, recording)}, {span(before.start_ms, before.end_ms)}",
        "name": recording.name,
        "address": f"/sessions/{recording.session_id}?recording={recording.id}&at={before.start_ms}",
        "is_missing": not store.recordings.file(recording).is_file(),
    }


def title_of(store: Library, recording: Recording, start_ms: int, end_ms: int) -> str:
    """What a stretch of a recording shows: its tag, else the sound it holds most of."""
    tags = tags_of(Clip(recording.id, start_ms, end_ms), store.tags.of_recording(recording.id))
    if tags:
        return tag_title(tags[0], store.reeds.words(tags[0].reed_id))
    held = {"": 0}
    for sound in store.recordings.sounds(recording.id):
        shared = min(sound.end_ms, end_ms) - max(sound.start_ms, start_ms)
        title = SOUND_TITLES.get(sound.kind, "")
        if title and 2 * shared > end_ms - start_ms:
            held[title] = held.get(title, 0) + shared
    return max(held, key=lambda title: held[title]) or "A stretch"


def where(store: Library, recording: Recording) -> str:
    """The day and the name of a recording."""
    return f"{long_date(store.sessions.get(recording.session_id).date)}, {recording.name}"


def span(start_ms: int, end_ms: int) -> str:
    """From and to, to the tenth."""
    return f"{clock_tenths(start_ms)} to {clock_tenths(end_ms)}"
