"""Where the file of a recording lies."""

from __future__ import annotations

from pathlib import Path

from annotate.errors import Missing
from annotate.library import Library
from annotate.model import Recording


def original(library: Library, recording: Recording) -> Path:
    """The file of a recording, or Missing with a way to go on."""
    path = library.recordings.file(recording)
    if not path.exists():
        raise Missing(
            "is no longer where it was", str(path), f"Put the file of recording {recording.id} ({recording.name}) back."
        )
    return path
