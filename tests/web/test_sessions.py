"""The pages of sessions, and what changes them."""

from __future__ import annotations

from decimal import Decimal

from flask.testing import FlaskClient

from annotate.library.store import Library
from annotate.model import CardShown, Mark, Plan, Reed, Session
from annotate.work.adding import add_file
from tests import media
from tests.browser.seed import Seeded, store
from tests.web.answers import assert_error


def test_the_empty_page_says_how_to_begin(client: FlaskClient) -> None:
    text = client.get("/").get_data(as_text=True)
    assert "No session yet." in text and "Drop video or sound files here" in text


def test_sessions_are_listed_newest_first_with_what_they_hold(client: FlaskClient, seeded: Seeded) -> None:
    text = client.get("/").get_data(as_text=True)
    places = [text.index(title) for title in ("Oboe reed", "Session of 9 March 2026", "First scrape")]
    assert places == sorted(places)
    assert "19.5\u00a0°C, 41% humidity" in text
    assert "3 tags" in text and "Reed B14" in text
    assert "People in the picture: ask first" in text


def test_a_session_is_added_changed_and_undone(client: FlaskClient, library: Library) -> None:
    sent = {
        "date": "2026-03-02",
        "title": " Scrape ",
        "temperature_c": "20,5",
        "humidity_percent": "",
        "sharing": "free",
    }
    made = client.post("/api/sessions", json=sent).json
    assert made["location"] == f"/sessions/{made['session']['id']}/about"
    stored = library.sessions.get(made["session"]["id"])
    assert (stored.title, stored.temperature_c, stored.humidity_percent) == ("Scrape", Decimal("20.5"), None)
    address = f"/api/sessions/{stored.id}"
    assert client.put(address, json={"version": 1, "humidity_percent": 140}).status_code == 400
    assert client.put(address, json={"version": 1, "humidity_percent": "38"}).status_code == 200
    assert library.sessions.get(stored.id).title == "Scrape"
    assert client.post("/api/undo", json={}).json["message"] == "Taken back: changed the session of 2026-03-02."
    assert library.sessions.get(stored.id).humidity_percent is None
    assert client.post("/api/redo", json={}).status_code == 200
    assert library.sessions.get(stored.id).humidity_percent == Decimal(38)


def test_a_session_with_everything_in_it_is_removed_and_comes_back(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    address = f"/api/sessions/{seeded.first.id}"
    data = assert_error(client.delete(address, json={}), 400, "bad_input", "Bringing a flat reed up", "Take its clips")
    assert data["subject"] == "bench 1.mp4"
    client.delete(f"/api/lessons/{seeded.lesson.id}", json={})
    file = library.recordings.file(seeded.recording)
    answer = client.delete(address, json={})
    assert answer.json["message"] == "The session of 2 March 2026 is removed. Its files stay where they are."
    assert file.is_file()
    assert library.tags.of_recording(seeded.recording.id) == []
    assert client.get(f"/sessions/{seeded.first.id}/about").status_code == 404
    client.post("/api/undo", json={})
    assert len(library.tags.of_recording(seeded.recording.id)) == 3
    assert [line.start_ms for line in library.lines.of_recording(seeded.recording.id)] == [200, 2200, 4300]
    assert [sound.kind for sound in library.recordings.sounds(seeded.recording.id)] == ["speech", "scrape", "crow"]
    assert library.check() == []


def test_work_on_a_removed_recording_is_stopped(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    client.delete(f"/api/lessons/{seeded.lesson.id}", json={})
    job = library.jobs.put("listen", {"recording_id": seeded.later.id})
    client.delete(f"/api/recordings/{seeded.later.id}", json={})
    assert library.jobs.get(job.id).state == "cancelled"
    page = client.get("/work").get_data(as_text=True)
    assert "something that has been removed" in page


def test_the_reed_in_hand_can_be_said_later(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    other = library.reeds.add(Reed("B15"))
    address = f"/api/recordings/{seeded.recording.id}"
    assert client.put(address, json={"version": 1, "reed_id": other.id}).status_code == 200
    assert library.recordings.get(seeded.recording.id).reed_id == other.id
    assert client.put(address, json={"version": 2, "reed_id": None}).json["recording"]["reed_id"] is None
    assert_error(client.put(address, json={"version": 3, "reed_id": 999}), 404, "not_found")


def test_the_page_about_a_session(client: FlaskClient, seeded: Seeded) -> None:
    text = client.get(f"/sessions/{seeded.first.id}/about").get_data(as_text=True)
    assert "bench 1.mp4" in text and "320 × 240" in text and 'value="2026-03-02"' in text
    assert f'href="/lessons/new?session={seeded.first.id}"' in text


def test_what_was_planned_and_marked_goes_and_comes_with_its_session(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    client.delete(f"/api/lessons/{seeded.lesson.id}", json={})
    library.plans.add(Plan("rails down", seeded.bassoon.id, seeded.later.id, 1000))
    library.marks.add(Mark("2026-03-09T10:00:00.000Z", "scrape", session_id=seeded.second.id))
    assert client.delete(f"/api/sessions/{seeded.second.id}", json={}).status_code == 200
    assert library.plans.all() == [] and library.marks.all() == []
    client.post("/api/undo", json={})
    assert len(library.plans.all()) == 1 and len(library.marks.all()) == 1


def test_a_new_session_is_asked_about_until_someone_decides(client: FlaskClient, library: Library) -> None:
    made = client.post("/api/sessions", json={"date": "2026-03-02"}).json["session"]
    assert library.sessions.get(made["id"]).sharing == "undecided"
    page = client.get(f"/sessions/{made['id']}/about").get_data(as_text=True)
    assert '<option value="undecided" selected>Sharing not decided: ask first</option>' in page


def test_two_sessions_of_one_day_are_told_apart(client: FlaskClient, library: Library) -> None:
    for title in ("", "", "Scrape", "Scrape", "Crow"):
        library.sessions.add(Session("2026-03-02", title))
    library.sessions.add(Session("2026-03-03"))
    text = client.get("/").get_data(as_text=True)
    for session_id, name in enumerate(
        ("Session 1 of 2 March 2026", "Session 2 of 2 March 2026", "Scrape (1)", "Scrape (2)", "Crow"), 1
    ):
        assert f'<a href="/sessions/{session_id}">{name}</a>' in text
    assert '<a href="/sessions/6">Session of 3 March 2026</a>' in text


def test_the_reeds_of_untagged_recordings_are_listed(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    shown = library.reeds.add(Reed("B15"))
    held = library.reeds.add(Reed("B16"))
    session = library.sessions.add(Session("2026-04-01"))
    recording = store(library, media.only_sound(), session, "untagged.m4a", held)
    library.recordings.see_cards(recording.id, [CardShown(0, 500, "B15"), CardShown(900, 1000, "a stranger's")])
    entry = client.get("/").get_data(as_text=True).split("</li>")[0]
    assert "Reeds B15, B16" in entry and "0 tags" in entry
    reeds = client.get("/reeds").get_data(as_text=True)
    assert reeds.count("last in hand on 1 April 2026") == 2
    assert reeds.count("in 1 session, no tag yet") == 3  # and the oboe reed of the seed
    assert "1 April 2026" in client.get(f"/reeds/{shown.id}").get_data(as_text=True)


def test_a_sound_track_is_chosen_on_the_page(client: FlaskClient, library: Library) -> None:
    add_file(library, media.two_tracks(), library.sessions.add(Session("2026-03-14")).id)
    assert '<option value="2" selected>2, Lapel, eng</option>' in client.get("/sessions/1/about").text
    answer = client.put("/api/recordings/1/track", json={"version": 1, "sound_stream": 1})
    assert (
        answer.json is not None and answer.json["message"] == "That sound track of two.mkv is used; it is heard anew."
    )
    assert '<option value="1" selected>1, deu</option>' in client.get("/sessions/1/about").text
