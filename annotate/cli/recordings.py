"""Commands for one recording: its reed, name and language, hearing it again, taking it out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from annotate.cli.common import bar, command, fail, opened, plain, show, watch_jobs
from annotate.cli.working import job_text
from annotate.errors import BadInput
from annotate.intake.keep import display_name
from annotate.library.removing import remove_recording
from annotate.library.settings import check_language
from annotate.model import CardShown, Recording
from annotate.timecode import clock
from annotate.work.adding import cut_short_told
from annotate.work.finding import find_file
from annotate.work.tracks import use_track


def register(cli: click.Group) -> None:
    """Add the commands."""

    @cli.group()
    def recording() -> None:
        """Recordings: the media files of the sessions."""

    @command(recording, "list")
    @click.option("--session", "session_id", type=int, help="Only those of this session.")
    def list_(folder: Path, as_json: bool, session_id: int | None) -> None:
        """All recordings, or those of one session, with the reed in hand and the cards seen."""
        with opened(folder) as library:
            if session_id is not None:
                library.sessions.get(session_id)
            found = [one for one in library.recordings.all() if session_id in (None, one.session_id)]
            cards = {one.id: library.recordings.cards(one.id) for one in found}
            reeds = {one.id: one.name for one in library.reeds.all()}
        lines = [_line(one, reeds.get(one.reed_id or 0, ""), cards[one.id]) for one in found]
        show(as_json, [{**plain(one), "cards": cards[one.id]} for one in found], lines or "No recordings yet.")

    @command(recording, "change")
    @click.argument("recording_id", type=int)
    @click.option("--name", help="What it is called here; the file keeps its name.")
    @click.option("--reed", help="The reed in hand (your id); empty: not said.")
    @click.option("--language", help="A code such as en; empty: told by listening.")
    @click.option(
        "--sound", "sound_stream", type=int, help="Which sound stream to use (its number in the file); heard anew."
    )
    @click.option("--place", "position", type=click.IntRange(min=1), help="Its place in the session; 1 is the first.")
    def change(folder: Path, as_json: bool, recording_id: int, **told: Any) -> None:
        """Change what is known about a recording."""
        given = {name: value for name, value in told.items() if value is not None}
        with opened(folder) as library:
            old = library.recordings.get(recording_id)
            if "reed" in given:
                reed = given.pop("reed")
                given["reed_id"] = library.reeds.by_name(reed).id if reed else None
            if "name" in given:
                given["name"] = display_name(given["name"]) if given["name"].strip() else old.name
            if "language" in given:
                given["language"] = check_language(given["language"])
            if "position" in given:
                given["position"] -= 1
            if "sound_stream" in given:
                old = use_track(library, old, given.pop("sound_stream"))
            made = library.recordings.change(replace(old, **given))
        show(as_json, made, f"Recording {made.id} ({made.name}) is changed.")

    @command(recording, "listen")
    @click.argument("recording_id", type=int)
    @click.option("--later", is_flag=True, help="Only put the work into the queue.")
    def listen(folder: Path, as_json: bool, recording_id: int, later: bool) -> None:
        """Hear a recording again; the lines that you changed stay."""
        with opened(folder) as library:
            one = library.recordings.get(recording_id)
            if not one.has_sound:
                raise BadInput("has no sound to listen to", one.name)
            job = library.jobs.put("listen", {"recording_id": recording_id})
            if not later:
                (job,) = watch_jobs(library, [job], {job.id: f"Listening to {one.name}"})
        show(as_json, job, job_text(job))
        if job.state == "failed":
            fail(job.error)

    @command(recording, "find-file")
    @click.argument("recording_id", type=int)
    @click.argument("where", type=click.Path(path_type=Path))
    def find(folder: Path, as_json: bool, recording_id: int, where: Path) -> None:
        """Look in a folder, and all in it, for a recording's file that has gone; by its content, not its name."""
        with opened(folder) as library, bar(f"Looking in {where}") as progress:
            made = find_file(library, recording_id, where, progress)
            path = library.recordings.file(made)
        show(as_json, made, f"Recording {made.id} ({made.name}) lies at {path}.")

    @command(recording, "remove")
    @click.argument("recording_id", type=int)
    def remove(folder: Path, as_json: bool, recording_id: int) -> None:
        """Take a recording out with all that lies on it; undo brings it back. Its file stays where it is."""
        with opened(folder) as library:
            gone = remove_recording(library, recording_id)
        told = f"Recording {gone.id} ({gone.name}) is removed; benchreel undo brings it back. Its file stays."
        show(as_json, {"removed": recording_id}, told)


def _line(one: Recording, reed: str, cards: list[CardShown]) -> str:
    """A recording in one line; the cards seen where no reed is set."""
    seen = list(dict.fromkeys(card.name for card in cards)) if not reed else []
    told = [f"card {name} seen" for name in seen] + [cut_short_told(one)]
    line = f"{one.id:>4}  session {one.session_id:<4} {clock(one.duration_ms):>7}  {reed or '-':<10} {one.name}"
    return "  ".join([line, *filter(None, told)])
