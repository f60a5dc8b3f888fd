"""The queue: each job runs once, survives a lost process, stops when asked."""

import pytest

from annotate.errors import Cancelled, NotFound, ToolFailed
from annotate.library import Library

KINDS = ("listen",)


def test_the_same_work_is_queued_once(library: Library) -> None:
    first = library.jobs.put("listen", {"recording_id": 1})
    assert library.jobs.put("listen", {"recording_id": 1}) == first
    assert library.jobs.put("listen", {"recording_id": 2}).id != first.id


def test_a_job_is_claimed_once_and_only_by_its_lane(library: Library) -> None:
    job = library.jobs.put("listen", {"recording_id": 1})
    assert library.jobs.claim("me", ("export",)) is None
    claimed = library.jobs.claim("me", KINDS)
    assert claimed is not None and (claimed.id, claimed.state, claimed.attempts) == (job.id, "running", 1)
    assert library.jobs.claim("you", KINDS) is None


def test_only_the_owner_finishes(library: Library) -> None:
    job = library.jobs.put("listen", {"recording_id": 1})
    library.jobs.claim("me", KINDS)
    library.jobs.finish(job.id, "you", {})
    assert library.jobs.get(job.id).state == "running"
    assert library.jobs.report(job.id, "you", 0.5) is True
    library.jobs.finish(job.id, "me", {"film": "x"})
    assert (library.jobs.get(job.id).state, library.jobs.get(job.id).result) == ("done", {"film": "x"})


def test_cancel_and_retry(library: Library) -> None:
    job = library.jobs.put("listen", {"recording_id": 1})
    assert library.jobs.cancel(job.id).state == "cancelled"
    assert library.jobs.retry(job.id).state == "waiting"
    library.jobs.claim("me", KINDS)
    assert library.jobs.cancel(job.id).state == "running"
    assert library.jobs.report(job.id, "me", 0.2) is True
    library.jobs.fail(job.id, "me", Cancelled("stopped"))
    assert library.jobs.get(job.id).state == "cancelled"


def test_failure_keeps_its_sentence(library: Library) -> None:
    job = library.jobs.put("listen", {"recording_id": 1})
    library.jobs.claim("me", KINDS)
    library.jobs.fail(job.id, "me", ToolFailed("broke", "a.mp4", "Retry."))
    assert library.jobs.get(job.id).error == "a.mp4: broke. Retry."


def test_work_whose_process_died_is_taken_up_and_goes_on_from_what_it_kept(library: Library) -> None:
    job = library.jobs.put("listen", {"recording_id": 1})
    library.jobs.claim("me", KINDS)
    library.jobs.remember(job.id, "me", {"done_until_ms": "30000"})
    assert library.jobs.take_up_lost([job.id]) == []
    with library.writing() as connection:
        connection.exec_driver_sql("UPDATE job SET heartbeat_at = heartbeat_at - 100")
    assert [lost.id for lost in library.jobs.take_up_lost([job.id])] == [job.id]
    again = library.jobs.claim("you", KINDS)
    assert again is not None and again.result == {"done_until_ms": "30000"}


def test_work_that_dies_again_and_again_is_given_up(library: Library) -> None:
    job = library.jobs.put("listen", {"recording_id": 1})
    for _ in range(3):
        assert library.jobs.claim("me", KINDS) is not None
        with library.writing() as connection:
            connection.exec_driver_sql("UPDATE job SET heartbeat_at = heartbeat_at - 100")
        library.jobs.take_up_lost([job.id])
    ended = library.jobs.get(job.id)
    assert (ended.state, ended.error_code) == ("failed", "stopped")
    assert "stopped 3 times" in ended.error


def test_an_unknown_job_is_not_found(library: Library) -> None:
    with pytest.raises(NotFound, match="no work 7"):
        library.jobs.cancel(7)


def test_a_job_that_is_being_cancelled_does_not_stand_for_a_new_one(library: Library) -> None:
    first = library.jobs.put("listen", {"recording_id": 1})
    library.jobs.claim("me", KINDS)
    library.jobs.cancel(first.id)
    again = library.jobs.put("listen", {"recording_id": 1})
    assert again.id != first.id
    library.jobs.give_back(first.id, "me")
    assert library.jobs.get(first.id).state == "cancelled"
    assert library.jobs.get(again.id).state == "waiting"


def test_work_that_gets_on_is_not_given_up(library: Library) -> None:
    job = library.jobs.put("listen", {"recording_id": 1})
    for _ in range(5):
        assert library.jobs.claim("me", KINDS) is not None
        library.jobs.remember(job.id, "me", {"done_until_ms": "1000"})
        with library.writing() as connection:
            connection.exec_driver_sql("UPDATE job SET heartbeat_at = heartbeat_at - 100")
        library.jobs.take_up_lost([job.id])
    assert library.jobs.get(job.id).state == "waiting"


def test_all_work_of_a_lesson_is_found_however_much_came_after(library: Library) -> None:
    first = library.jobs.put("export", {"lesson_id": 1})
    with library.writing() as connection:
        row = {"kind": "prepare", "subject": "{}", "state": "done", "created_at": ""}
        connection.exec_driver_sql(
            "INSERT INTO job (kind, subject, state, created_at, progress, message, error, error_code, result, attempts,"
            " started_at, finished_at, cancel_wanted, heartbeat_at, owner) WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL"
            " SELECT i + 1 FROM n WHERE i < 1500) SELECT :kind, :subject, :state, :created_at, 1, '', '', '', '{}', 1,"
            " '', '', 0, 0, '' FROM n",
            row,
        )
    alone = library.jobs.put("export", {"lesson_id": 1, "clip": 1})
    library.jobs.put("export", {"lesson_id": 11})
    assert [job.id for job in library.jobs.of("export", lesson_id=1)] == [alone.id, first.id]
    assert [job.id for job in library.jobs.of("export", lesson_id=1, clip=1)] == [alone.id]
