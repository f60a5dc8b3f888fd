"""How lessons and clips are shown, drafts, one clip exported, whole recordings, lost files: what the server answers."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from flask.testing import FlaskClient

from annotate.library.store import Library
from annotate.model import Before, Showing, Sound
from tests.browser.seed import Seeded
from tests.web.answers import assert_error


def test_how_a_lesson_is_shown_is_stored_and_refused_in_sentences(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    address = f"/api/lessons/{seeded.lesson.id}/showing"
    values = {"scraping_speed": 4, "scraping_longer_ms": 2000, "scraping_sound": "low", "quiet_longer_ms": 3000}
    sent = {"version": 1, **values, "evens_loudness": False, "burns_captions": True}
    assert client.put(address, json=sent).status_code == 200
    assert library.lessons.get(1).showing == Showing(4, 2000, "low", 3000, False, True)
    assert client.put(address, json={"version": 2, "quiet_longer_ms": None}).status_code == 200
    assert library.lessons.get(1).showing == Showing(4, 2000, "low", None, False, True)
    assert_error(client.put(address, json={"version": 2, "scraping_speed": 2}), 409, "changed_elsewhere")
    assert_error(client.put(address, json={"version": 3, "scraping_speed": 9}), 400, "bad_input", "Use 2 to 8")
    assert_error(client.put(address, json={"version": 3, "scraping_sound": "loud"}), 400, "bad_input", "off or low")
    assert_error(client.put(address, json={"version": 3, "quiet_longer_ms": 10}), 400, "bad_input", "2 seconds")
    assert client.post("/api/undo", json={}).get_json()["message"].count("changed how the lesson") == 1
    assert library.lessons.get(1).showing.quiet_longer_ms == 3000


def test_drafts_fill_what_is_empty_and_nothing_else(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    address = f"/api/lessons/{seeded.lesson.id}/draft"
    answer = client.post(address, json={"version": 1}).get_json()
    assert (answer["message"], answer["told"]) == (
        "Nothing was drafted.",
        ["Nothing was empty: what you wrote stays."],
    )
    assert library.lessons.get(1) == seeded.lesson
    answer = client.post(address, json={"version": 1, "goal": "", "review": "", "tools": []}).get_json()
    assert answer["told"] == [
        "Goal: drafted from the symptoms of “Scrape: back, channels” at 0:00 (2026-03-09).",
        "Materials and tools: left empty, no reading of these clips names its instrument.",
        "Review: left empty, nothing in these clips was measured twice.",
    ]
    assert library.lessons.get(1).goal == "Mend what was found on reed B14: flat, stuffy."
    client.post("/api/undo", json={})
    assert library.lessons.get(1).goal == "Know where to take cane when a new reed is flat."


def test_earlier_moments_are_of_the_same_reed_newest_first(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    def titles(**asked: int) -> list[tuple[str, int]]:
        found = client.get("/api/lessons/earlier", query_string=asked).get_json()
        return [(one["title"], one["start_ms"]) for one in found["moments"]]

    before = [("Measure: tip", 4200), ("Crow", 4200), ("Scrape: rails, wire-up blade, left", 2000), ("Play", 0)]
    assert titles(recording_id=seeded.later.id, start_ms=500, end_ms=3000) == before
    assert titles(recording_id=seeded.recording.id, start_ms=2000, end_ms=4200) == [("Play", 0)]
    assert titles(recording_id=3, start_ms=0, end_ms=1000) == []
    oboe = client.get("/api/lessons/earlier?recording_id=3&start_ms=0&end_ms=1000").get_json()
    assert (oboe["reed"], len(oboe["recordings"])) == ("O3", 3)
    assert_error(client.get("/api/lessons/earlier?recording_id=99&start_ms=0&end_ms=1"), 404, "not_found")


def test_a_clip_tells_its_parts_and_what_it_is_set_against(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    library.lines.hear(seeded.recording.id, [])
    library.recordings.hear(seeded.recording.id, [(Sound(2000, 4200, "scrape", 0.9), None)])
    lesson = library.lessons.get(1)
    first = replace(lesson.clips[0], start_ms=1000, end_ms=5000, scraping_speed=4)
    second = replace(lesson.clips[1], before=Before(seeded.recording.id, 4200, 5800))
    showing = Showing(scraping_longer_ms=2000)
    library.lessons.change(replace(lesson, clips=(first, second), showing=showing))
    told = client.get("/api/lessons/1").get_json()["lesson"]["clips"]
    assert told[0]["parts"] == [
        {"start_ms": 1000, "end_ms": 3000, "speed": 1},
        {"start_ms": 3000, "end_ms": 3200, "speed": 4},
        {"start_ms": 3200, "end_ms": 5000, "speed": 1},
    ]
    assert told[1]["before_told"]["text"] == "Measure: tip, 2 March 2026, bench 1.mp4, 0:04.2 to 0:05.8"
    assert told[1]["before_told"]["is_missing"] is False
    library.recordings.file(seeded.recording).unlink()
    told = client.get("/api/lessons/1").get_json()["lesson"]["clips"]
    assert (told[0]["is_missing"], told[1]["is_missing"], told[1]["before_told"]["is_missing"]) == (True, False, True)


def test_one_clip_is_exported_after_asking_about_its_session_alone(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    address = "/api/lessons/1/clips/{}/export"
    assert client.post(address.format(1), json={}).status_code == 200
    assert_error(client.post(address.format(2), json={}), 409, "ask_first", "People are in the picture")
    assert client.post(address.format(2), json={"may_leave": True}).status_code == 200
    assert_error(client.post(address.format(3), json={}), 400, "bad_input", "has no clip 3")
    subjects = [job.subject for job in library.jobs.all()]
    assert [(one["clip"], one["from_ms"], one["to_ms"]) for one in subjects] == [(2, 500, 3000), (1, 2000, 4200)]
    told = client.get("/api/lessons/1").get_json()["lesson"]["clips"]
    assert [one["alone"] for one in told] == [None, None]
    assert [one["alone_job"] for one in told] == [1, 2]
    assert_error(client.get("/media/exports/1/film", headers={"Accept": "application/json"}), 404, "missing")
    assert_error(client.get("/media/exports/1/secret", headers={"Accept": "application/json"}), 404, "not_found")


def test_chapters_and_captions_of_a_whole_recording(client: FlaskClient, seeded: Seeded) -> None:
    page = client.get(f"/recordings/{seeded.recording.id}/whole").get_data(as_text=True)
    assert "May this leave the bench?" not in page and "2026-03-02-b14-001.chapters.txt" in page
    chapters = client.get(f"/recordings/{seeded.recording.id}/whole/chapters")
    assert chapters.get_data(as_text=True).splitlines()[:2] == ["0:00 Reed B14, 2026-03-02; Play", "0:02 Scrape: rails"]
    assert chapters.headers["Content-Disposition"] == 'attachment; filename="2026-03-02-b14-001.chapters.txt"'
    assert client.get(f"/recordings/{seeded.recording.id}/whole/vtt").get_data(as_text=True).startswith("WEBVTT")
    assert " --> " in client.get(f"/recordings/{seeded.recording.id}/whole/srt").get_data(as_text=True)
    assert client.get(f"/recordings/{seeded.recording.id}/whole/mp3").status_code == 404
    about = client.get(f"/sessions/{seeded.first.id}/about").get_data(as_text=True)
    assert f'href="/recordings/{seeded.recording.id}/whole"' in about


def test_a_whole_recording_with_people_in_it_is_asked_about(client: FlaskClient, seeded: Seeded) -> None:
    address = f"/recordings/{seeded.later.id}/whole"
    page = client.get(address).get_data(as_text=True)
    assert "People are in the picture of Session of 9 March 2026. Have they agreed?" in page
    assert f"{address}/vtt" not in page
    assert client.get(f"{address}/vtt").status_code == 409
    assert f"{address}/vtt?may_leave=yes" in client.get(f"{address}?may_leave=yes").get_data(as_text=True)
    assert client.get(f"{address}/vtt?may_leave=yes").status_code == 200


def test_a_lost_file_is_looked_for_only_in_a_folder(
    client: FlaskClient, library: Library, seeded: Seeded, tmp_path: Path
) -> None:
    address = f"/api/recordings/{seeded.recording.id}/look"
    assert_error(client.post(address, json={"folder": " "}), 400, "bad_input", "No folder was given")
    assert_error(client.post(address, json={"folder": str(tmp_path / "no")}), 400, "bad_input", "is not a folder")
    assert_error(client.post("/api/recordings/99/look", json={"folder": str(tmp_path)}), 404, "not_found")
    job = client.post(address, json={"folder": f'"{tmp_path}"'}).get_json()["job"]
    assert (job["title"], job["subject"]["folder"]) == ("Looking for bench 1.mp4", str(tmp_path))


def test_the_cover_is_one_clip_and_stays_with_it(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    address, clips = "/api/lessons/1/clips", client.get("/api/lessons/1").get_json()["lesson"]["clips"]
    first, second = clips
    answer = client.put(address, json={"version": 1, "clips": [first, {**second, "is_cover": True}]}).get_json()
    assert answer["message"] == "The picture of clip 2 is the cover now."
    first, second = answer["lesson"]["clips"]
    answer = client.put(address, json={"version": 2, "clips": [second, first]}).get_json()
    assert [one["is_cover"] for one in answer["lesson"]["clips"]] == [True, False]
    both = [{**one, "is_cover": True} for one in (second, first)]
    assert_error(client.put(address, json={"version": 3, "clips": both}), 400, "bad_input", "more than one cover")
    client.post("/api/undo", json={})
    assert "made the picture of clip 2 the cover" in client.post("/api/undo", json={}).get_json()["message"]
    assert [one.is_cover for one in library.lessons.get(1).clips] == [False, False]


def test_a_chosen_picture_outside_its_clip_is_chosen_anew(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    first, second = client.get("/api/lessons/1").get_json()["lesson"]["clips"]
    for values, told in (
        ({"still_ms": 3000}, "The still of clip 1 is saved."),
        ({"still_ms": 3000, "end_ms": 3001}, "Clip 1 now runs from 0:02.000 to 0:03.001."),
        (
            {"still_ms": 3000, "end_ms": 3000},
            "Clip 1 now runs from 0:02.000 to 0:03.000. "
            "The picture chosen for clip 1 lay outside it: it is chosen anew, automatically.",
        ),
    ):
        sent = {"version": library.lessons.get(1).version, "clips": [{**first, **values}, second]}
        assert client.put("/api/lessons/1/clips", json=sent).get_json()["message"] == told
    assert library.lessons.get(1).clips[0].still_ms is None
