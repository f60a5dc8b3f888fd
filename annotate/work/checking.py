"""Looks whether the files of the recordings are the ones that were added."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from annotate.errors import BenchreelError, Cancelled
from annotate.intake.fingerprint import fingerprint, never, nothing
from annotate.library import Library
from annotate.model import Recording


def file_problems(
    library: Library,
    *,
    is_thorough: bool = False,
    progress: Callable[[float], None] = nothing,
    cancelled: Callable[[], bool] = never,
) -> list[str]:
    """What is wrong with the files of the recordings: gone or of another size; when thorough, of other content.

    Thorough, every file is read whole and its SHA-256 compared with the one stored when it was added.
    """
    recordings = library.recordings.all()
    total, done = sum(recording.size_bytes for recording in recordings) or 1, 0
    found = []
    for recording in recordings:
        path, share = library.recordings.file(recording), recording.size_bytes / total
        problem = _size_problem(recording, path)
        if is_thorough and not problem:
            problem = _content_problem(recording, path, _share(progress, done / total, share), cancelled)
        done += recording.size_bytes
        progress(done / total)
        if problem:
            found.append(f"recording {recording.id} ({recording.name}): {problem}")
    return found


def _share(progress: Callable[[float], None], before: float, share: float) -> Callable[[float], None]:
    """What one file tells, as its share of the whole."""
    return lambda part: progress(before + part * share)


def _size_problem(recording: Recording, path: Path) -> str:
    try:
        size_bytes = path.stat().st_size
    except FileNotFoundError:
        return "its file is missing"
    except OSError as error:
        return f"its file cannot be read ({error.strerror})"
    if size_bytes != recording.size_bytes:
        return f"its file holds {size_bytes:,} bytes instead of {recording.size_bytes:,}"
    return ""


def _content_problem(
    recording: Recording, path: Path, progress: Callable[[float], None], cancelled: Callable[[], bool]
) -> str:
    try:
        mark = fingerprint(path, progress, cancelled)
    except Cancelled:
        raise
    except OSError as error:
        return f"its file cannot be read ({error.strerror})"
    except BenchreelError as error:
        return f"its file cannot be read ({error})"
    return "" if mark == recording.fingerprint else "its file holds other content than when it was added"
