"""Finds the file of a recording again by its fingerprint, and points the library to it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from annotate.errors import BadInput, BenchreelError, Cancelled, NotFound
from annotate.intake.fingerprint import fingerprint, never, nothing
from annotate.intake.keep import keep
from annotate.library import Library
from annotate.model import Job, Recording
from annotate.work.report import Report


def find_file(
    library: Library,
    recording_id: int,
    folder: Path,
    progress: Callable[[float], None] = nothing,
    cancelled: Callable[[], bool] = never,
) -> Recording:
    """Search a folder and all in it for a recording's file, whatever its name there; the library then knows it.

    Only files of the right size are read. Where the library kept a copy, that copy
    is written anew; else the recording refers to the file found, and undo takes
    that back.

    Raises
    ------
    BadInput
        If the folder is none.
    NotFound
        If the file is not in it.
    """
    recording = library.recordings.get(recording_id)
    path = _search(recording, folder.expanduser().absolute(), progress, cancelled)
    if recording.is_kept:
        kept = keep(path, library.folder, recording.fingerprint, cancelled=cancelled)
        if kept != recording.path:  # named by the ending of the file found; no step of undo, which would lose it again
            library.recordings.note_made(recording.id, path=kept)
    elif str(path) != recording.path:
        library.recordings.change(replace(recording, path=str(path)))
    progress(1.0)
    return library.recordings.get(recording.id)


def put_look(library: Library, recording_id: int, folder: str) -> Job:
    """Queue the search of a folder for a recording's file.

    Raises
    ------
    BadInput
        If the folder is none.
    """
    library.recordings.get(recording_id)
    where = folder_of(folder)
    return library.jobs.put("look", {"recording_id": recording_id, "folder": str(where)})


def folder_of(typed: str) -> Path:
    """The folder that was typed, with or without quotes around it.

    Raises
    ------
    BadInput
        If it is none.
    """
    text = typed.strip().strip("\"'").strip()
    if not text or "\x00" in text:
        raise BadInput("No folder was given", next_step="Type the folder to look in.")
    path = Path(text).expanduser().absolute()
    if not path.is_dir():
        raise BadInput("is not a folder", str(path), "Give the folder to look in.")
    return path


def look(library: Library, job: Job, report: Report) -> dict[str, str]:
    """The task "look": subject ``recording_id`` and ``folder``."""
    recording = library.recordings.get(int(job.subject["recording_id"]))
    folder = Path(str(job.subject["folder"]))
    report.progress(0.0, f"looking for {recording.name} in {folder}")
    find_file(library, recording.id, folder, report.progress, report.cancelled)
    return {}


def _search(
    recording: Recording, folder: Path, progress: Callable[[float], None], cancelled: Callable[[], bool]
) -> Path:
    if not folder.is_dir():
        raise BadInput("is not a folder", str(folder), "Give the folder to look in.")
    fitting = list(_of_size(folder, recording.size_bytes, cancelled))
    for number, path in enumerate(fitting):
        progress(number / len(fitting))
        if _is_same(path, recording.fingerprint, cancelled):
            return path
    named = f"recording {recording.id} ({recording.name})"
    looked = "no file there has its size" if not fitting else f"{len(fitting)} of its size, with other content"
    raise NotFound(f"The file of {named} is not in {folder}: {looked}", next_step="Look in another folder.")


def _of_size(folder: Path, size_bytes: int, cancelled: Callable[[], bool]) -> Iterator[Path]:
    """The files of that size, links between folders not followed; what may not be read is passed over."""
    for here, folders, names in os.walk(folder):
        if cancelled():
            raise Cancelled("looking for the file was stopped", folder.name)
        folders.sort()
        for name in sorted(names):
            path = Path(here, name)
            try:
                fits = path.is_file() and path.stat().st_size == size_bytes
            except OSError:
                continue
            if fits:
                yield path


def _is_same(path: Path, mark: str, cancelled: Callable[[], bool]) -> bool:
    try:
        return fingerprint(path, nothing, cancelled) == mark
    except Cancelled:
        raise
    except (BenchreelError, OSError):  # being written, or not for us to read: not the one
        return False
