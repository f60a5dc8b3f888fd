"""Commands that change the lines of a recording or session."""

from __future__ import annotations

from pathlib import Path

import click

from annotate.cli.common import command, opened, show
from annotate.formats import transcript
from annotate.work.bringing import bring


def register(cli: click.Group) -> None:
    """Add the commands."""

    @command(cli, "bring-lines")
    @click.argument("recording_id", type=int)
    @click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
    def bring_lines(folder: Path, as_json: bool, recording_id: int, file: Path) -> None:
        """Bring in a transcript (WebVTT, SubRip, text with times) in place of the lines you have not changed."""
        with opened(folder) as library:
            recording = library.recordings.get(recording_id)
            cues = transcript.read(transcript.decoded(file.read_bytes()), recording.duration_ms)
            brought = bring(library, recording_id, cues)
        show(as_json, brought, brought.told)
