"""The queue of long work, as rows: put, claim, report, finish. Running it is the work room's part."""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from sqlalchemy import insert, select, update

from annotate.errors import BenchreelError, NotFound
from annotate.library import schema
from annotate.library.journal import now
from annotate.library.rows import new_id
from annotate.model import Job

if TYPE_CHECKING:
    from annotate.library.store import Library

STALE_S = 20.0  # a running job that has not been heard of for so long has lost its process
MAX_ATTEMPTS = 3  # how often work that died with its process is taken up again by itself
_PUBLIC = ("heartbeat_at", "owner")


def _job(row: Any) -> Job:
    return Job(**{key: value for key, value in row._mapping.items() if key not in _PUBLIC})


class Jobs:
    """The rows of the work table."""

    def __init__(self, library: Library) -> None:
        self._library = library

    def put(self, kind: str, subject: dict[str, int | str]) -> Job:
        """Add work; the same work already waiting or running is given back instead of a second one."""
        table = schema.job
        with self._library.writing() as connection:
            open_ones = connection.execute(
                select(table).where(
                    table.c.kind == kind, table.c.state.in_(("waiting", "running")), table.c.cancel_wanted.is_(False)
                )
            )
            for row in open_ones:
                if row.subject == subject:
                    return _job(row)
            values = {**_fresh(), "kind": kind, "subject": subject, "attempts": 0, "created_at": now()}
            row_id = new_id(connection.execute(insert(table).values(values)))
            return _job(connection.execute(select(table).where(table.c.id == row_id)).one())

    def get(self, job_id: int) -> Job:
        """The job of that id, or NotFound."""
        with self._library.reading() as connection:
            row = connection.execute(select(schema.job).where(schema.job.c.id == job_id)).first()
        if row is None:
            raise NotFound(f"There is no work {job_id} in the library")
        return _job(row)

    def of(self, kind: str, **subject: int) -> list[Job]:
        """All jobs of a kind whose subject holds these values, newest first."""
        table = schema.job
        named = [table.c.subject[name].as_integer() == value for name, value in subject.items()]
        with self._library.reading() as connection:
            rows = connection.execute(select(table).where(table.c.kind == kind, *named).order_by(table.c.id.desc()))
            return [_job(row) for row in rows]

    def all(self, limit: int = 200) -> list[Job]:
        """Jobs, newest first."""
        with self._library.reading() as connection:
            rows = connection.execute(select(schema.job).order_by(schema.job.c.id.desc()).limit(limit))
            return [_job(row) for row in rows]

    def claim(self, owner: str, kinds: Sequence[str]) -> Job | None:
        """Take the oldest waiting job of these kinds, so that no other process does; None when there is none."""
        table = schema.job
        query = select(table).where(table.c.state == "waiting", table.c.kind.in_(kinds)).order_by(table.c.id).limit(1)
        with self._library.writing() as connection:
            row = connection.execute(query).first()
            if row is None:
                return None
            connection.execute(
                update(table)
                .where(table.c.id == row.id)
                .values(
                    state="running",
                    owner=owner,
                    heartbeat_at=time.time(),
                    started_at=now(),
                    attempts=row.attempts + 1,
                    error="",
                    error_code="",
                )
            )
            return _job(connection.execute(select(table).where(table.c.id == row.id)).one())

    def report(self, job_id: int, owner: str, progress: float, message: str = "") -> bool:
        """Say how far it is, and that it lives; True when it is asked to stop or is no longer the owner's."""
        table = schema.job
        with self._library.writing() as connection:
            row = connection.execute(select(table.c.cancel_wanted, table.c.owner).where(table.c.id == job_id)).one()
            if row.owner != owner:
                return True
            values: dict[str, Any] = {"progress": min(max(progress, 0.0), 1.0), "heartbeat_at": time.time()}
            if message:
                values["message"] = message
            connection.execute(update(table).where(table.c.id == job_id).values(values))
            return bool(row.cancel_wanted)

    def finish(self, job_id: int, owner: str, result: dict[str, str]) -> None:
        """Mark as done."""
        self._end(job_id, owner, state="done", progress=1.0, result=result, message="")

    def fail(self, job_id: int, owner: str, error: BenchreelError) -> None:
        """Mark as failed, or as cancelled, with the sentence to show."""
        state = "cancelled" if error.code == "cancelled" else "failed"
        self._end(job_id, owner, state=state, error=str(error), error_code=error.code)

    def remember(self, job_id: int, owner: str, result: dict[str, str]) -> None:
        """Keep what is already done of a running job, so that it can go on from there after a stop."""
        self._end(job_id, owner, result=result, attempts=1, finished_at="")  # what gets on is not given up

    def give_back(self, job_id: int, owner: str) -> None:
        """Put a running job back into the queue, because the program closes; what it remembered stays.

        One that was asked to stop ends as cancelled.
        """
        if self.get(job_id).cancel_wanted:
            self._end(job_id, owner, state="cancelled", error="Cancelled.")
        else:
            self._end(job_id, owner, state="waiting", owner="", attempts=0, finished_at="")

    def _end(self, job_id: int, claimed_by: str, **values: Any) -> None:
        table = schema.job
        with self._library.writing() as connection:
            connection.execute(
                update(table)
                .where(table.c.id == job_id, table.c.owner == claimed_by)
                .values({"finished_at": now(), **values})
            )

    def cancel(self, job_id: int) -> Job:
        """Ask a job to stop: at once when waiting, at its next report when running."""
        table = schema.job
        self.get(job_id)
        with self._library.writing() as connection:
            connection.execute(
                update(table)
                .where(table.c.id == job_id, table.c.state == "waiting")
                .values(state="cancelled", finished_at=now(), error="Cancelled before it began.")
            )
            connection.execute(
                update(table).where(table.c.id == job_id, table.c.state == "running").values(cancel_wanted=True)
            )
        return self.get(job_id)

    def retry(self, job_id: int) -> Job:
        """Put a failed or cancelled job back in the queue."""
        table = schema.job
        self.get(job_id)
        with self._library.writing() as connection:
            connection.execute(
                update(table)
                .where(table.c.id == job_id, table.c.state.in_(("failed", "cancelled")))
                .values({**_fresh(), "attempts": 0})
            )
        return self.get(job_id)

    def unheard_s(self) -> dict[int, float]:
        """How long ago (seconds) the process of each running job was last heard of."""
        table = schema.job
        query = select(table.c.id, table.c.heartbeat_at).where(table.c.state == "running")
        with self._library.reading() as connection:
            return {row.id: max(time.time() - row.heartbeat_at, 0.0) for row in connection.execute(query)}

    def silent(self) -> dict[int, float]:
        """The running jobs that have not been heard of for too long, each with the time of its last beat."""
        table = schema.job
        with self._library.reading() as connection:
            rows = connection.execute(select(table.c.id, table.c.heartbeat_at).where(*_is_silent()))
            return {row.id: row.heartbeat_at for row in rows}

    def take_up_lost(self, among: Sequence[int]) -> list[Job]:
        """Put back what is silent ``among`` the jobs given, for its process died; give up on what died too often."""
        table = schema.job
        with self._library.writing() as connection:
            rows = connection.execute(select(table).where(*_is_silent(), table.c.id.in_(among)))
            lost = [_job(row) for row in rows]
            for job in lost:
                values: dict[str, Any] = {"state": "waiting", "owner": "", "cancel_wanted": False}
                if job.cancel_wanted:
                    values |= {"state": "cancelled", "error": "Cancelled.", "finished_at": now()}
                elif job.attempts >= MAX_ATTEMPTS:
                    sentence = f"The program stopped {job.attempts} times during this work. Retry, or look at the file."
                    values |= {"state": "failed", "error": sentence, "error_code": "stopped", "finished_at": now()}
                connection.execute(update(table).where(table.c.id == job.id).values(values))
        return lost


def _is_silent() -> tuple[Any, ...]:
    return schema.job.c.state == "running", schema.job.c.heartbeat_at < time.time() - STALE_S


def _fresh() -> dict[str, Any]:
    return {
        "state": "waiting",
        "progress": 0.0,
        "message": "",
        "error": "",
        "error_code": "",
        "result": {},
        "started_at": "",
        "finished_at": "",
        "cancel_wanted": False,
        "heartbeat_at": 0.0,
        "owner": "",
    }
