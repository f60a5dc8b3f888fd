"""What the diary's scripts may ask for and change."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from flask.testing import FlaskClient

from annotate.library.store import Library
from annotate.model import Correction, Reed, Sound, Suggestion, Tag
from annotate.work.suggesting import open_ones, suggest
from tests.making import a_line, a_recording, a_tag
from tests.web.answers import assert_error


def tag_of(recording_id: int, **told: Any) -> dict[str, Any]:
    return {"recording_id": recording_id, "start_ms": 1000, "end_ms": 5000, "step": "scrape", **told}


def test_the_page_shows_lines_sounds_and_cards(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library, reed=library.reeds.add(Reed("K7")))
    library.lines.hear(recording.id, [a_line(recording, 1000, "off the <rails> & more")])
    library.recordings.hear(recording.id, [(Sound(8000, 20_000, "crow"), None)])
    a_tag(library, recording, note="Two strokes & a look")
    library.corrections.add(Correction(recording.id, 1000, 2000, "3/16", "5.0 mm"))
    answer = client.get(f"/sessions/{recording.session_id}")
    assert answer.status_code == 200
    page = answer.get_data(as_text=True)
    assert "off the &lt;rails&gt; &amp; more" in page
    assert "Two strokes &amp; a look" in page
    assert "5.0 mm" in page
    assert "Crow" in page
    assert "style=" not in page


def test_a_session_without_recordings_says_what_to_do(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)
    library.recordings.remove(recording.id)
    page = client.get(f"/sessions/{recording.session_id}").get_data(as_text=True)
    assert "This session has no recording yet." in page
    assert client.get("/sessions/999").status_code == 404


def test_a_tag_is_added_changed_and_removed(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)
    made = client.post("/api/tags", json=tag_of(recording.id, zones=["rails"], blade="up", side="left")).json
    assert made is not None
    assert made["value"]["zones"] == ["rails"]
    assert "Rails" in made["html"]
    warm = {place["key"]: place["level"] for place in made["heats"]["bassoon"]}
    assert warm["rails-up-left"] == 4
    assert warm["rails-up-right"] == 0
    changed = client.put(f"/api/tags/{made['value']['id']}", json=tag_of(recording.id, step="sand", version=1)).json
    assert changed is not None
    assert (changed["value"]["step"], changed["value"]["version"]) == ("sand", 2)
    assert_error(client.delete(f"/api/tags/{made['value']['id']}", json={"version": 1}), 409, "changed_elsewhere")
    gone = client.delete(f"/api/tags/{made['value']['id']}", json={"version": 2})
    assert gone.json is not None and gone.json["message"] == "Tag removed."
    assert library.tags.all() == []


def test_the_second_writer_is_shown_both(client: FlaskClient, library: Library) -> None:
    tag = a_tag(library, a_recording(library))
    body = tag_of(tag.recording_id, note="First.", version=1)
    assert client.put(f"/api/tags/{tag.id}", json=body).status_code == 200
    data = assert_error(client.put(f"/api/tags/{tag.id}", json={**body, "note": "Second."}), 409, "changed_elsewhere")
    assert (data["theirs"]["note"], data["yours"]["note"]) == ("First.", "Second.")
    assert library.tags.get(tag.id).note == "First."


def test_what_does_not_fit_gets_a_sentence(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)
    assert_error(client.post("/api/tags", json=tag_of(recording.id, step="")), 400, "bad_input", "No step is chosen")
    assert_error(
        client.post("/api/tags", json=tag_of(recording.id, end_ms=500)), 400, "bad_time", "ends before it starts"
    )
    assert_error(client.post("/api/tags", json=tag_of(recording.id, end_ms=61_000)), 400, "bad_time", "past the end")
    assert_error(client.post("/api/tags", json=tag_of(recording.id, zones=["staple"])), 400, "bad_word", "staple")
    assert_error(client.post("/api/tags", json=tag_of(99)), 404, "not_found")
    reading = {"recording_id": recording.id, "at_ms": 0, "quantity": "thickness", "value": "0.4", "unit": "Hz"}
    assert_error(client.post("/api/diary/readings", json=reading), 400, "bad_unit", "is not a unit of thickness")
    assert_error(
        client.post("/api/diary/readings", json={**reading, "value": "thin"}), 400, "bad_input", "not a number"
    )
    assert_error(client.post("/api/diary/readings", json={**reading, "value": ""}), 400, "bad_input", "value is empty")


def test_a_reading_keeps_its_fraction_exact(client: FlaskClient, library: Library) -> None:
    tag = a_tag(library, a_recording(library))
    body = {"tag_id": tag.id, "quantity": "thickness", "value": "3/16", "unit": "inch", "moisture": "wet"}
    made = client.post("/api/diary/readings", json=body).json
    assert made is not None
    stored = library.readings.get(made["value"]["id"])
    assert (stored.value, stored.unit, stored.at_ms) == (Decimal("0.1875"), "in", 1000)
    assert "0.1875\u00a0in (4.76\u00a0mm)" in made["html"]


def test_a_changed_line_keeps_what_was_heard_and_the_times_of_its_words(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)
    library.lines.hear(recording.id, [a_line(recording, 1000, "the read is thin")])
    line = library.lines.all()[0]
    answer = client.put(f"/api/lines/{line.id}", json={"text": " the reed  is thin ", "version": 1}).json
    assert answer is not None
    stored = library.lines.get(line.id)
    assert (stored.text, stored.heard_text) == ("the reed is thin", "the read is thin")
    assert [(word.text, word.start_ms) for word in stored.words] == [
        ("the", 1000),
        ("reed", 1300),
        ("is", 1600),
        ("thin", 1900),
    ]
    empty = client.put(f"/api/lines/{line.id}", json={"text": " ", "version": 2})
    assert_error(empty, 400, "bad_input", "The line is empty")


def test_a_line_where_nobody_spoke_is_struck_out(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)
    heard = [a_line(recording, 1000, "thank you"), a_line(recording, 3000, "I scrape the tip")]
    library.lines.hear(recording.id, heard)
    suggest(library, recording)
    assert [one.content["step"] for one in open_ones(library, recording.id)] == ["scrape"]
    for line in library.lines.of_recording(recording.id):
        answer = client.delete(f"/api/lines/{line.id}", json={"version": 1}).json
        assert answer is not None
        assert answer["message"] == "The line is struck out."
    assert open_ones(library, recording.id) == []
    library.lines.hear(recording.id, heard)  # heard anew it does not come back
    assert library.lines.of_recording(recording.id) == []
    assert client.get(f"/api/sessions/{recording.session_id}/marks").json["line"] == {}
    library.journal.undo()
    assert [line.text for line in library.lines.of_recording(recording.id)] == ["I scrape the tip"]
    stale = client.delete("/api/lines/2", json={"version": 1})
    assert stale.status_code == 409


def test_marks_tell_the_version_of_everything(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)
    library.lines.hear(recording.id, [a_line(recording, 0, "so")])
    tag = a_tag(library, recording)
    library.tags.change(Tag(**{**vars(tag), "note": "again"}))
    found = client.get(f"/api/sessions/{recording.session_id}/marks").json
    assert found is not None
    assert (found["tag"], found["line"], found["reading"]) == ({str(tag.id): 2}, {"1": 1}, {})


def test_work_is_told_for_each_recording(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)
    job = library.jobs.put("listen", {"recording_id": recording.id})
    library.jobs.claim("a test", ["listen"])
    library.jobs.report(job.id, "a test", 0.42)
    found = client.get(f"/api/sessions/{recording.session_id}/work").json
    assert found is not None
    assert [one["told"] for one in found["work"]] == ["Listening: 42 %"]
    assert "path" not in found["recordings"][0]


def propose(library: Library, count: int = 1, **told: Any) -> list[Suggestion]:
    recording = a_recording(library)
    content = {"step": "scrape", "zones": ["channels"], "blade": "up", "symptoms": ["flat"]}
    each = {"kind": "tag", "content": content, "evidence": "down the channels", "confidence": 0.95, **told}
    library.suggestions.propose(
        recording.id, [Suggestion(recording.id, n * 2000, n * 2000 + 1500, **each) for n in range(count)]
    )
    return library.suggestions.of_recording(recording.id)


def test_an_accepted_suggestion_becomes_a_tag_in_one_step_of_undo(client: FlaskClient, library: Library) -> None:
    (one,) = propose(library)
    made = client.post(f"/api/suggestions/{one.id}/accept", json={"version": 1}).json
    assert made is not None
    assert (made["accepted"], made["value"]["step"], made["value"]["zones"]) == (one.id, "scrape", ["channels"])
    assert library.suggestions.get(one.id).state == "accepted"
    again = client.post(f"/api/suggestions/{one.id}/accept", json={"version": 2})
    assert_error(again, 400, "bad_input", "has been accepted already")
    library.journal.undo()
    assert library.tags.all() == []
    assert library.suggestions.get(one.id).state == "open"


def test_a_suggestion_is_taken_as_the_maker_changed_it_or_dismissed(client: FlaskClient, library: Library) -> None:
    first, second = propose(library, 2)
    body = tag_of(first.recording_id, step="sand", zones=["back"], version=1)
    assert client.post(f"/api/suggestions/{first.id}/accept", json=body).status_code == 200
    assert [(tag.step, tag.zones) for tag in library.tags.all()] == [("sand", ("back",))]
    assert client.post(f"/api/suggestions/{second.id}/dismiss", json={"version": 1}).status_code == 200
    assert [one.state for one in library.suggestions.all()] == ["accepted", "dismissed"]


def test_all_that_are_sure_enough_are_accepted_together(client: FlaskClient, library: Library) -> None:
    propose(library, 10)
    session = library.sessions.all()[0].id
    none = client.post(f"/api/sessions/{session}/suggestions/accept", json={"at_least_percent": 96}).json
    assert none is not None and none["accepted"] == 0
    some = client.post(f"/api/sessions/{session}/suggestions/accept", json={"at_least_percent": 95}).json
    assert some is not None and some["message"] == "10 suggestions accepted."
    assert len(library.tags.all()) == 10
    library.journal.undo(session)
    assert library.tags.all() == []


def test_suggested_readings_and_plans_become_theirs(client: FlaskClient, library: Library) -> None:
    (reading,) = propose(library, kind="reading", content={"quantity": "tip_opening", "value": "1.6", "unit": "mm"})
    assert client.post(f"/api/suggestions/{reading.id}/accept", json={"version": 1}).status_code == 200
    assert [(one.value, one.at_ms) for one in library.readings.all()] == [(Decimal("1.6"), 0)]
    library.suggestions.propose(
        reading.recording_id, [Suggestion(reading.recording_id, 9000, 9900, "plan", {}, "next time the rails")]
    )
    plan = next(one for one in library.suggestions.all() if one.kind == "plan")
    assert client.post(f"/api/suggestions/{plan.id}/accept", json={"version": 1}).status_code == 200
    assert [(one.text, one.at_ms) for one in library.plans.all()] == [("next time the rails", 9000)]


def test_where_the_stills_are(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)
    assert_error(client.get(f"/api/recordings/{recording.id}/stills"), 404, "missing", "has not been made yet")
    library.path("sheets/a.json").write_text('{"columns": 2, "times_ms": [0, 900]}', encoding="utf-8")
    library.recordings.note_made(recording.id, sheet_path="sheets/a.jpg")
    assert client.get(f"/api/recordings/{recording.id}/stills").json == {"columns": 2, "times_ms": [0, 900]}
