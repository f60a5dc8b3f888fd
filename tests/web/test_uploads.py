"""Files come in pieces, straight to the disk, and are refused in sentences (werkzeug issue 3003)."""

from __future__ import annotations

from pathlib import Path

import pytest
from flask.testing import FlaskClient

from annotate.errors import NoSpace
from annotate.library.store import Library
from annotate.model import Session
from tests import media
from tests.web.answers import assert_error
from web.app import BODY_LIMIT_BYTES
from web.incoming import LIMIT_BYTES, SPARE_BYTES, Upload, append, check_size, remove_leftovers

MB = 1024 * 1024


@pytest.fixture
def session_id(library: Library) -> int:
    """A session to add to."""
    return library.sessions.add(Session("2026-03-02")).id


def send(client: FlaskClient, session_id: int, name: str, content: bytes, piece: int = 100_000) -> object:
    """Send a file as the page does; gives the last answer."""
    begun = client.post("/api/uploads", json={"name": name, "size_bytes": len(content), "session_id": session_id})
    if begun.status_code != 200:
        return begun
    key = begun.json["key"]
    for start in range(0, len(content), piece):
        answer = client.put(
            f"/api/uploads/{key}?offset={start}",
            data=content[start : start + piece],
            content_type="application/octet-stream",
        )
        assert answer.json == {"got_bytes": min(start + piece, len(content))}
    return client.post(f"/api/uploads/{key}/finish", json={})


def left(library: Library) -> list[str]:
    """What lies in the folder of files on their way."""
    return [path.name for path in (library.folder / "cache" / "uploads").glob("*")]


def test_a_file_in_pieces_becomes_a_recording(client: FlaskClient, library: Library, session_id: int) -> None:
    answer = send(client, session_id, "bench “one” 🎶.mp4", media.base().read_bytes())
    assert answer.status_code == 200, answer.json
    assert answer.json["message"] == "bench “one” 🎶.mp4 is added: 0:06, 320 × 240."
    recording = library.recordings.get(answer.json["recording"]["id"])
    assert library.recordings.file(recording).read_bytes() == media.base().read_bytes()
    assert [job.kind for job in reversed(library.jobs.all())] == ["prepare", "listen"]
    assert left(library) == []


def test_the_same_file_again_is_recognised(client: FlaskClient, library: Library, session_id: int) -> None:
    send(client, session_id, "first.mp4", media.base().read_bytes())
    again = send(client, session_id, "other name.mp4", media.base().read_bytes())
    data = assert_error(again, 409, "already_there", "other name.mp4", "already in the library", "first.mp4")
    assert data["existing_id"] == 1
    assert len(library.recordings.all()) == 1 and left(library) == []


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("notes.mp4", b"only some text, no media at all\n" * 20, "not_media"),
        ("cut off.mp4", b"", "bad_input"),
        ("still.png", None, "not_media"),
    ],
)
def test_what_is_not_media_is_refused_by_name(
    client: FlaskClient, library: Library, session_id: int, name: str, content: bytes | None, code: str
) -> None:
    body = media.picture_file().read_bytes() if content is None else content
    assert_error(send(client, session_id, name, body), 400, code, name)
    assert library.recordings.all() == [] and left(library) == []


def test_a_truncated_recording_is_refused_by_name(client: FlaskClient, library: Library, session_id: int) -> None:
    answer = send(client, session_id, "battery died.mp4", media.truncated().read_bytes())
    assert_error(answer, 400, "unfinished", "battery died.mp4")


@pytest.mark.parametrize("name", ["../../evil.mp4", "C:\\evil\\x.mp4", "x" * 300 + ".mp4", "a\x00b.mp4", "…🪵" * 90])
def test_odd_names_stay_inside_the_library(client: FlaskClient, library: Library, session_id: int, name: str) -> None:
    answer = send(client, session_id, name, media.base().read_bytes())
    assert answer.status_code == 200, answer.json
    recording = library.recordings.all()[0]
    assert library.recordings.file(recording).parent == library.folder / "recordings"
    assert 0 < len(recording.name) <= 120


def test_a_lost_piece_is_sent_again(client: FlaskClient, session_id: int) -> None:
    key = client.post("/api/uploads", json={"name": "a.mp4", "size_bytes": 6, "session_id": session_id}).json["key"]
    address = f"/api/uploads/{key}"
    kind = "application/octet-stream"
    assert client.put(f"{address}?offset=0", data=b"abc", content_type=kind).json == {"got_bytes": 3}
    assert client.put(f"{address}?offset=0", data=b"abc", content_type=kind).json == {"got_bytes": 3}
    assert client.put(f"{address}?offset=5", data=b"f", content_type=kind).json == {"got_bytes": 3}
    assert_error(client.post(f"{address}/finish", json={}), 400, "bad_input", "3 of 6 bytes")
    assert client.delete(address, json={}).status_code == 200
    assert_error(client.put(f"{address}?offset=3", data=b"x", content_type=kind), 404, "not_found", "Choose it again")


def test_more_than_was_said_is_refused(client: FlaskClient, session_id: int) -> None:
    key = client.post("/api/uploads", json={"name": "a.mp4", "size_bytes": 3, "session_id": session_id}).json["key"]
    answer = client.put(f"/api/uploads/{key}?offset=0", data=b"abcdef", content_type="application/octet-stream")
    assert_error(answer, 400, "bad_input", "a.mp4", "has grown")


def test_the_limit_of_one_file_is_stated(client: FlaskClient, session_id: int) -> None:
    too_large = {"name": "all day.mp4", "size_bytes": LIMIT_BYTES + 1, "session_id": session_id}
    assert_error(client.post("/api/uploads", json=too_large), 413, "too_large", "all day.mp4", "64 GB", "in place")
    page = client.get("/").get_data(as_text=True)
    assert "Up to 64 GB each." in page


def test_a_file_without_room_on_the_disk_is_refused_before_it_is_sent() -> None:
    check_size("fits.mp4", 10**9, free_bytes=10**9 + SPARE_BYTES)
    with pytest.raises(NoSpace, match=r"big\.mp4: there is not enough room on the disk for it"):
        check_size("big.mp4", 10**9, free_bytes=10**9 + SPARE_BYTES - 1)


def test_an_unknown_session_is_refused_before_a_byte_is_sent(client: FlaskClient) -> None:
    answer = client.post("/api/uploads", json={"name": "a.mp4", "size_bytes": 10, "session_id": 99})
    assert_error(answer, 404, "not_found", "no session 99")


def test_a_sparse_3_gb_file_goes_to_the_disk_in_small_reads(tmp_path: Path) -> None:
    """Werkzeug issue 3003: the stream of a 3 GB file is never asked for more than 1 MB at a time."""
    size = 3 * 1024 * MB
    source = tmp_path / "sparse.mp4"
    with source.open("wb") as out:
        out.truncate(size)
    asked: list[int] = []

    class Counting:
        def __init__(self) -> None:
            self.file = source.open("rb")
            self.left = 40 * MB  # the writing of a few tens of MB shows it; a test need not fill the disk

        def read(self, count: int = -1) -> bytes:
            asked.append(count)
            chunk = self.file.read(min(count, self.left))
            self.left -= len(chunk)
            return chunk

    target = tmp_path / "part"
    target.touch()
    upload = Upload("key", "sparse.mp4", size, 1, None, target)
    stream = Counting()
    append(upload, upload.got_bytes, stream)  # type: ignore[arg-type]
    stream.file.close()
    assert upload.got_bytes == 40 * MB == target.stat().st_size
    assert set(asked) == {MB}


def test_one_request_beyond_its_limit_says_so(client: FlaskClient, session_id: int) -> None:
    answer = client.put(
        "/api/uploads/x?offset=0", data=b"\0" * (BODY_LIMIT_BYTES + 1), content_type="application/octet-stream"
    )
    assert answer.status_code in (404, 413)
    answer = client.post("/api/sessions", data="x" * (BODY_LIMIT_BYTES + 1), content_type="application/json")
    assert_error(answer, 413, "too_large", "24 MB")


def test_a_long_text_field_fits(client: FlaskClient, app: object) -> None:
    """Werkzeug issue 3003: 600 kB in one field, which the framework's own default refuses with 413."""
    from flask import Flask, request

    assert isinstance(app, Flask)
    app.add_url_rule("/echo", view_func=lambda: str(len(request.form["text"])), methods=["POST"])
    part = b'--edge\r\nContent-Disposition: form-data; name="text"\r\n\r\n' + b"x" * 600_000 + b"\r\n--edge--\r\n"
    answer = client.post("/echo", data=part, content_type="multipart/form-data; boundary=edge")
    assert (answer.status_code, answer.data) == (200, b"600000")


def test_leftovers_of_earlier_runs_are_removed(tmp_path: Path) -> None:
    import os

    old, new = tmp_path / "old.mp4", tmp_path / "new.mp4"
    old.touch()
    new.touch()
    os.utime(old, (0, 0))
    remove_leftovers(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["new.mp4"]


def test_a_path_in_place_must_be_whole(client: FlaskClient, session_id: int) -> None:
    answer = client.post(f"/api/sessions/{session_id}/in-place", json={"path": "video.mp4"})
    assert_error(answer, 400, "bad_input", "is not a whole path")
    answer = client.post(f"/api/sessions/{session_id}/in-place", json={"path": "/nowhere/video.mp4"})
    assert answer.status_code in (400, 404)
    assert "video.mp4" in answer.json["error"]["message"]


def test_a_sent_file_is_written_to_the_disk_once(client: FlaskClient, library: Library, session_id: int) -> None:
    content = media.base().read_bytes()
    about = {"name": "once.mp4", "size_bytes": len(content), "session_id": session_id}
    key = client.post("/api/uploads", json=about).json["key"]
    client.put(f"/api/uploads/{key}?offset=0", data=content, content_type="application/octet-stream")
    (sent,) = (library.folder / "cache" / "uploads").glob("*")
    inode = sent.stat().st_ino
    assert client.post(f"/api/uploads/{key}/finish", json={}).status_code == 200
    kept = library.recordings.file(library.recordings.all()[0])
    assert (kept.stat().st_ino, kept.read_bytes() == content, left(library)) == (inode, True, [])


def test_a_file_that_seems_cut_short_says_so_where_it_is_added_and_in_the_diary(
    client: FlaskClient, session_id: int
) -> None:
    answer = send(client, session_id, "bit.mkv", media.mkv().read_bytes()[:-100])
    assert answer.json["recording"]["probe"]["cut_short"] == "its last 100 bytes are missing"
    told = "Its file seems cut short: its last 100 bytes are missing. What is there can be used."
    assert f" {told} If you have the whole recording elsewhere, add it too." in answer.json["message"]
    for address in (f"/sessions/{session_id}", f"/sessions/{session_id}/about"):
        assert told in client.get(address).get_data(as_text=True)


def test_no_path_is_told_as_no_path(client: FlaskClient, session_id: int) -> None:
    answer = client.post(f"/api/sessions/{session_id}/in-place", json={"path": ' "" '})
    assert_error(answer, 400, "bad_input", "No file is named. Write the whole path of a file on this computer.")


def test_a_file_in_place_that_is_stopped_is_not_added(client: FlaskClient, library: Library, session_id: int) -> None:
    assert client.delete("/api/in-place/k1", json={}).json["message"] == "Stopping."  # before its turn came
    asked = {"path": str(media.click("mov")), "key": "k1"}
    assert_error(client.post(f"/api/sessions/{session_id}/in-place", json=asked), 409, "cancelled", "was stopped")
    assert library.recordings.all() == []
    assert client.post(f"/api/sessions/{session_id}/in-place", json=asked).status_code == 200  # asked for again
