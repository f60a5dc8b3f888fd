"""The process that does one piece of work: ``python -m annotate.work.child FOLDER JOB_ID OWNER``.

It keeps an eye on its standard input: when the program that started it goes
away, the input ends, the work stops at its next step and goes back into the
queue. A crash here (a codec, a model) never takes the pages down.
"""

from __future__ import annotations

import os
import sys
import threading
from pathlib import Path

from annotate.errors import BenchreelError, Cancelled, NoSpace, ToolFailed
from annotate.library import Library
from annotate.work.report import QueueReport
from annotate.work.tasks import task

NO_SPACE_CODES = (28, 112)  # ENOSPC; ERROR_DISK_FULL on Windows


def as_ours(error: BaseException) -> BenchreelError:
    """Any error as one of our sentences."""
    if isinstance(error, BenchreelError):
        return error
    if isinstance(error, OSError) and (error.errno in NO_SPACE_CODES):
        return NoSpace("The disk is full", next_step="Free some space and retry.")
    if isinstance(error, MemoryError):
        return ToolFailed("There was not enough memory", next_step="Close other programs and retry.")
    return ToolFailed(
        f"Something unexpected happened ({type(error).__name__}: {error})", next_step="Please report this."
    )


def run(folder: Path, job_id: int, owner: str, parent_gone: threading.Event) -> int:
    """Do the claimed job; gives the process's exit code."""
    with Library.open(folder) as library:
        job = library.jobs.get(job_id)
        with QueueReport(library, job_id, owner, parent_gone.is_set) as report:
            ours: BenchreelError | None = None
            try:
                result = task(job.kind)(library, job, report)
            except Exception as error:
                ours = as_ours(error)
                if os.environ.get("BENCHREEL_TRACE"):
                    raise
        if ours is None:
            library.jobs.finish(job_id, owner, result)
            return 0
        if isinstance(ours, Cancelled) and parent_gone.is_set():
            library.jobs.give_back(job_id, owner)
        else:
            library.jobs.fail(job_id, owner, ours)
        return 1


def _watch_parent(gone: threading.Event) -> None:
    while sys.stdin.buffer.read(1):
        pass
    gone.set()


def main() -> None:
    """Entry of the process."""
    gone = threading.Event()
    threading.Thread(target=_watch_parent, args=(gone,), daemon=True).start()
    folder, job_id, owner = sys.argv[1:4]
    code = run(Path(folder), int(job_id), owner, gone)
    sys.stdout.flush()
    os._exit(code)  # native libraries' threads must not keep a finished process alive


if __name__ == "__main__":
    main()
