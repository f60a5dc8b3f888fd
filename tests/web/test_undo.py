"""The Undo beside a change takes back that change, and the header's Undo is never silently another session's."""

from flask.testing import FlaskClient

from annotate.library import Library
from annotate.model import Clip, Lesson, Reed
from tests.making import a_recording, a_tag
from tests.web.answers import assert_error


def test_the_undo_beside_a_change_takes_back_that_change(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)
    clips = (Clip(recording.id, 0, 1000), Clip(recording.id, 2000, 3000))
    lesson = library.lessons.add(Lesson("One", clips=clips))
    first = {"recording_id": recording.id, "start_ms": 0, "end_ms": 1000}
    answer = client.put(f"/api/lessons/{lesson.id}/clips", json={"version": 1, "clips": [first]})
    a_tag(library, recording)  # another window
    step = int(answer.headers["X-Step"])
    assert "Taken back: " in client.post("/api/undo", json={"step_id": step}).get_json()["message"]
    assert [clip.start_ms for clip in library.lessons.get(lesson.id).clips] == [0, 2000]
    assert len(library.tags.all()) == 1
    assert_error(client.post("/api/undo", json={"step_id": step}), 400, "bad_input", "taken back already")


def test_what_changes_nothing_names_no_step(client: FlaskClient, library: Library) -> None:
    reed = library.reeds.add(Reed("B-14"))
    assert "X-Step" not in client.get(f"/reeds/{reed.id}").headers
    assert "X-Step" not in client.put(f"/api/reeds/{reed.id}", json={"version": 7, "note": "x"}).headers


def test_the_last_change_is_said_by_name_and_where(client: FlaskClient, library: Library) -> None:
    recording, reed = a_recording(library), library.reeds.add(Reed("B-14"))
    a_tag(library, recording)
    told = client.get("/api/undo/next").get_json()
    assert told["message"] == "The last change is “added a tag”, in Evening at the bench of 14 March 2026."
    of_reed = client.get(f"/api/undo/next?reed_id={reed.id}").get_json()
    assert of_reed["message"] == "The last change is “added reed B-14”."
    assert client.post("/api/undo", json={"step_id": of_reed["next"]}).get_json()["what"] == "added reed B-14"
    assert client.get("/api/redo/next").get_json()["message"] == "What was taken back is “added reed B-14”."


def test_a_step_that_cannot_be_taken_back_can_be_left(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)
    a_tag(library, recording)
    client.put(f"/api/recordings/{recording.id}/language", json={"language": "de"})
    library.recordings.note_made(recording.id, language="nn")
    place = {"session_id": recording.session_id}
    data = assert_error(client.post("/api/undo", json=place), 409, "step_stays", "the language of recording 1 was")
    answer = client.post(f"/api/steps/{data['step']}/leave", json={})
    assert "stays as it is." in answer.get_json()["message"]
    assert client.post("/api/undo", json=place).get_json()["what"] == "added a tag"
