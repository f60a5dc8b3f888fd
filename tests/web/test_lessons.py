"""The pages of lessons, and clips."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from flask.testing import FlaskClient

from annotate.lesson.told.choosing import apart
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
    assert keys("text=rails") == ["tag:2", "line:2"]
    assert keys(f"session={seeded.first.id}&text=rails") == ["tag:2", "line:2"]
    assert keys(f"session={seeded.second.id}&text=rails") == []
    assert keys("") == []
    assert client.get("/lessons/new?moments=reed:1").status_code == 404


def test_moments_are_offered_in_the_order_in_which_they_were_filmed(client: FlaskClient, seeded: Seeded) -> None:
    """In a find the best hit is first, and with no words the newest session; a lesson begins with the oldest."""
    text = client.get("/lessons/new?moments=tag:4,line:4,tag:3,line:1,tag:3").get_data(as_text=True)
    found = [part.split('"')[0] for part in text.split('data-kind="choices" value="')[1:]]
    assert found == ["line:1", "tag:3", "line:4", "tag:4"]


def test_moments_for_a_lesson_say_what_it_shows_already(client: FlaskClient, seeded: Seeded) -> None:
    address = f"/lessons/new?into={seeded.lesson.id}&session={seeded.first.id}"
    text = client.get(address).get_data(as_text=True)
    parts = text.split('data-kind="choices" value="')[1:]
    assert [(part.split('"')[0], "In the lesson already" in part) for part in parts] == [
        ("tag:1", False),
        ("tag:2", True),
        ("tag:3", False),
    ]
    assert f'data-api="/api/lessons/{seeded.lesson.id}/clips"' in text
    assert client.get("/lessons/new?into=99").status_code == 404


def test_clips_that_overlap_are_kept_apart_when_chosen(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    made = client.post("/api/lessons", json={"title": "T", "moments": ["tag:2", "line:2", "tag:1"]}).json
    assert made["message"] == (
        "The lesson “T” is made. “So I take a little off the rails.” is left out, for it is shown already."
    )
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
    assert answer.json["message"] == "1 clip is added. “Scrape: rails” is left out, for it is shown already."
    assert len(library.lessons.get(seeded.lesson.id).clips) == 3
    assert client.post("/api/undo", json={}).json["message"] == (
        "Taken back: added 1 clip to the lesson “Bringing a flat reed up”."
    )


def test_a_clip_trimmed_when_it_is_added_is_named(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    """The tag runs from 2.0 to 4.2 s; the lesson shows it up to 3.0 s."""
    first, second = library.lessons.get(seeded.lesson.id).clips
    library.lessons.change(replace(library.lessons.get(seeded.lesson.id), clips=(replace(first, end_ms=3000), second)))
    answer = client.post(f"/api/lessons/{seeded.lesson.id}/clips", json={"moments": ["tag:2"]})
    assert answer.json["message"] == (
        "1 clip is added. Clip 3, “Scrape: rails”, is trimmed to 0:03.000 to 0:04.200, so that nothing is shown twice."
    )


def test_a_change_of_the_clips_is_told_and_can_be_taken_back_by_name(client: FlaskClient, seeded: Seeded) -> None:
    address = f"/api/lessons/{seeded.lesson.id}"

    def put(change: Callable[[list[dict[str, Any]]], list[dict[str, Any]]]) -> tuple[str, str]:
        lesson = client.get(address).json["lesson"]
        body = {"version": lesson["version"], "clips": change(lesson["clips"])}
        told = client.put(f"{address}/clips", json=body).json["message"]
        return told, client.post("/api/undo", json={}).json["message"]

    of_lesson = "of the lesson “Bringing a flat reed up”."
    assert put(lambda clips: [{**clips[0], "end_ms": 4000}, clips[1]]) == (
        "Clip 1 now runs from 0:02.000 to 0:04.000.",
        f"Taken back: trimmed clip 1 {of_lesson}",
    )
    assert put(lambda clips: [clips[1], clips[0]]) == (
        "Clip 1 is now clip 2.",
        f"Taken back: moved clip 1 to place 2 {of_lesson}",
    )
    assert put(lambda clips: clips[:1]) == ("Clip 2 is removed.", f"Taken back: removed clip 2 {of_lesson}")
    assert put(lambda clips: [clips[0], {**clips[1], "title": "Back"}]) == (
        "The title of clip 2 is saved.",
        f"Taken back: changed the title of clip 2 {of_lesson}",
    )


def test_an_export_that_is_older_than_the_lesson_says_of_which_version_it_is(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    """The page tells the two versions; an export of one clip alone is not the lesson's."""
    alone = library.jobs.put("export", {"lesson_id": seeded.lesson.id, "version": 1, "clip": 2})
    assert 'data-job=""' in client.get(f"/lessons/{seeded.lesson.id}").get_data(as_text=True)
    library.jobs.cancel(alone.id)
    job = library.jobs.put("export", {"lesson_id": seeded.lesson.id, "version": 1})
    assert f'data-job="{job.id}"' in client.get(f"/lessons/{seeded.lesson.id}").get_data(as_text=True)
    library.jobs.claim("test", ["export"])
    library.jobs.finish(job.id, "test", {"folder": "lessons/001"})
    assert 'data-export-version="1"' in client.get(f"/lessons/{seeded.lesson.id}").get_data(as_text=True)


def test_the_length_of_the_film_counts_what_the_film_shows(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    """2.2 + 2.5 s of clips; a title card is 4 s, one before each clip 2.4 s, the review 6 s (lesson.shown.film).

    A correction that takes 2.25 s to read ends 0.7 s before the first clip does: its last picture is held.
    """
    address = f"/api/lessons/{seeded.lesson.id}"
    assert client.get(address).json["lesson"]["film_ms"] == 4700 + 1550 + 4000 + 2 * 2400 + 6000
    first, second = seeded.lesson.clips
    clips = (first, replace(second, before=Before(seeded.recording.id, 4300, 5500)))
    library.lessons.change(replace(library.lessons.get(seeded.lesson.id), clips=clips, has_title_cards=False))
    assert client.get(address).json["lesson"]["film_ms"] == 4700 + 1550 + 1200
    made = client.post("/api/lessons", json={"title": "Empty"}).json["lesson"]
    assert made["film_ms"] is None


def test_a_removed_lesson_comes_back(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    client.delete(f"/api/lessons/{seeded.lesson.id}", json={})
    assert library.lessons.all() == []
    client.post("/api/undo", json={})
    assert library.lessons.get(seeded.lesson.id).title == "Bringing a flat reed up"
