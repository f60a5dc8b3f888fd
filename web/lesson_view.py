"""What the page of a lesson shows beyond the lesson itself."""

from __future__ import annotations

from typing import Any

from annotate.errors import NotFound
from annotate.lesson.shown.film import REVIEW_MS, STEP_MS, TITLE_MS
from annotate.lesson.shown.held import held_ms
from annotate.lesson.told.material import Material, Step
from annotate.lesson.told.summary import before_after
from annotate.library.store import Library
from annotate.model import Clip, Lesson, Recording, Session, Showing
from annotate.vocabulary import vocabulary
from annotate.work.exporting import ask_about, gather
from web.context import library
from web.lesson_alone import exported_alone
from web.lesson_showing import shown
from web.plain import plain
from web.words import long_date, session_name


def described(lesson: Lesson) -> dict[str, Any]:
    """A lesson as plain data, each clip with its recording, session and cautions."""
    store = library()
    alone = exported_alone(store, lesson)
    clips = [
        {**plain(clip), **_about(store, clip, lesson.showing), **one}
        for clip, one in zip(lesson.clips, alone, strict=True)
    ]
    return {
        **plain(lesson),
        "clips": clips,
        "duration_ms": sum(clip.end_ms - clip.start_ms for clip in lesson.clips),
        "film_ms": film_ms(store, lesson),
        "cautions": cautions(store, lesson),
        "asks_first": asks_first(lesson),
    }


def film_ms(store: Library, lesson: Lesson) -> int | None:
    """About how long the film will be: with cards, faster scraping, rests, and what clips are set against.

    None for no clips, or when a recording is gone.
    """
    if not lesson.clips:
        return None
    try:
        material = gather(store, lesson, needs_files=False)
    except NotFound:
        return None
    return sum(_step_ms(material, step) for step in material.steps) + _cards_ms(material)


def _step_ms(material: Material, step: Step) -> int:
    before = step.before.clip.end_ms - step.before.clip.start_ms if step.before else 0
    parts = material.parts(step)
    return before + sum((part.end_ms - part.start_ms) // part.speed for part in parts) + held_ms(step, parts)


def _cards_ms(material: Material) -> int:
    if not material.lesson.has_title_cards:
        return 0
    has_review = bool(material.lesson.review.strip() or before_after(material))
    return TITLE_MS + STEP_MS * len(material.steps) + (REVIEW_MS if has_review else 0)


def _about(store: Library, clip: Clip, showing: Showing) -> dict[str, Any]:
    try:
        recording = store.recordings.get(clip.recording_id)
    except NotFound:
        return {"is_missing": True, "is_removed": True, "where": "The recording of this clip has been removed."}
    session = store.sessions.get(recording.session_id)
    return {
        "is_missing": not _is_there(store, recording),
        "where": f"{_session_words(session)}: {recording.name}",
        "address": f"/sessions/{session.id}?recording={recording.id}&at={clip.start_ms}",
        "media": f"/media/recordings/{recording.id}/play",
        "has_picture": recording.has_picture,
        "recording_duration_ms": recording.duration_ms,
        "rate": float(recording.probe.rate) if recording.probe.rate else None,
        "cautions": [text for _, text in _cautions_of(store, clip)],
        **shown(store, showing, clip),
    }


def _session_words(session: Session) -> str:
    return f"{session.title}, {long_date(session.date)}" if session.title else session_name(session)


def _is_there(store: Library, recording: Recording) -> bool:
    return store.recordings.file(recording).is_file()


def _cautions_of(store: Library, clip: Clip) -> list[tuple[str, str]]:
    """The cautions (id, text) that the step of a clip's tag needs."""
    if clip.tag_id is None:
        return []
    try:
        tag = store.tags.get(clip.tag_id)
    except NotFound:
        return []
    words = vocabulary("bassoon")  # the steps and their cautions are the same for both instruments
    step = words.steps.get(tag.step)
    return [(name, words.cautions[name]) for name in (step.cautions if step else ()) if name in words.cautions]


def cautions(store: Library, lesson: Lesson) -> list[str]:
    """Every caution the lesson needs, once, in the order of its steps."""
    found = dict(pair for clip in lesson.clips for pair in _cautions_of(store, clip))
    return list(found.values())


def asks_first(lesson: Lesson) -> list[str]:
    """A sentence for each session of the lesson that is not free to share."""
    return [asks_about(session) for session in ask_about(library(), lesson)]


def asks_about(session: Session) -> str:
    """What must be asked before anything of a session that is not free to share may leave."""
    told = {
        "undecided": "Nobody has said yet whether {} may be shared.",
        "people": "People are in the picture of {}. Have they agreed?",
        "private": "{} is marked as not to share.",
    }
    return told[session.sharing].format(session_name(session))
