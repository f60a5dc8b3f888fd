"""Chapters and captions of a whole recording, out of the library; written beside one another when asked."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path

from annotate.intake.parts import check_free, written_whole
from annotate.lesson.cutting.disk import disk_errors
from annotate.lesson.shown.whole import Whole, whole
from annotate.library import Library
from annotate.model import Clip, Recording
from annotate.work.exporting import step_of


def whole_recording(library: Library, recording_id: int) -> Whole:
    """Chapters and captions of a recording as it is; its file is not needed."""
    recording = library.recordings.get(recording_id)
    step = step_of(library, 1, Clip(recording.id, 0, max(recording.duration_ms, 1)))
    ids = {tag.reed_id for tag in step.tags if tag.reed_id}
    return whole(step, {reed_id: library.reeds.get(reed_id) for reed_id in ids})


def write_whole(library: Library, recording_id: int, folder: Path, *, replaces: bool = False) -> dict[str, Path]:
    """Write the chapter list, WebVTT and SubRip into a folder, named by day and reed; gives each file's path.

    Where one of them is there already, none is written unless ``replaces``.
    """
    made = whole_recording(library, recording_id)
    name = file_name(library, library.recordings.get(recording_id))
    texts = {"chapters": (".chapters.txt", made.chapters_text), "vtt": (".vtt", made.vtt), "srt": (".srt", made.srt)}
    written = {kind: folder / (name + ending) for kind, (ending, _) in texts.items()}
    check_free(*written.values(), replaces=replaces)
    with disk_errors(folder):
        folder.mkdir(parents=True, exist_ok=True)
        for kind, (_, text) in texts.items():
            with written_whole(written[kind]) as part:
                part.write_text(text, "utf-8")
    return written


def file_name(library: Library, recording: Recording) -> str:
    """Day, reed and number of a recording, in letters that every disk can hold."""
    reed_id = library.recordings.first_reed(recording)
    reed = library.reeds.get(reed_id).name if reed_id else ""
    day = library.sessions.get(recording.session_id).date
    told = f"{day} {reed} {recording.id:03d}"
    ascii_told = unicodedata.normalize("NFKD", told).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", ascii_told.lower()).strip("-")
