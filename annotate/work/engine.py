"""Runs the queue: one process a job, in two lanes, so that an export never waits behind a long transcription."""

from __future__ import annotations

import logging
import os
import subprocess
import sys
import threading
import time
import uuid
from collections.abc import Callable, Sequence

from annotate.errors import BenchreelError, ToolFailed
from annotate.library import Library
from annotate.model import Job
from annotate.work.clearing import clear_up
from annotate.work.silent import Silent

log = logging.getLogger(__name__)

LANES = (("listen",), ("prepare", "export", "look"))  # what may run side by side; each lane runs one job at a time
POLL_S = 0.3  # how often the queue is looked at
GRACE_S = 20.0  # how long a job may take to stop when the program closes
TROUBLE_S = 2.0  # pause after the library could not be written (a full disk, another writer) or no process started


class Engine:
    """Takes jobs off the queue while it is started. Use with ``with``."""

    def __init__(self, library: Library) -> None:
        self._library = library
        self._silent = Silent(library.jobs)
        self._stopping = threading.Event()
        self._threads: list[threading.Thread] = []

    def __enter__(self) -> Engine:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    def start(self) -> None:
        """Begin taking jobs, after clearing up what a killed program left."""
        clear_up(self._library)
        self._stopping.clear()
        self._threads = [threading.Thread(target=self._lane, args=(kinds,), daemon=True) for kinds in LANES]
        for thread in self._threads:
            thread.start()

    def stop(self) -> None:
        """Stop; running jobs go back into the queue and are taken up next time."""
        self._stopping.set()
        for thread in self._threads:
            thread.join()
        self._threads = []

    def _lane(self, kinds: Sequence[str]) -> None:
        while not self._stopping.is_set():
            try:
                pause_s = 0.0 if self._one(kinds) else POLL_S
            except (BenchreelError, OSError) as error:  # a lane that ended here would leave all later work waiting
                log.warning("the work could not go on, and is looked at again: %s", error)
                pause_s = TROUBLE_S
            self._stopping.wait(pause_s)

    def _one(self, kinds: Sequence[str]) -> bool:
        """Take the next job and run it; False when none waits."""
        self._silent.take_up()
        owner = f"{os.getpid()}-{uuid.uuid4().hex[:8]}"
        job = self._library.jobs.claim(owner, kinds)
        if job is not None:
            self._run(job, owner)
        return job is not None

    def _run(self, job: Job, owner: str) -> None:
        command = [sys.executable, "-m", "annotate.work.child", str(self._library.folder), str(job.id), owner]
        with subprocess.Popen(command, stdin=subprocess.PIPE, stderr=subprocess.PIPE, env=_environment()) as child:
            errors = _collect(child)
            while child.poll() is None and not self._stopping.wait(POLL_S):
                pass
            if child.poll() is None and child.stdin is not None:
                child.stdin.close()
                _wait_or_end(child)
            tail = errors()
        if self._library.jobs.get(job.id).state == "running":
            if self._stopping.is_set():
                self._library.jobs.give_back(job.id, owner)
            else:
                self._library.jobs.fail(job.id, owner, _died(child.returncode, tail))


def _environment() -> dict[str, str]:
    return {**os.environ, "PYTHONUTF8": "1"}


def _collect(child: subprocess.Popen[bytes]) -> Callable[[], str]:
    """Read what the child says on its error output, so that it never blocks; gives a function for the last line."""
    lines: list[bytes] = []

    def read() -> None:
        assert child.stderr is not None
        for line in child.stderr:
            lines[:] = [*lines[-20:], line]

    thread = threading.Thread(target=read, daemon=True)
    thread.start()

    def last() -> str:
        thread.join(timeout=2)
        return lines[-1].decode("utf-8", "replace").strip() if lines else ""

    return last


def _wait_or_end(child: subprocess.Popen[bytes]) -> None:
    try:
        child.wait(GRACE_S)
    except subprocess.TimeoutExpired:
        child.kill()
        child.wait()


def _died(code: int | None, tail: str) -> ToolFailed:
    reason = f"exit code {code}" + (f": {tail[:200]}" if tail else "")
    return ToolFailed(
        f"The work stopped unexpectedly ({reason})", next_step="Retry; the recording itself is untouched."
    )


def run_jobs(library: Library, job_ids: Sequence[int], watch: Callable[[list[Job]], None]) -> list[Job]:
    """Run the queue in the foreground until these jobs have ended; ``watch`` sees them now and then."""
    with Engine(library):
        while True:
            jobs = [library.jobs.get(job_id) for job_id in job_ids]
            watch(jobs)
            if all(job.state in ("done", "failed", "cancelled") for job in jobs):
                return jobs
            time.sleep(POLL_S)
