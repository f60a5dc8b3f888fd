"""The work page."""

from __future__ import annotations

from flask.testing import FlaskClient

from annotate.errors import ToolFailed
from annotate.library.store import Library
from tests.browser.seed import Seeded
from tests.web.answers import assert_error


def test_work_is_shown_in_words(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    listen = library.jobs.put("listen", {"recording_id": seeded.recording.id})
    library.jobs.put("export", {"lesson_id": seeded.lesson.id})
    library.jobs.claim("me", ["listen"])
    library.jobs.report(listen.id, "me", 0.25, "recognising speech")
    jobs = client.get("/api/work").json["jobs"]
    assert [(job["title"], job["state"], job["progress"]) for job in jobs] == [
        ("Exporting the lesson “Bringing a flat reed up”", "waiting", 0.0),
        ("Listening to bench 1.mp4", "running", 0.25),
    ]
    assert jobs[1]["address"] == f"/sessions/{seeded.first.id}?recording={seeded.recording.id}"
    assert client.get("/api/work/open").json == {"open": 2}
    assert "recognising speech" in client.get("/work").get_data(as_text=True)


def test_work_is_cancelled_and_tried_again(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    job = library.jobs.put("listen", {"recording_id": seeded.recording.id})
    assert client.post(f"/api/work/{job.id}/cancel", json={}).json["job"]["state"] == "cancelled"
    again = client.post(f"/api/work/{job.id}/retry", json={}).json["job"]
    assert (again["state"], again["can_cancel"], again["can_retry"]) == ("waiting", True, False)
    library.jobs.claim("me", ["listen"])
    assert client.post(f"/api/work/{job.id}/cancel", json={}).json["job"]["state"] == "stopping"
    assert_error(client.post("/api/work/99/cancel", json={}), 404, "not_found", "no work 99")


def test_failed_work_says_why(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    job = library.jobs.put("listen", {"recording_id": seeded.recording.id})
    library.jobs.claim("me", ["listen"])
    library.jobs.fail(job.id, "me", ToolFailed("could not be decoded", "bench 1.mp4", "Look at the file."))
    page = client.get("/work").get_data(as_text=True)
    assert "“bench 1.mp4” could not be decoded. Look at the file." in page
    assert client.get("/api/work").json["jobs"][0]["can_retry"] is True


def test_work_whose_process_is_silent_is_not_said_to_run(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    job = library.jobs.put("listen", {"recording_id": seeded.recording.id})
    library.jobs.claim("gone", ["listen"])
    assert client.get("/api/work").json["jobs"][0]["state"] == "running"
    with library.writing() as connection:
        connection.exec_driver_sql("UPDATE job SET heartbeat_at = heartbeat_at - 12 WHERE id = ?", (job.id,))
    told = client.get("/api/work").json["jobs"][0]
    assert told["state"] == "silent"
    assert told["message"].startswith("Nothing was heard of it for 12 seconds")
    assert "no sign of life" in client.get("/work").get_data(as_text=True)
