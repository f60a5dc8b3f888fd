"""The moments that a new lesson can be made of, or that go into one that is there: tags and lines, in order of time."""

from __future__ import annotations

from dataclasses import dataclass, replace

from annotate.drawing.places import blade_name
from annotate.errors import NotFound
from annotate.find.question import Question
from annotate.lesson.told.choosing import clip_of_line, clip_of_tag
from annotate.model import Clip, Lesson, Tag
from annotate.timecode import clock
from web.context import library
from web.fields import Fields
from web.find import question_of
from web.words import long_date

MOST_OFFERED = 500


@dataclass(frozen=True)
class Moment:
    """A tag or line that can become a clip."""

    key: str
    title: str
    place: str  # on which blade and side a tag was: two tags may differ in nothing else
    where: str
    span: str
    note: str
    is_in: bool  # the lesson that it may go into shows it already
    when: tuple[str, int, int, int, int]  # the session's day and id, the recording's place and id, the start


def moments_of(fields: Fields, into: Lesson | None = None) -> list[Moment]:
    """The moments an address names: ``moments=tag:1,line:2``, ``session=3``, ``reed=4``, or a find; oldest first."""
    return sorted((_moment(key, into) for key in _keys(fields)), key=lambda one: one.when)


def _keys(fields: Fields) -> list[str]:
    store = library()
    if fields.choice("moments"):
        keys = [key.strip() for key in fields.text("moments").split(",") if key.strip()]
        return list(dict.fromkeys(keys))[:MOST_OFFERED]
    session_id = fields.optional_integer("session")
    question = question_of(fields, limit=MOST_OFFERED)
    if session_id:
        store.sessions.get(session_id)
        if question.is_empty:
            return [f"tag:{tag.id}" for tag in store.tags.of_session(session_id)[:MOST_OFFERED]]
    if question.is_empty:
        return []
    kinds = question.kinds if question.kinds in (("tag",), ("line",)) else _fitting_kinds(question)
    hits = store.find(replace(question, kinds=kinds))
    return [f"{hit.kind}:{hit.row_id}" for hit in hits if session_id in (None, hit.session_id)]


def _fitting_kinds(question: Question) -> tuple[str, ...]:
    """With words, tags and lines; with a reed, step or zone alone, the tags."""
    return ("tag", "line") if question.words() else ("tag",)


def clip_of(key: str) -> Clip:
    """The clip of a tag or line (``tag:12``, ``line:7``)."""
    store = library()
    kind, _, number = key.partition(":")
    row_id = Fields({"moment": number}).integer("moment")
    if kind == "tag":
        tag = store.tags.get(row_id)
        return clip_of_tag(tag, store.reeds.words(tag.reed_id))
    if kind == "line":
        return clip_of_line(store.lines.get(row_id))
    raise NotFound("is neither a tag nor a line", key)


def _moment(key: str, into: Lesson | None) -> Moment:
    store, clip = library(), clip_of(key)
    recording = store.recordings.get(clip.recording_id)
    session = store.sessions.get(recording.session_id)
    return Moment(
        key=key,
        title=clip.title,
        place=place_of(store.tags.get(clip.tag_id)) if clip.tag_id else "",
        where=f"{long_date(session.date)}, {recording.name}",
        span=f"{clock(clip.start_ms)} to {clock(clip.end_ms)}",
        note=clip.note,
        is_in=into is not None and _is_shown(clip, into),
        when=(session.date, session.id, recording.position, recording.id, clip.start_ms),
    )


def place_of(tag: Tag) -> str:
    """Blade and side of a tag in words, as ``wire-up blade, left``; nothing where neither is said."""
    store = library()
    instrument = store.reeds.get(tag.reed_id).instrument if tag.reed_id else "bassoon"
    blade = blade_name(tag.blade, instrument) if tag.blade else ""
    side = store.reeds.words(tag.reed_id).label("sides", tag.side) if tag.side else ""
    return ", ".join(filter(None, (blade, side))).lower()


def _is_shown(clip: Clip, lesson: Lesson) -> bool:
    """Whether the lesson shows more than half of the clip."""
    ours = [one for one in lesson.clips if one.recording_id == clip.recording_id]
    shared = sum(max(0, min(one.end_ms, clip.end_ms) - max(one.start_ms, clip.start_ms)) for one in ours)
    return 2 * shared > clip.end_ms - clip.start_ms
