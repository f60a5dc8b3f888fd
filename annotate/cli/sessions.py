"""Commands for sessions and their recordings."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import click

from annotate import timecode
from annotate.cli.common import DAY, bar, command, fail, opened, plain, show, watch_jobs
from annotate.cli.moments import tag_text
from annotate.errors import AlreadyThere, BenchreelError
from annotate.formats import captions, subrip, timed_text, webvtt
from annotate.formats.cues import Cue
from annotate.instants import day_of, today
from annotate.library import Library
from annotate.library.removing import remove_session
from annotate.measure.units import number
from annotate.model import SHARING, Job, Recording, Session
from annotate.vocabulary.counted import counted
from annotate.work.adding import Adding, add_file, cut_short_told, jobs_for


def register(cli: click.Group) -> None:
    """Add the commands."""
    _register_add(cli)

    @cli.group()
    def session() -> None:
        """Sessions: one sitting at the bench each."""

    @command(session, "add")
    @click.argument("date", type=DAY)
    @_about
    def add(folder: Path, as_json: bool, date: str, **about: str | None) -> None:
        """Add a session of a day (year-month-day)."""
        with opened(folder, create=True) as library:
            made = library.sessions.add(replace(Session(date), **_told(about)))
        show(as_json, made, f"Session {made.id} of {made.date} is in the library.")

    @command(session, "change")
    @click.argument("session_id", type=int)
    @click.option("--date", type=DAY)
    @_about
    def change(folder: Path, as_json: bool, session_id: int, **about: str | None) -> None:
        """Change what is known about a session."""
        with opened(folder) as library:
            made = library.sessions.change(replace(library.sessions.get(session_id), **_told(about)))
        show(as_json, made, f"Session {made.id} is changed.")

    @command(session, "remove")
    @click.argument("session_id", type=int)
    def remove(folder: Path, as_json: bool, session_id: int) -> None:
        """Take a session out with its recordings; undo brings it back. The files stay where they are."""
        with opened(folder) as library:
            gone = remove_session(library, session_id)
        told = f"Session {gone.id} of {gone.date} is removed; benchreel undo brings it back. Its files stay."
        show(as_json, {"removed": session_id}, told)

    @command(session, "list")
    def list_(folder: Path, as_json: bool) -> None:
        """All sessions, oldest first."""
        with opened(folder) as library:
            found = library.sessions.all()
        show(as_json, found, [f"{s.id:>4}  {s.date}  {s.title}" for s in found] or "No sessions yet.")

    @command(session, "show")
    @click.argument("session_id", type=int)
    def show_(folder: Path, as_json: bool, session_id: int) -> None:
        """A session with its recordings, lines and tags."""
        with opened(folder) as library:
            one = library.sessions.get(session_id)
            recordings = library.recordings.of_session(session_id)
            lines = {r.id: library.lines.of_recording(r.id) for r in recordings}
            tags = {r.id: library.tags.of_recording(r.id) for r in recordings}
        text = [f"Session {one.id}, {one.date} {one.title}".rstrip()]
        for r in recordings:
            short = f". {cut}" if (cut := cut_short_told(r)) else ""
            text.append(f"Recording {r.id}: {r.name}, {timecode.clock(r.duration_ms)}{short}")
            text += [f"  {timecode.clock(line.start_ms):>7}  {line.text}" for line in lines[r.id]]
            text += [tag_text(tag) for tag in tags[r.id]]
        body = [{**plain(r), "lines": plain(lines[r.id]), "tags": plain(tags[r.id])} for r in recordings]
        show(as_json, {"session": plain(one), "recordings": body}, text)

    @command(cli, "lines")
    @click.argument("recording_id", type=int)
    @click.option("--format", "form", type=click.Choice(["text", "vtt", "srt"]), default="text", show_default=True)
    def lines(folder: Path, as_json: bool, recording_id: int, form: str) -> None:
        """The lines of a recording, as text with times, WebVTT or SubRip."""
        with opened(folder) as library:
            recording = library.recordings.get(recording_id)
            found = library.lines.of_recording(recording_id)
        if form == "text":
            text = timed_text.write([Cue(line.start_ms, line.end_ms, line.text) for line in found])
        else:
            text = {"vtt": webvtt, "srt": subrip}[form].write(captions.cut(found, recording.duration_ms))
        show(as_json, found, text.rstrip("\n") or "No lines yet.")


def _about(function: Any) -> Any:
    for name in ("title", "place", "temperature-c", "humidity-percent", "note"):
        function = click.option(f"--{name}")(function)
    sharing = click.Choice(SHARING)
    return click.option("--sharing", type=sharing, help="May it be shared, and are people in it?")(function)


def _told(about: dict[str, str | None]) -> dict[str, Any]:
    told: dict[str, Any] = {key: value for key, value in about.items() if value is not None}
    for key in ("temperature_c", "humidity_percent"):
        if key in told:
            told[key] = number(told[key])
            assert isinstance(told[key], Decimal)
    return told


def _register_add(cli: click.Group) -> None:
    @command(cli, "add")
    @click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
    @click.option("--session", "session_id", type=int, help="Add to this session, else a new one is made.")
    @click.option(
        "--date", type=DAY, help="Day of the new session; else that of the first file, in this computer's zone."
    )
    @click.option("--title", default="", help="Title of the new session.")
    @click.option("--reed", help="The reed in hand (your id).")
    @click.option("--in-place", is_flag=True, help="Leave the files where they are instead of copying them.")
    @click.option("--sound", "sound_stream", type=int, help="Which sound stream to use (its number in the file).")
    @click.option("--later", is_flag=True, help="Only put the work into the queue.")
    def add(
        folder: Path,
        as_json: bool,
        files: tuple[Path, ...],
        session_id: int | None,
        date: str | None,
        title: str,
        reed: str | None,
        in_place: bool,
        sound_stream: int | None,
        later: bool,
    ) -> None:
        """Add recordings: they are copied, prepared for the pages, and listened to."""
        with opened(folder, create=True) as library:
            reed_id = library.reeds.by_name(reed).id if reed else None
            if session_id is not None:
                library.sessions.get(session_id)
            how = Adding(keep=not in_place, reed_id=reed_id, sound_stream=sound_stream)
            target = _Target(library, how, date, title, session_id)
            added = [_add_one(target, file) for file in files]
            fresh = [entry["recording"] for entry in added if entry.get("recording")]
            jobs = [job for recording in fresh for job in jobs_for(library, recording)]
            ended = [] if later else _work(library, jobs, fresh)
        show(as_json, {"files": plain(added), "work": plain(ended or jobs)}, [entry["text"] for entry in added])
        refused = [entry for entry in added if entry["state"] == "refused"]
        failed = [job.error for job in ended if job.state != "done"]
        if refused or failed:
            fail(f"{len(refused)} of {counted(len(files), 'file')} could not be added.", *failed)


@dataclass
class _Target:
    """Where added files go; makes the session when the first good file is there."""

    library: Library
    how: Adding
    date: str | None
    title: str
    session_id: int | None

    def session(self, recorded_at: str | None) -> int:
        if self.session_id is None:
            day = self.date or (day_of(recorded_at) if recorded_at else today())
            self.session_id = self.library.sessions.add(Session(day, self.title)).id
        return self.session_id


def _add_one(target: _Target, file: Path) -> dict[str, Any]:
    try:
        with bar(file.name) as progress:
            recording = add_file(
                target.library,
                file,
                target.session,
                target.how,
                progress,
            )
    except AlreadyThere as error:
        text = f"“{file.name}” is already in the library, as recording {error.existing_id}."
        return {"file": str(file), "state": "already_there", "recording_id": error.existing_id, "text": text}
    except BenchreelError as error:
        return {"file": str(file), "state": "refused", "error": error.data(), "text": str(error)}
    length = timecode.clock(recording.duration_ms)
    text = f"{file.name}: recording {recording.id} of session {recording.session_id}, {length}."
    text = f"{text} {cut_short_told(recording)}".rstrip()
    return {"file": str(file), "state": "added", "recording_id": recording.id, "recording": recording, "text": text}


def _work(library: Library, jobs: list[Job], recordings: list[Recording]) -> list[Job]:
    names = {recording.id: recording.name for recording in recordings}
    verbs = {"prepare": "Preparing", "listen": "Listening to"}
    titles = {job.id: f"{verbs[job.kind]} {names[int(job.subject['recording_id'])]}" for job in jobs}
    return watch_jobs(library, jobs, titles) if jobs else []
