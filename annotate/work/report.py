"""How a piece of work says how far it is, and learns that it should stop."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from contextlib import suppress
from typing import Protocol

from annotate.errors import BenchreelError, Cancelled
from annotate.library import Library

WRITE_EVERY_S = 0.25  # how often progress is written; more would only load the disk
HEARTBEAT_S = 3.0  # how often a quiet piece of work shows that it lives; well under the queue's limit


class Report(Protocol):
    """What a task is given."""

    def progress(self, fraction: float, message: str = "") -> None:
        """Say how far it is (0..1) and, if it changed, what is being done."""

    def cancelled(self) -> bool:
        """True when the work should stop."""

    def remember(self, result: dict[str, str]) -> None:
        """Keep what is done already, so that a stopped run can go on from there."""


class Silent:
    """A report for work that nobody watches."""

    def progress(self, fraction: float, message: str = "") -> None:
        return None

    def cancelled(self) -> bool:
        return False

    def remember(self, result: dict[str, str]) -> None:
        return None


class QueueReport:
    """Writes to the work table, and beats while the task is busy. Use with ``with``."""

    def __init__(
        self,
        library: Library,
        job_id: int,
        owner: str,
        must_stop: Callable[[], bool],
        beat_s: float = HEARTBEAT_S,
    ) -> None:
        self._library, self._job_id, self._owner, self._must_stop = library, job_id, owner, must_stop
        self._beat_s = beat_s
        self._fraction, self._message = 0.0, ""
        self._wanted_stop = False
        self._written_at = 0.0
        self._closed = threading.Event()
        self._beat = threading.Thread(target=self._beating, daemon=True)

    def __enter__(self) -> QueueReport:
        self._beat.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._closed.set()
        self._beat.join()

    def progress(self, fraction: float, message: str = "") -> None:
        is_new = bool(message) and message != self._message
        self._fraction, self._message = fraction, message or self._message
        if is_new or time.monotonic() - self._written_at > WRITE_EVERY_S:
            self._write()

    def cancelled(self) -> bool:
        if time.monotonic() - self._written_at > WRITE_EVERY_S:
            self._write()
        return self._wanted_stop or self._must_stop()

    def remember(self, result: dict[str, str]) -> None:
        self._library.jobs.remember(self._job_id, self._owner, result)

    def _write(self) -> None:
        self._written_at = time.monotonic()
        if self._library.jobs.report(self._job_id, self._owner, self._fraction, self._message):
            self._wanted_stop = True

    def _beating(self) -> None:
        while not self._closed.wait(self._beat_s):
            with suppress(BenchreelError):  # one beat lost is nothing; a thread that ends here would lose the job
                self._write()


def part(report: Report, start: float, end: float, message: str = "") -> Callable[[float], None]:
    """A progress callback for one part of the work, from ``start`` to ``end`` of the whole; raises when cancelled."""

    def progress(fraction: float) -> None:
        report.progress(start + (end - start) * fraction, message)
        if report.cancelled():
            raise Cancelled("The work was cancelled")

    return progress
