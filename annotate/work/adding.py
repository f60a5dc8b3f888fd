"""Adds a file to the library: waits until it is whole, probes it, keeps it, stores it, and queues the rest."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from annotate.errors import AlreadyThere
from annotate.intake.fingerprint import fingerprint, never, nothing, wait_until_still
from annotate.intake.keep import display_name, keep, kept_path
from annotate.intake.probe import probe
from annotate.library import Library
from annotate.model import Job, Recording

SessionOf = Callable[[str | None], int]  # from the time of recording (ISO, or None) to the session's id


@dataclass(frozen=True)
class Adding:
    """How a file is taken in. ``name`` is what it is called on pages, if not as on disk.

    ``keep`` copies it into the library; else it is used where it lies. With ``move`` the file is
    the program's own and need not stay: it is renamed into its place where that is one disk.
    """

    keep: bool = True
    move: bool = False
    name: str | None = None
    reed_id: int | None = None
    sound_stream: int | None = None


def add_file(
    library: Library,
    path: Path,
    session: int | SessionOf,
    how: Adding | None = None,
    progress: Callable[[float], None] = nothing,
    cancelled: Callable[[], bool] = never,
) -> Recording:
    """Add one file; the original is only read (but see ``Adding.move``).

    ``session`` is a session's id, or a function that finds or makes the
    session once the file is known to be good.

    Raises
    ------
    NotMedia, Unfinished, StillChanging, Missing
        When the file cannot be used; nothing is stored.
    AlreadyThere
        When the same file is in the library, under whatever name.
    """
    how = how or Adding()
    if isinstance(session, int):
        library.sessions.get(session)
    path = path.expanduser().absolute()
    name = display_name(how.name or path.name)
    wait_until_still(path, cancelled=cancelled)
    probed = probe(path, how.sound_stream)
    mark = fingerprint(path, lambda fraction: progress(fraction / 2), cancelled)
    same = library.recordings.by_fingerprint(mark)
    if same is not None:
        raise AlreadyThere("is already in the library", name, f"It is recording {same.id} ({same.name}).", same.id)
    stored, size_bytes = str(path), path.stat().st_size
    if how.keep and not (how.move and _renamed(path, library.folder / kept_path(mark, path))):
        stored = keep(path, library.folder, mark, lambda fraction: progress(0.5 + fraction / 2), cancelled)
    elif how.keep:
        stored = kept_path(mark, path)
    session_id = session if isinstance(session, int) else session(probed.recorded_at)
    recording = library.recordings.add(
        Recording(
            session_id=session_id,
            name=name,
            path=stored,
            is_kept=how.keep,
            fingerprint=mark,
            size_bytes=size_bytes,
            probe=probed,
            position=len(library.recordings.of_session(session_id)),
            reed_id=how.reed_id,
        )
    )
    progress(1.0)
    return recording


def _renamed(path: Path, target: Path) -> bool:
    """Give a file its place in the library without copying it; False when that is not possible."""
    if target.exists():
        return False
    target.parent.mkdir(parents=True, exist_ok=True)
    try:
        with path.open("rb+") as file:
            os.fsync(file.fileno())
        path.rename(target)  # fails between two disks
    except OSError:
        return False
    return True


def cut_short_told(recording: Recording) -> str:
    """A sentence for a file that seems to end too early, else nothing."""
    cut = recording.probe.cut_short
    return f"Its file seems cut short: {cut}. What is there can be used." if cut else ""


def jobs_for(library: Library, recording: Recording) -> list[Job]:
    """Queue what follows from a new recording: preparing it for the pages, and listening to it."""
    subject: dict[str, int | str] = {"recording_id": recording.id}
    return [library.jobs.put(kind, subject) for kind in ("prepare", "listen")]
