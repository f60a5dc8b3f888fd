"""Waits until a file is no longer being written, and knows it again by the SHA-256 of its bytes."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from annotate.errors import BadInput, Cancelled, StillChanging
from annotate.intake.opening import check_file

CHUNK_BYTES = 1 << 20
QUIET_S = 1.0  # a copy that pauses longer than this between two writes looks finished
SETTLED_S = 10.0  # a file last written longer ago than this is not waited for
LONGEST_WAIT_S = 600.0
_STEP_S = 0.1


def nothing(_: float) -> None:
    """A progress callback that does nothing."""


def never() -> bool:
    """A cancel callback that never asks to stop."""
    return False


@dataclass(frozen=True)
class State:
    """Size and time of last writing: a file whose state stays is not being written."""

    size_bytes: int
    written_ns: int


def state(path: Path) -> State:
    """The file's state now."""
    status = path.stat()
    return State(status.st_size, status.st_mtime_ns)


@dataclass(frozen=True)
class Waiting:
    """How to wait, all in seconds: how long nothing may change, from what age not to wait, and when to give up."""

    quiet_s: float = QUIET_S
    settled_s: float = SETTLED_S
    longest_s: float = LONGEST_WAIT_S


def wait_until_still(path: Path, waiting: Waiting | None = None, cancelled: Callable[[], bool] = never) -> State:
    """Return the file's state once size and time of writing have not changed for a while.

    An empty file that is still fresh is waited for too: a copy begins with one.

    Raises
    ------
    StillChanging
        If it keeps changing for ``waiting.longest_s``.
    Missing, NotMedia
        If it is not there, or is a folder.
    """
    waiting = waiting or Waiting()
    _check_present(path)
    seen = state(path)
    started = still_since = time.monotonic()
    age_s = time.time() - seen.written_ns / 1e9
    if age_s > waiting.settled_s:
        return seen
    while time.monotonic() - still_since < waiting.quiet_s:
        if cancelled():
            raise Cancelled("waiting for the file was stopped", path.name)
        if time.monotonic() - started > waiting.longest_s:
            raise still_changing(path)
        time.sleep(min(_STEP_S, waiting.quiet_s))
        _check_present(path)
        now = state(path)
        if now != seen:
            seen, still_since = now, time.monotonic()
    return seen


def fingerprint(
    path: Path,
    progress: Callable[[float], None] = nothing,
    cancelled: Callable[[], bool] = never,
) -> str:
    """SHA-256 of the whole file, as 64 hexadecimal digits.

    Raises
    ------
    StillChanging
        If the file was written while it was being read.
    """
    size = check_file(path)
    before = state(path)
    digest, done = hashlib.sha256(), 0
    try:
        with path.open("rb") as file:
            while chunk := file.read(CHUNK_BYTES):
                if cancelled():
                    raise Cancelled("reading the file was stopped", path.name)
                digest.update(chunk)
                done += len(chunk)
                if done > size:  # it grows as fast as we read
                    raise still_changing(path)
                progress(done / size)
    except PermissionError:
        raise BadInput("may not be read", path.name, "Check its permissions.") from None
    if state(path) != before or done != before.size_bytes:
        raise still_changing(path)
    return digest.hexdigest()


def still_changing(path: Path) -> StillChanging:
    """The error for a file that someone is writing."""
    return StillChanging("is still being written", path.name, "Wait until it is copied, then add it again.")


def _check_present(path: Path) -> None:
    """As ``check_file``, but an empty file passes: its copy may only have begun."""
    try:
        if path.stat().st_size == 0 and path.is_file():
            return
    except OSError:
        pass
    check_file(path)
