"""Commands for long work: what runs, what failed, cancel, retry, run."""

from __future__ import annotations

from pathlib import Path

import click

from annotate.cli.common import command, fail, opened, show, watch_jobs
from annotate.library.jobs import STALE_S
from annotate.model import Job
from annotate.vocabulary.counted import counted

INTERRUPTED = "interrupted; it goes on with benchreel serve or benchreel work run"


def job_text(job: Job, unheard_s: float = 0.0) -> str:
    """A job in one line; a running one not heard of for long has lost its process."""
    subject = ", ".join(f"{key.removesuffix('_id')} {value}" for key, value in job.subject.items())
    state = f"{job.progress:.0%}" if job.state == "running" else job.state
    message = job.message if job.state == "running" else ""
    if job.state == "running" and unheard_s > STALE_S:
        message = INTERRUPTED
    return f"{job.id:>5}  {job.kind:<8} {subject:<16} {state:<10} {job.error or message}".rstrip()


def register(cli: click.Group) -> None:
    """Add the commands."""

    @cli.group()
    def work() -> None:
        """Long work: preparing, listening, exporting."""

    @command(work, "list")
    def list_(folder: Path, as_json: bool) -> None:
        """What waits, runs, is done or failed; newest first."""
        with opened(folder) as library:
            found, unheard_s = library.jobs.all(), library.jobs.unheard_s()
        show(as_json, found, [job_text(job, unheard_s.get(job.id, 0.0)) for job in found] or "No work yet.")

    @command(work, "cancel")
    @click.argument("job_id", type=int)
    def cancel(folder: Path, as_json: bool, job_id: int) -> None:
        """Ask a piece of work to stop."""
        with opened(folder) as library:
            job = library.jobs.cancel(job_id)
        show(as_json, job, job_text(job))

    @command(work, "retry")
    @click.argument("job_id", type=int)
    def retry(folder: Path, as_json: bool, job_id: int) -> None:
        """Put failed or cancelled work back into the queue."""
        with opened(folder) as library:
            job = library.jobs.retry(job_id)
        show(as_json, job, job_text(job))

    @command(work, "run")
    def run(folder: Path, as_json: bool) -> None:
        """Do all waiting work now."""
        with opened(folder) as library:
            waiting = [job for job in library.jobs.all() if job.state in ("waiting", "running")]
            titles = {job.id: f"{job.kind} {' '.join(map(str, job.subject.values()))}" for job in waiting}
            ended = watch_jobs(library, waiting, titles) if waiting else []
        show(as_json, ended, [job_text(job) for job in ended] or "Nothing waits.")
        failed = [job for job in ended if job.state == "failed"]
        if failed:
            fail(f"{counted(len(failed), 'task')} failed. See: benchreel work list.")
