"""Recordings and lessons as files (werkzeug issue 1937), reached by id only."""

from __future__ import annotations

from pathlib import Path

import pytest
import webvtt
from flask.testing import FlaskClient

from annotate.library.store import Library
from annotate.model import Session
from annotate.work.adding import add_file
from tests import media
from tests.browser.seed import Seeded, store
from tests.web.answers import assert_error

TEN = b"0123456789"


def put_ten(library: Library, seeded: Seeded, content: bytes = TEN) -> str:
    """Make the file of the first recording these bytes; gives its address."""
    library.recordings.file(seeded.recording).write_bytes(content)
    return f"/media/recordings/{seeded.recording.id}/play"


@pytest.mark.parametrize(
    ("asked", "status", "content_range", "body"),
    [
        ("bytes=0-", 206, "bytes 0-9/10", TEN),
        ("bytes=-3", 206, "bytes 7-9/10", b"789"),
        ("bytes=5-", 206, "bytes 5-9/10", b"56789"),
        ("bytes=2-4", 206, "bytes 2-4/10", b"234"),
        ("bytes=0-99", 206, "bytes 0-9/10", TEN),
        ("bytes=10-", 416, "bytes */10", None),
        ("bytes=99-100", 416, "bytes */10", None),
    ],
)
def test_ranges_of_ten_bytes(
    client: FlaskClient, library: Library, seeded: Seeded, asked: str, status: int, content_range: str, body: bytes
) -> None:
    answer = client.get(put_ten(library, seeded), headers={"Range": asked})
    assert answer.status_code == status
    assert answer.headers["Content-Range"] == content_range
    if body is not None:
        assert answer.data == body
        assert answer.headers["Content-Length"] == str(len(body))


def test_without_a_range_the_whole_file_comes(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    answer = client.get(put_ten(library, seeded))
    assert (answer.status_code, answer.data) == (200, TEN)
    assert answer.headers["Accept-Ranges"] == "bytes"
    assert answer.mimetype == "video/mp4"


@pytest.mark.parametrize("asked", [None, "bytes=0-", "bytes=-3"])
def test_an_empty_file_is_200_and_empty(
    client: FlaskClient, library: Library, seeded: Seeded, asked: str | None
) -> None:
    headers = {"Range": asked} if asked else {}
    answer = client.get(put_ten(library, seeded, b""), headers=headers)
    assert (answer.status_code, answer.data) == (200, b"")


def test_a_part_of_another_version_is_not_mixed_in(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    """If-Range (RFC 9110, 13.1.5): a player that holds an older version gets the whole new one."""
    address = put_ten(library, seeded)
    answer = client.get(address, headers={"Range": "bytes=0-3", "If-Range": '"older"'})
    assert (answer.status_code, answer.data) == (200, TEN)


def test_the_copy_for_browsers_is_played_when_there_is_one(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    recording = store(library, media.mkv(), seeded.first, "phone.mkv")
    library.path("playable/copy.mp4").write_bytes(b"copy")
    library.recordings.note_made(recording.id, playable_path="playable/copy.mp4")
    base = f"/media/recordings/{recording.id}"
    assert client.get(f"{base}/play").data == b"copy"
    assert client.get(f"{base}/original").data == media.mkv().read_bytes()
    named = client.get(f"{base}/original?download").headers["Content-Disposition"]
    assert named == "attachment; filename=phone.mkv"


def test_a_file_that_is_gone_is_a_sentence(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    library.recordings.file(seeded.recording).unlink()
    answer = client.get(f"/media/recordings/{seeded.recording.id}/play", headers={"Accept": "application/json"})
    assert_error(answer, 404, "missing", "bench 1.mp4", "is not where it was")
    page = client.get(f"/sessions/{seeded.first.id}/about").get_data(as_text=True)
    assert "bench 1.mp4 is not where it was" in page


def test_what_is_not_made_yet_is_a_sentence(client: FlaskClient, seeded: Seeded) -> None:
    headers = {"Accept": "application/json"}
    base = f"/media/recordings/{seeded.recording.id}"
    assert_error(client.get(f"{base}/peaks", headers=headers), 404, "missing", "waveform has not been made yet")
    assert_error(client.get(f"{base}/sheet", headers=headers), 404, "missing", "contact sheet")
    film = client.get(f"/media/lessons/{seeded.lesson.id}/film", headers=headers)
    assert_error(film, 404, "missing", "has not been exported yet")


@pytest.mark.parametrize(
    "path",
    [
        "/media/recordings/1/../../../etc/passwd",
        "/media/recordings/%2e%2e%2f%2e%2e%2fetc%2fpasswd/play",
        "/media/lessons/1/..%2f..%2flibrary.sqlite",
        "/media/lessons/1/library.sqlite",
        "/static/../app.py",
        "/static/..%2fapp.py",
    ],
)
def test_no_address_leads_out(client: FlaskClient, seeded: Seeded, path: str) -> None:
    assert client.get(path).status_code == 404


def test_a_stored_path_that_leads_out_is_refused(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    library.recordings.note_made(seeded.recording.id, playable_path="../../secret.mp4")
    headers = {"Accept": "application/json"}
    answer = client.get(f"/media/recordings/{seeded.recording.id}/play", headers=headers)
    assert_error(answer, 400, "bad_input", "leads out of the library")
    job = library.jobs.put("export", {"lesson_id": seeded.lesson.id})
    library.jobs.claim("test", ["export"])
    library.jobs.finish(job.id, "test", {"film": "library.sqlite"})
    answer = client.get(f"/media/lessons/{seeded.lesson.id}/film", headers=headers)
    assert_error(answer, 400, "bad_input", "does not lie under the lessons")


def test_a_file_used_where_it_lies_is_reached_by_its_recording(
    client: FlaskClient, library: Library, seeded: Seeded
) -> None:
    answer = client.post(
        f"/api/sessions/{seeded.first.id}/in-place", json={"path": str(media.click("mov")), "reed_id": None}
    )
    assert answer.status_code == 200, answer.json
    recording = answer.json["recording"]
    assert "path" not in recording and recording["is_kept"] is False
    played = client.get(recording["media"], headers={"Range": "bytes=4-7"})
    assert (played.status_code, played.data) == (206, b"ftyp")


def test_the_lines_are_a_caption_track(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    """Read by webvtt-py, a reader of its own."""
    answer = client.get(f"/media/recordings/{seeded.recording.id}/lines.vtt")
    assert (answer.status_code, answer.mimetype) == (200, "text/vtt")
    cues = list(webvtt.from_string(answer.get_data(as_text=True)))
    assert [cue.text.replace("\n", " ") for cue in cues] == [
        "The low notes sound flat today.",
        "So I take a little off the rails. Tip opening one point six millimetres.",
    ]
    assert cues[1].start == "00:00:02.200"


def test_the_parts_of_an_export(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    folder = library.path("lessons/001-lesson")
    folder.mkdir()
    (folder / "lesson.mp4").write_bytes(TEN)
    (folder / "summary.html").write_text("<!doctype html><style>p{}</style><p>Step one", "utf-8")
    job = library.jobs.put("export", {"lesson_id": seeded.lesson.id})
    library.jobs.claim("test", ["export"])
    made = {"film": "lessons/001-lesson/lesson.mp4", "summary_html": "lessons/001-lesson/summary.html"}
    library.jobs.finish(job.id, "test", made)
    base = f"/media/lessons/{seeded.lesson.id}"
    assert client.get(f"{base}/film", headers={"Range": "bytes=1-2"}).data == b"12"
    policy = client.get(f"{base}/summary_html").headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'") and "sandbox" in policy and "script" not in policy
    assert client.get(f"{base}/zip", headers={"Accept": "application/json"}).status_code == 404


@pytest.mark.parametrize("ending", [".html", ".svg", ".js", ".xml", ".txt"])
def test_a_recording_that_calls_itself_a_page_is_only_ever_stored(
    client: FlaskClient, library: Library, tmp_path: Path, ending: str
) -> None:
    odd = tmp_path / f"bench{ending}"
    odd.write_bytes(media.base().read_bytes())
    recording = add_file(library, odd, library.sessions.add(Session("2026-03-02")).id)
    for part in ("original", "play"):
        answer = client.get(f"/media/recordings/{recording.id}/{part}")
        assert (answer.status_code, answer.mimetype) == (200, "application/octet-stream")
        assert answer.headers["Content-Disposition"].startswith("attachment")
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
