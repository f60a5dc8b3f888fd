"""The earlier moments of a clip's reed, which it can be set against: tags, crows and playing, newest first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from flask import Blueprint, Response, jsonify

from annotate.errors import NotFound
from annotate.lesson.told.choosing import tag_title
from annotate.library.store import Library
from annotate.model import Clip, Recording
from annotate.work.exporting import step_of
from web.context import library
from web.fields import asked
from web.in_hand import reeds_in_hand
from web.lesson_moments import place_of
from web.lesson_showing import SOUND_TITLES, span, where

blueprint = Blueprint("lesson_earlier", __name__, url_prefix="/api/lessons")

MOST_OFFERED = 200
When = tuple[str, int, int, int, int]
Found = tuple[When, str, Recording, int, int]  # when, what, where, from, to


@blueprint.get("/earlier")
def earlier() -> Response:
    """What a clip (``recording_id``, ``start_ms``, ``end_ms``, ``tag_id``) can be set against."""
    fields, store = asked(), library()
    clip = Clip(
        fields.integer("recording_id"),
        fields.integer("start_ms"),
        fields.integer("end_ms"),
        tag_id=fields.optional_integer("tag_id"),
    )
    step = step_of(store, 1, clip)
    moments = _moments(store, clip, step.reed.id) if step.reed else []
    return jsonify(
        reed=step.reed.name if step.reed else None,
        moments=[
            {
                "recording_id": recording.id,
                "start_ms": start,
                "end_ms": end,
                "title": title,
                "where": f"{where(store, recording)}, {span(start, end)}",
            }
            for _, title, recording, start, end in moments
        ],
        recordings=[_recording(store, one) for one in _in_order(store)],
    )


def _recording(store: Library, one: Recording) -> dict[str, Any]:
    return {
        "id": one.id,
        "name": where(store, one),
        "media": f"/media/recordings/{one.id}/play",
        "rate": float(one.probe.rate) if one.probe.rate else None,
        "has_picture": one.has_picture,
        "is_missing": not store.recordings.file(one).is_file(),
        "duration_ms": one.duration_ms,
    }


def _in_order(store: Library) -> list[Recording]:
    """All recordings, those of the newest session first."""
    days = {one.id: one.date for one in store.sessions.all()}
    return sorted(
        store.recordings.all(), key=lambda one: (days[one.session_id], one.session_id, -one.position), reverse=True
    )


def _moments(store: Library, clip: Clip, reed_id: int) -> list[Found]:
    now = _when(store, store.recordings.get(clip.recording_id), clip.start_ms)
    found = [
        one
        for one in (*_tags(store, reed_id), *_sounds(store, reed_id))
        if one[0] < now and not (one[2].id == clip.recording_id and one[4] > clip.start_ms)
    ]
    return sorted(found, key=lambda one: one[0], reverse=True)[:MOST_OFFERED]


def _when(store: Library, recording: Recording, start_ms: int) -> When:
    session = store.sessions.get(recording.session_id)
    return session.date, session.id, recording.position, recording.id, start_ms


def _tags(store: Library, reed_id: int) -> Iterator[Found]:
    for tag in store.tags.of_reed(reed_id):
        try:
            recording = store.recordings.get(tag.recording_id)
        except NotFound:
            continue
        title = ", ".join(filter(None, (tag_title(tag, store.reeds.words(reed_id)), place_of(tag))))
        yield _when(store, recording, tag.start_ms), title, recording, tag.start_ms, tag.end_ms


def _sounds(store: Library, reed_id: int) -> Iterator[Found]:
    """Crows and playing; where several reeds were in hand, those in a tag of this one."""
    for recording_id, reeds in reeds_in_hand(store).items():
        if reed_id not in reeds:
            continue
        recording = store.recordings.get(recording_id)
        ours = [tag for tag in store.tags.of_recording(recording_id) if tag.reed_id == reed_id]
        for sound in store.recordings.sounds(recording_id):
            is_ours = len(reeds) == 1 or any(t.start_ms < sound.end_ms and sound.start_ms < t.end_ms for t in ours)
            if sound.kind in SOUND_TITLES and is_ours:
                when = _when(store, recording, sound.start_ms)
                yield when, SOUND_TITLES[sound.kind], recording, sound.start_ms, sound.end_ms
