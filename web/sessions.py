"""The page of all sessions."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass

from flask import Blueprint, render_template

from annotate.instants import clock_time, instant, today
from annotate.model import Recording, Session
from annotate.work.laying import says_when
from annotate.work.tracks import track_told, tracks_of
from web.context import library
from web.in_hand import reeds_in_hand

blueprint = Blueprint("sessions", __name__)
blueprint.add_app_template_filter(tracks_of, "sound_tracks")
blueprint.add_app_template_filter(track_told)


@dataclass(frozen=True)
class Entry:
    """A session as the list shows it."""

    session: Session
    recordings: list[Recording]
    reeds: list[str]
    tags: int

    @property
    def duration_ms(self) -> int:
        return sum(recording.duration_ms for recording in self.recordings)

    @property
    def began(self) -> str:
        """The clock time here at which its first recording began, or nothing."""
        told = [one.probe.recorded_at for one in self.recordings if one.probe.recorded_at and says_when(one)]
        return clock_time(min(told, key=instant)) if told else ""


def entries() -> list[Entry]:
    """Every session with its recordings and the reeds in hand, newest first."""
    store = library()
    recordings: dict[int, list[Recording]] = defaultdict(list)
    session_of: dict[int, int] = {}
    for recording in store.recordings.all():
        recordings[recording.session_id].append(recording)
        session_of[recording.id] = recording.session_id
    names = {reed.id: reed.name for reed in store.reeds.all()}
    reeds: dict[int, set[str]] = defaultdict(set)
    for recording_id, reed_ids in reeds_in_hand(store).items():
        reeds[session_of[recording_id]] |= {names[reed_id] for reed_id in reed_ids}
    tags = Counter(session_of[tag.recording_id] for tag in store.tags.all())
    return [
        Entry(session, recordings[session.id], sorted(reeds[session.id]), tags[session.id])
        for session in reversed(store.sessions.all())
    ]


@blueprint.get("/")
@blueprint.get("/sessions")
def index() -> str:
    """All sessions, newest first, and the form for a new one."""
    return render_template("sessions.html", entries=entries(), reeds=library().reeds.all(), into=None, today=today())


@blueprint.get("/sessions/<int:session_id>/about")
def about(session_id: int) -> str:
    """Day, weather and recordings of a session."""
    session = library().sessions.get(session_id)
    recordings = library().recordings.of_session(session_id)
    return render_template(
        "session_about.html",
        session=session,
        recordings=recordings,
        gone={one.id for one in recordings if not library().recordings.file(one).is_file()},
        reeds=library().reeds.all(),
    )
