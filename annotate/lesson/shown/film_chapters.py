"""Reads the chapters of a film, to the millisecond; the list to paste under a video has whole seconds only."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import av

from annotate.errors import NotMedia
from annotate.formats.cues import Cue
from annotate.intake.opening import ffmpeg_name
from annotate.timecode import from_seconds


def chapters_in(path: Path) -> list[Cue]:
    """The film's chapters in order.

    Raises
    ------
    NotMedia
        If it cannot be read.
    """
    try:
        with av.open(ffmpeg_name(path), metadata_errors="replace") as film:
            found = film.chapters()
    except (av.error.FFmpegError, OSError, ValueError):
        raise NotMedia("cannot be read", path.name, "Export the lesson again.") from None
    made = []
    for one in found:
        base = one["time_base"] or Fraction(1, 1000)
        title = one["metadata"].get("title", "")
        made.append(Cue(from_seconds(one["start"] * base), from_seconds(one["end"] * base), title, "chapter"))
    return made
