"""Where the file of a recording lies, and whether it is still the one that was added."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from annotate.errors import Missing
from annotate.intake.fingerprint import fingerprint, never, nothing
from annotate.library import Library
from annotate.model import Lesson, Recording


def original(library: Library, recording: Recording) -> Path:
    """The file of a recording, or Missing with a way to go on."""
    path = library.recordings.file(recording)
    if not path.exists():
        named = f"recording {recording.id} ({recording.name})"
        find = f"benchreel recording find-file {recording.id} FOLDER"
        raise Missing("is no longer where it was", str(path), f"Put the file of {named} back, or look for it: {find}")
    return path


def check_files(library: Library, lesson: Lesson) -> None:
    """Raise Missing when a file that a lesson needs is gone, or has another size than the one that was added."""
    for recording_id in lesson.recording_ids:
        recording = library.recordings.get(recording_id)
        if original(library, recording).stat().st_size != recording.size_bytes:
            raise _edited(library, recording)


def check_unchanged(
    library: Library,
    lesson: Lesson,
    progress: Callable[[float], None] = nothing,
    cancelled: Callable[[], bool] = never,
) -> None:
    """As ``check_files``, and every file outside the library is read whole: Missing when it was edited since.

    Copies in the library's own folder are written by nobody else; their size is enough.
    """
    check_files(library, lesson)
    recordings = [library.recordings.get(recording_id) for recording_id in lesson.recording_ids]
    outside = [recording for recording in recordings if not recording.is_kept]
    total = sum(recording.size_bytes for recording in outside) or 1
    before = 0
    for recording in outside:
        done, share = before / total, recording.size_bytes / total
        told = _within(progress, done, share)
        if fingerprint(library.recordings.file(recording), told, cancelled) != recording.fingerprint:
            raise _edited(library, recording)
        before += recording.size_bytes


def _within(progress: Callable[[float], None], done: float, share: float) -> Callable[[float], None]:
    return lambda fraction: progress(done + fraction * share)


def _edited(library: Library, recording: Recording) -> Missing:
    named = f"recording {recording.id} ({recording.name})"
    return Missing(
        "is not the file any more that was added: it was edited since",
        str(library.recordings.file(recording)),
        f"Put the file of {named} back as it was, or look for it: benchreel recording find-file {recording.id} FOLDER",
    )
