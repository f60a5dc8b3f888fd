"""Commands that write the record in open forms, and bring it in: readings as a table, tags as web annotations."""

from __future__ import annotations

from pathlib import Path

import click

from annotate.cli.common import command, opened, show
from annotate.formats.transcript import decoded
from annotate.intake.parts import check_free, written_whole
from annotate.lesson.cutting.disk import disk_errors
from annotate.work import open_forms

FILE = click.Path(dir_okay=False, path_type=Path)
THERE = click.Path(exists=True, dir_okay=False, path_type=Path)


def register(cli: click.Group) -> None:
    """Add the commands."""

    @command(cli, "write-readings")
    @click.argument("file", type=FILE)
    @click.option("--reed", help="Only of this reed.")
    @click.option("--replace", "replaces", is_flag=True, help="Also where such a file is.")
    def write_readings(folder: Path, as_json: bool, file: Path, reed: str | None, replaces: bool) -> None:
        """Write the readings as a table (CSV), for a spreadsheet."""
        with opened(folder) as library:
            text = open_forms.readings_out(library, library.reeds.by_name(reed).id if reed else None)
        show(as_json, {"file": _written(file, text, replaces)}, f"The readings are in {file}.")

    @command(cli, "bring-readings")
    @click.argument("file", type=THERE)
    def bring_readings(folder: Path, as_json: bool, file: Path) -> None:
        """Bring in readings from such a table; those that are there already are left alone."""
        with opened(folder) as library:
            brought = open_forms.readings_in(library, decoded(file.read_bytes()))
        show(as_json, brought, brought.told)

    @command(cli, "write-tags")
    @click.argument("session_id", type=int)
    @click.argument("file", type=FILE)
    @click.option("--replace", "replaces", is_flag=True, help="Also where such a file is.")
    def write_tags(folder: Path, as_json: bool, session_id: int, file: Path, replaces: bool) -> None:
        """Write the tags of a session as W3C Web Annotations (JSON-LD), for other programs."""
        with opened(folder) as library:
            library.sessions.get(session_id)
            text = open_forms.tags_out(library, session_id)
        show(as_json, {"file": _written(file, text, replaces)}, f"The tags are in {file}.")

    @command(cli, "bring-tags")
    @click.argument("file", type=THERE)
    def bring_tags(folder: Path, as_json: bool, file: Path) -> None:
        """Bring in tags from such a file; each goes to the recording that it names by its fingerprint."""
        with opened(folder) as library:
            brought = open_forms.tags_in(library, decoded(file.read_bytes()))
        show(as_json, brought, brought.told)


def _written(file: Path, text: str, replaces: bool) -> Path:
    """Write a file whole; one that is there already only where the call says so."""
    check_free(file, replaces=replaces)
    with disk_errors(file), written_whole(file) as part:
        part.write_text(text, "utf-8", newline="")
    return file
