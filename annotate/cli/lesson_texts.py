"""Commands for the texts of a lesson: drafts of what frames it, and a recording taught with as it is."""

from __future__ import annotations

from pathlib import Path

import click

from annotate.cli.common import command, opened, show
from annotate.lesson.told.drafting import Draft, Drafted
from annotate.library import Library
from annotate.model import Lesson, Session
from annotate.work.drafting import drafted, with_drafts
from annotate.work.exporting import ask_about
from annotate.work.whole import whole_recording, write_whole

WHY_ASKED = {
    "undecided": "is not marked free to share",
    "people": "has people in the picture",
    "private": "is marked not to share",
}


def register(lesson: click.Group) -> None:
    """Add the commands to the group of lessons."""

    @command(lesson, "draft")
    @click.argument("lesson_id", type=int)
    @click.option("--apply", "applies", is_flag=True, help="Put the drafts into the fields that are empty.")
    def draft(folder: Path, as_json: bool, lesson_id: int, applies: bool) -> None:
        """Draft goal, titles, tools and review from tags and readings; who it is for stays yours."""
        with opened(folder) as library:
            one = library.lessons.get(lesson_id)
            made = drafted(library, one)
            changed = with_drafts(library, one) if applies else one
            if changed != one:
                library.lessons.change(changed)
        show(as_json, made, [*draft_text(made), *([_applied(one, changed)] if applies else [])])

    @command(lesson, "whole")
    @click.argument("recording_id", type=int)
    @click.option("--to", type=click.Path(path_type=Path), help="Write chapters, WebVTT and SubRip into this folder.")
    @click.option("--replace", "replaces", is_flag=True, help="Also where such files are.")
    @click.option("--yes", is_flag=True, help="Write them although the session is not marked free to share.")
    def whole(folder: Path, as_json: bool, recording_id: int, to: Path | None, replaces: bool, yes: bool) -> None:
        """A lesson without cutting: chapters and captions for a whole recording, from its tags and lines."""
        with opened(folder) as library:
            if to is None:
                made = whole_recording(library, recording_id)
                show(as_json, made, made.chapters_text.splitlines() or "No chapters yet.")
                return
            session = library.sessions.get(library.recordings.get(recording_id).session_id)
            if session.sharing != "free" and not yes:
                confirm(session)
            files = write_whole(library, recording_id, to, replaces=replaces)
        told = {kind: str(path) for kind, path in files.items()}
        show(as_json, {"recording": recording_id, "files": told}, [f"{kind:<13} {path}" for kind, path in told.items()])


def draft_text(made: Drafted) -> list[str]:
    """The drafts, each with what it was drafted from."""
    named = [("Goal", made.goal), ("Steps", made.steps)]
    named += [(f"Title {number}", title) for number, title in enumerate(made.titles, 1)]
    return [_one(name, one) for name, one in (*named, ("Tools", made.tools), ("Review", made.review))]


def _one(name: str, one: Draft) -> str:
    return f"{name:<9} {one.text}  [from {one.source}]" if one.text else f"{name:<9} (nothing to draft: {one.source})"


def _applied(before: Lesson, after: Lesson) -> str:
    return f"The empty fields of lesson {before.id} are filled." if after != before else "No field was empty."


def ask_first(library: Library, lesson: Lesson) -> None:
    """Ask before something private leaves the library."""
    for session in ask_about(library, lesson):
        confirm(session)


def confirm(session: Session) -> None:
    """Ask whether what comes from a session may leave; Abort if not."""
    click.confirm(f"The session of {session.date} {WHY_ASKED[session.sharing]}. Export all the same?", abort=True)
