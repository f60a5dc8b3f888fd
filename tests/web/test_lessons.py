"""The pages of lessons, and clips."""

from __future__ import annotations

from dataclasses import replace

from flask.testing import FlaskClient

from annotate.lesson.choosing import apart
from annotate.library.store import Library
from annotate.model import Before, Clip
from tests.browser.seed import Seeded
from tests.web.answers import assert_error


def test_a_lesson_is_made_of_the_tags_of_a_reed(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    page = client.get(f"/lessons/new?reed={seeded.bassoon.id}").get_data(as_text=True)
    assert 'value="tag:2"' in page and "Scrape: rails" in page and "Work on reed B14" in page
    sent = {"title": "Two steps", "goal": "See it.", "moments": ["tag:3", "line:2"]}
    made = client.post("/api/lessons", json=sent).json
    assert made["message"] == "The lesson “Two steps” is made."
    clips = library.lessons.get(made["lesson"]["id"]).clips
    assert [(clip.title, clip.start_ms, clip.tag_id) for clip in clips] == [
        ("Measure: tip", 4200, 3),
        ("So I take a little off the rails.", 2200, None),
    ]


def test_moments_come_from_a_session_a_find_or_one_by_one(client: FlaskClient, seeded: Seeded) -> None:
    def keys(query: str) -> list[str]:
        text = client.get(f"/lessons/new?{query}").get_data(as_text=True)
        return [part.split('"')[0] for part in text.split('data-kind="choices" value="')[1:]]

    assert keys(f"session={seeded.first.id}") == ["tag:1", "tag:2", "tag:3"]
    assert keys("symptom=stuffy") == ["tag:4"]
    assert sorted(keys("text=rails")) == ["line:2", "tag:2"]
    assert keys("moments=tag:3,line:1") == ["tag:3", "line:1"]
    assert keys("") == []
    assert client.get("/lessons/new?moments=reed:1").status_code == 404


def test_clips_that_overlap_are_kept_apart_when_chosen(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    made = client.post("/api/lessons", json={"title": "T", "moments": ["tag:2", "line:2", "tag:1"]}).json
    assert "1 clip was trimmed or left out" in made["message"]
    assert [clip["start_ms"] for clip in made["lesson"]["clips"]] == [2000, 0]


def test_apart_keeps_the_longest_free_stretch() -> None:
    first = Clip(1, 2000, 4000)
    kept, touched = apart([first, Clip(1, 0, 10_000), Clip(2, 0, 3000), Clip(1, 3500, 4500)])
    assert [(clip.recording_id, clip.start_ms, clip.end_ms) for clip in kept] == [
        (1, 2000, 4000),
        (1, 4000, 10_000),
        (2, 0, 3000),
    ]
    assert touched == 2


def test_overlapping_clips_are_refused_in_a_sentence(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    clips = [
        {"recording_id": seeded.recording.id, "start_ms": 0, "end_ms": 3000},
        {"recording_id": seeded.later.id, "start_ms": 0, "end_ms": 1000},
        {"recording_id": seeded.recording.id, "start_ms": 2999, "end_ms": 4000},
    ]
    address = f"/api/lessons/{seeded.lesson.id}/clips"
    answer = client.put(address, json={"version": 1, "clips": clips})
    assert_error(answer, 400, "bad_input", "clips 1 and 3", "do not overlap")
    assert len(library.lessons.get(seeded.lesson.id).clips) == 2
    clips[2]["start_ms"] = 3000
    assert client.put(address, json={"version": 1, "clips": clips}).status_code == 200


def test_what_a_clip_is_set_against_stays_when_it_is_trimmed(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    first, second = library.lessons.get(seeded.lesson.id).clips
    before = Before(seeded.recording.id, 4300, 5500, is_beside=False)
    chosen = replace(second, scraping_speed=4, before=before)
    library.lessons.change(replace(library.lessons.get(seeded.lesson.id), clips=(first, chosen)))
    sent = client.get(f"/api/lessons/{seeded.lesson.id}").get_json()["lesson"]
    sent["clips"][1]["end_ms"] = 2900
    address = f"/api/lessons/{seeded.lesson.id}/clips"
    assert client.put(address, json={"version": sent["version"], "clips": sent["clips"]}).status_code == 200
    assert library.lessons.get(seeded.lesson.id).clips == (first, replace(chosen, end_ms=2900))
    sent["clips"][1]["before"] = "yesterday"
    assert_error(client.put(address, json={"version": 3, "clips": sent["clips"]}), 400, "bad_input", "before")


def test_clips_must_lie_in_their_recording(client: FlaskClient, seeded: Seeded) -> None:
    address = f"/api/lessons/{seeded.lesson.id}/clips"
    for start, end, code, word in (
        (3000, 2000, "bad_time", "ends before it starts"),
        (0, 999_999, "bad_time", "past the end"),
        (-5, 100, "bad_time", "before the recording"),
    ):
        clips = [{"recording_id": seeded.recording.id, "start_ms": start, "end_ms": end}]
        assert_error(client.put(address, json={"version": 1, "clips": clips}), 400, code, word)
    clips = [{"recording_id": 99, "start_ms": 0, "end_ms": 10}]
    assert_error(client.put(address, json={"version": 1, "clips": clips}), 404, "not_found", "recording 99")


def test_what_frames_a_lesson_is_changed(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    address = f"/api/lessons/{seeded.lesson.id}"
    sent = {"version": 1, "tools": ["knife ", "", "plaque"], "has_title_cards": False, "review": "Less."}
    lesson = client.put(address, json=sent).json["lesson"]
    assert (lesson["tools"], lesson["has_title_cards"], lesson["title"]) == (
        ["knife", "plaque"],
        False,
        "Bringing a flat reed up",
    )
    assert_error(client.put(address, json={"version": 2, "title": ""}), 400, "bad_input", "empty")
    assert_error(client.put(address, json={"version": 2, "has_title_cards": "yes"}), 400, "bad_input", "true nor false")


def test_cautions_follow_from_the_steps(client: FlaskClient, seeded: Seeded) -> None:
    lesson = client.get(f"/api/lessons/{seeded.lesson.id}").json["lesson"]
    assert len(lesson["cautions"]) == 1
    assert lesson["cautions"][0].startswith("A reed knife is sharp.") and "local rules" in lesson["cautions"][0]
    assert lesson["duration_ms"] == 4700
    assert lesson["clips"][0]["rate"] == 30.0


def test_export_asks_about_people_in_the_picture(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    address = f"/api/lessons/{seeded.lesson.id}/export"
    assert_error(
        client.post(address, json={}), 409, "ask_first", "People are in the picture of Session of 9 March 2026"
    )
    assert library.jobs.all() == []
    job = client.post(address, json={"may_leave": True}).json["job"]
    assert (job["kind"], job["state"]) == ("export", "waiting")
    again = client.post(address, json={"may_leave": True}).json["job"]
    assert again["id"] == job["id"]


def test_an_empty_lesson_is_not_exported(client: FlaskClient) -> None:
    made = client.post("/api/lessons", json={"title": "Empty"}).json["lesson"]
    assert_error(client.post(f"/api/lessons/{made['id']}/export", json={}), 400, "bad_input", "Empty", "no clips")


def test_a_lesson_whose_recording_is_gone_says_which(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    library.recordings.file(seeded.later).unlink()
    clips = client.get(f"/api/lessons/{seeded.lesson.id}").json["lesson"]["clips"]
    assert [clip["is_missing"] for clip in clips] == [False, True]
    assert "bench 2.mp4" in clips[1]["where"]


def test_what_was_exported_is_shown(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    assert "Nothing yet." in client.get(f"/lessons/{seeded.lesson.id}").get_data(as_text=True)
    folder = library.path("lessons/001")
    folder.mkdir()
    (folder / "lesson.mp4").write_bytes(b"film")
    (folder / "chapters.txt").write_text("0:00 Goal & start\n0:04 Scrape: rails\n1:02:03 Far\n", "utf-8")
    job = library.jobs.put("export", {"lesson_id": seeded.lesson.id})
    library.jobs.claim("test", ["export"])
    made = {"folder": "lessons/001", "film": "lessons/001/lesson.mp4", "chapters": "lessons/001/chapters.txt"}
    library.jobs.finish(job.id, "test", made | {"zip": "lessons/001/gone.zip"})
    text = client.get(f"/lessons/{seeded.lesson.id}").get_data(as_text=True)
    assert 'data-chapter="0"' in text and 'data-chapter="4000"' in text and 'data-chapter="3723000"' in text
    assert "Goal &amp; start" in text
    assert f'href="/media/lessons/{seeded.lesson.id}/film?download"' in text
    assert "/zip?download" not in text
    assert "exported on" in client.get("/lessons").get_data(as_text=True)


def test_moments_are_added_to_a_lesson_that_is_there(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    answer = client.post(f"/api/lessons/{seeded.lesson.id}/clips", json={"moments": ["tag:3", "tag:2"]})
    assert answer.json["message"] == "1 clip is added. 1 clip was trimmed or left out, so that nothing is shown twice."
    assert len(library.lessons.get(seeded.lesson.id).clips) == 3


def test_a_removed_lesson_comes_back(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    client.delete(f"/api/lessons/{seeded.lesson.id}", json={})
    assert library.lessons.all() == []
    client.post("/api/undo", json={})
    assert library.lessons.get(seeded.lesson.id).title == "Bringing a flat reed up"
