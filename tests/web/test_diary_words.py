"""Find and replace, transcripts and the language over the pages' own addresses."""

from __future__ import annotations

from dataclasses import replace

from flask.testing import FlaskClient

from annotate.library.store import Library
from annotate.model import Sound
from tests.browser.seed import Seeded
from tests.making import PROBE, a_recording


def test_preview_then_replace(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    address = f"/api/sessions/{seeded.first.id}/replace"
    looked = client.post(f"{address}/preview", json={"sought": "rails", "replacement": "channels"}).json
    assert (looked["count"], looked["lines"], looked["message"]) == (1, 1, "Found 1 time on 1 line.")
    assert looked["shown"][0]["after"] == "So I take a little off the channels."
    assert client.post(address, json={"sought": "rails", "replacement": "channels"}).json["lines"] == 1
    assert library.lines.of_recording(seeded.recording.id)[1].text == "So I take a little off the channels."
    assert client.post(address, json={"sought": ""}).status_code == 400


def test_a_transcript_out_and_in(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    address = f"/api/recordings/{seeded.recording.id}/transcript"
    answer = client.get(f"{address}/text")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="bench 1.txt"'
    assert answer.text.splitlines()[0] == "0:00.2 The low notes sound flat today."
    text = answer.text.replace("flat", "sharp").encode()
    brought = client.put(address, data=text, content_type="application/octet-stream")
    assert brought.json["message"] == "3 lines brought in."
    assert library.lines.of_recording(seeded.recording.id)[0].text == "The low notes sound sharp today."
    assert client.get(f"{address}/vtt").text.startswith("WEBVTT\n")
    assert "-->" in client.get(f"{address}/srt").text
    assert client.get(f"{address}/doc").status_code == 404
    bad = client.put(address, data=b"\x00\x01", content_type="application/octet-stream")
    assert bad.json["error"]["message"].startswith("This is not a text file")


def test_the_language_of_a_recording(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    address = f"/api/recordings/{seeded.recording.id}"
    assert "Words: 3 lines</summary>" in client.get(f"/sessions/{seeded.first.id}").text
    assert client.put(f"{address}/language", json={"language": "DE"}).status_code == 200
    assert library.recordings.get(seeded.recording.id).language == "de"
    assert "Words: German, 3 lines</summary>" in client.get(f"/sessions/{seeded.first.id}").text
    assert client.put(f"{address}/language", json={"language": "d1"}).status_code == 400
    client.put(f"{address}/language", json={"language": ""})
    library.recordings.note_made(seeded.recording.id, heard_language="nn", heard_language_score=0.43)
    assert (
        "Words: nn? (not sure; the language can be chosen here), 3 lines</summary>"
        in client.get(f"/sessions/{seeded.first.id}").text
    )
    job = client.post(f"{address}/listen", json={}).json["job"]
    assert library.jobs.get(job).subject == {"recording_id": seeded.recording.id}
    library.jobs.claim("test", ["listen"])
    assert client.post(f"{address}/listen", json={}).json["message"].startswith("It is being heard already")


def test_why_there_are_no_words_is_told(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)

    def told() -> str:
        text: str = client.get(f"/sessions/{recording.session_id}").text
        return text.partition("<summary>Words: ")[2].partition("</summary>")[0]

    assert told() == "not heard yet"
    library.recordings.hear(recording.id, [(Sound(0, 9000, "scrape"), None)])
    assert told() == "none were heard"
    library.jobs.put("listen", {"recording_id": recording.id})
    assert told() == "not heard yet"
    silent = replace(recording, probe=replace(PROBE, sound_stream=None))
    library.recordings.change(silent)
    assert told() == "none, there is no sound"
