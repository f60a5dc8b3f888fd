"""Work that is silent: dead only when nobody is heard while somebody listens."""

from __future__ import annotations

from annotate.library import Library
from annotate.work.silent import Silent


def a_silent_job(library: Library) -> int:
    job = library.jobs.put("listen", {"recording_id": 1})
    library.jobs.claim("me", ["listen"])
    with library.writing() as connection:
        connection.exec_driver_sql("UPDATE job SET heartbeat_at = heartbeat_at - 100")
    return job.id


def test_work_whose_process_died_is_put_back(library: Library) -> None:
    job_id, now_s = a_silent_job(library), [0.0]
    silent = Silent(library.jobs, lambda: now_s[0])
    for _ in range(8):
        now_s[0] += 1.0
        silent.take_up()
        assert library.jobs.get(job_id).state == "running"
    now_s[0] += 1.0
    silent.take_up()
    assert library.jobs.get(job_id).state == "waiting"


def test_a_computer_that_slept_puts_nothing_back(library: Library) -> None:
    job_id, now_s = a_silent_job(library), [0.0]
    silent = Silent(library.jobs, lambda: now_s[0])
    for _ in range(3):  # it sleeps three times for hours, and the job beats a moment after each
        for step_s in (30_000.0, 0.3, 0.3):
            now_s[0] += step_s
            silent.take_up()
        with library.writing() as connection:
            connection.exec_driver_sql("UPDATE job SET heartbeat_at = heartbeat_at + 1")
    assert (library.jobs.get(job_id).state, library.jobs.get(job_id).attempts) == ("running", 1)
