"""Commands for the library itself: make, check, back up, undo."""

from __future__ import annotations

from pathlib import Path

import click

from annotate.cli.common import bar, command, fail, opened, show
from annotate.errors import StepStays
from annotate.intake.fingerprint import nothing
from annotate.library import Library, index
from annotate.library.restoring import restore
from annotate.library.steps import Place
from annotate.vocabulary.counted import counted
from annotate.work.checking import file_problems


def register(cli: click.Group) -> None:
    """Add the commands."""

    @command(cli, "init")
    def init(folder: Path, as_json: bool) -> None:
        """Make a library (or bring an old one up to date)."""
        with opened(folder, create=True) as library:
            show(as_json, {"library": library.folder}, f"The library is in {library.folder}.")

    @command(cli, "check")
    @click.option("--thorough", "is_thorough", is_flag=True, help="Read every recording whole and compare its SHA-256.")
    def check(folder: Path, as_json: bool, is_thorough: bool) -> None:
        """Look whether the database, the index and the files are sound."""
        with opened(folder) as library, bar("Reading the recordings") as progress:
            problems = library.check()
            told = progress if is_thorough else nothing
            of_files = file_problems(library, is_thorough=is_thorough, progress=told)
        show(as_json, {"problems": problems + of_files}, problems + of_files or "All is well.")
        if problems or of_files:
            ways = ["Run benchreel reindex, or put a backup in place: benchreel restore FILE."] if problems else []
            ways += ["Look for a file: benchreel recording find-file ID FOLDER."] if of_files else []
            fail(" ".join([f"{counted(len(problems + of_files), 'problem')} found.", *ways]))

    @command(cli, "reindex")
    def reindex(folder: Path, as_json: bool) -> None:
        """Make the search index anew."""
        with opened(folder) as library, library.writing() as connection:
            count = index.rebuild(connection)
        show(as_json, {"moments": count}, f"The index holds {counted(count, 'moment')}.")

    @command(cli, "backup")
    @click.argument("target", type=click.Path(path_type=Path), required=False)
    @click.option("--replace", "replaces", is_flag=True, help="Also where such a file is.")
    def backup(folder: Path, as_json: bool, target: Path | None, replaces: bool) -> None:
        """Copy the database, whole, while the program may be running. Recordings are not copied."""
        with opened(folder) as library:
            made = library.backup(target, replaces=replaces)
        show(as_json, {"backup": made}, f"Backed up to {made}.")

    @command(cli, "restore")
    @click.argument("file", type=click.Path(path_type=Path))
    def restore_(folder: Path, as_json: bool, file: Path) -> None:
        """Put a backup in the place of the database; what was there is kept beside it. Recordings stay as they are."""
        done = restore(folder, file)
        kept = f" What was there is now {done.before}." if done.before else ""
        show(as_json, done, [f"The library is as in {done.backup}.{kept}", *done.missing])

    for name, what in (("undo", "Take back the last change."), ("redo", "Do again what was undone last.")):
        _step(cli, name, what)

    @command(cli, "leave")
    @click.argument("step_id", metavar="STEP", type=int)
    def leave(folder: Path, as_json: bool, step_id: int) -> None:
        """Leave a step that cannot be taken back as it is, so that undo goes on to the others."""
        with opened(folder) as library:
            what = library.journal.leave(step_id)
        show(as_json, {"left": what}, f"“{what}” stays as it is.")


def _step(cli: click.Group, name: str, what: str) -> None:
    @command(cli, name)
    @click.option("--session", "session_id", type=int, help="Only changes in this session.")
    @click.option("--lesson", "lesson_id", type=int, help="Only changes of this lesson.")
    @click.option("--step", "step_id", type=int, help="This step and no other.")
    def step(folder: Path, as_json: bool, session_id: int | None, lesson_id: int | None, step_id: int | None) -> None:
        with opened(folder) as library:
            try:
                done = _done(library, name, Place(session_id, lesson_id), step_id)
            except StepStays as error:
                error.next_step += f" (benchreel leave {error.step_id})"
                raise
        show(as_json, {name: done}, f"{'Undone' if name == 'undo' else 'Done again'}: {done}.")

    step.help = what


def _done(library: Library, name: str, place: Place, step_id: int | None) -> str:
    journal = library.journal
    if step_id is not None:
        return journal.undo_step(step_id) if name == "undo" else journal.redo_step(step_id)
    return journal.undo(place=place) if name == "undo" else journal.redo(place=place)
