"""Marks made while filming, and laying them on a recording by the clock."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest
from flask.testing import FlaskClient

from annotate.errors import BadInput
from annotate.library.store import Library
from annotate.model import Mark, Recording, Reed
from annotate.work.laying import lay
from tests.making import PROBE, a_recording
from tests.web.answers import assert_error


def filmed(library: Library, at: str | None = "2026-03-14T18:00:00Z") -> Recording:
    """A recording of one minute that says when it began."""
    recording = a_recording(library, reed=library.reeds.add(Reed("K7")))
    return library.recordings.change(replace(recording, probe=replace(PROBE, recorded_at=at)))


def mark(at: str, step: str = "scrape") -> Mark:
    return Mark(f"2026-03-14T{at}+00:00", step)


def stretches(marks: list[Mark], recording: Recording, shift_ms: int = 0) -> list[tuple[str, int, int]]:
    return [(one.mark.step, one.start_ms, one.end_ms) for one in lay(marks, recording, shift_ms)]


def test_marks_lie_by_the_clock_and_reach_to_the_next(library: Library) -> None:
    recording = filmed(library)
    marks = [mark("18:00:20.000", "sand"), mark("18:00:05.500"), mark("17:59:59.000", "soak"), mark("18:02:00.000")]
    assert stretches(marks, recording) == [("scrape", 5500, 20_000), ("sand", 20_000, 50_000)]
    assert stretches(marks, recording, 1500)[0] == ("soak", 500, 7000)
    assert stretches([mark("18:00:58.000")], recording) == [("scrape", 58_000, 60_000)]


def test_two_presses_at_once_still_have_a_second_each(library: Library) -> None:
    marks = [mark("18:00:05.000"), mark("18:00:05.000", "sand")]
    assert stretches(marks, filmed(library)) == [("scrape", 5000, 6000), ("sand", 5000, 35_000)]


def test_clocks_of_other_zones_are_understood(library: Library) -> None:
    recording = filmed(library, "2026-03-14T19:00:00+01:00")
    assert stretches([mark("18:00:05.000")], recording) == [("scrape", 5000, 35_000)]


def test_a_recording_without_a_time_says_so(library: Library) -> None:
    with pytest.raises(BadInput, match="does not say when it was filmed"):
        lay([], filmed(library, None))


@pytest.mark.parametrize("day", ["2026-03-01", "2026-03-01T00:00:00"])
def test_a_recording_that_tells_only_the_day_is_not_of_midnight(
    client: FlaskClient, library: Library, day: str
) -> None:
    recording = filmed(library, day)
    with pytest.raises(BadInput, match="does not say at what time it was filmed"):
        lay([], recording)
    assert recording.name not in client.get("/bench").get_data(as_text=True)
    assert "from 00:00" not in client.get("/").get_data(as_text=True)
    assert "filmed 1 March 2026" in client.get(f"/sessions/{recording.session_id}").get_data(as_text=True)


def test_moments_are_of_the_clock_where_the_maker_is(
    client: FlaskClient, library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    recording = filmed(library, "2026-03-02T01:30:00+00:00")
    monkeypatch.setenv("TZ", "America/New_York")
    time.tzset()
    pages = [client.get(page).get_data(as_text=True) for page in ("/", f"/sessions/{recording.session_id}", "/bench")]
    monkeypatch.undo()
    time.tzset()
    for text, told in zip(pages, ("from 20:30", "filmed 1 March 2026", "a.mp4, 2026-03-01 20:30"), strict=True):
        assert told in text


def test_a_mark_is_made_said_more_exactly_and_removed(client: FlaskClient, library: Library) -> None:
    made = client.post("/api/marks", json={"step": "scrape"}).json
    assert made is not None and made["told"] == "Scrape"
    body = {"zones": ["rails"], "blade": "up", "version": 1}
    changed = client.put(f"/api/marks/{made['mark']['id']}", json=body).json
    assert changed is not None and changed["told"] == "Scrape · Rails · Wire-up blade"
    assert_error(client.put(f"/api/marks/{made['mark']['id']}", json=body), 409, "changed_elsewhere")
    assert_error(client.post("/api/marks", json={"step": "juggle"}), 400, "bad_word", "juggle")
    assert client.get("/bench").status_code == 200
    client.delete(f"/api/marks/{made['mark']['id']}", json={})
    assert library.marks.all() == []


def test_laid_marks_become_tags_in_one_step_of_undo(client: FlaskClient, library: Library) -> None:
    recording = filmed(library)
    library.marks.add_all([mark("18:00:05.000"), mark("18:00:15.000", "crow"), mark("20:00:00.000")])
    seen = client.get(f"/api/recordings/{recording.id}/marks?shift_ms=-1000").json
    assert seen is not None
    assert [(one["at"], one["told"]) for one in seen["marks"]] == [("0:04", "Scrape"), ("0:14", "Crow")]
    made = client.post(f"/api/recordings/{recording.id}/marks", json={"shift_ms": -1000}).json
    assert made is not None and made["message"] == "2 marks laid on a.mp4. Laid by the clock of the camera."
    assert [(tag.step, tag.start_ms, tag.end_ms) for tag in library.tags.all()] == [
        ("scrape", 4000, 14_000),
        ("crow", 14_000, 44_000),
    ]
    again = client.post(f"/api/recordings/{recording.id}/marks", json={"shift_ms": -1000})
    assert_error(again, 400, "bad_input", "No mark falls in this recording")
    library.journal.undo()
    assert library.tags.all() == []
    assert [one.tag_id for one in library.marks.all()] == [None, None, None]


def test_a_clap_is_marked_and_makes_no_tag(client: FlaskClient, library: Library) -> None:
    made = client.post("/api/marks", json={"step": "clap"}).json
    assert made is not None and (made["told"], made["message"]) == ("Clap", "Marked: Clap.")
    recording = filmed(library)
    library.marks.add_all([mark("18:00:02.000", "clap"), mark("18:00:05.000")])
    seen = client.get(f"/api/recordings/{recording.id}/marks").json
    assert seen is not None
    assert [(one["at"], one["told"]) for one in seen["marks"]] == [("0:05", "Scrape")]
    assert seen["by"] == "The sound cannot be read to look for the clap: laid by the clock."
    assert client.get("/bench").text.count("Clap</span>") == 2


def test_the_reed_of_the_session_is_in_hand_when_opened_from_it(library: Library, client: FlaskClient) -> None:
    recording = filmed(library)
    page = client.get(f"/bench?recording={recording.id}").text
    assert f'data-bench data-reed="{recording.reed_id}"' in page
    assert 'data-bench data-reed=""' in client.get(f"/bench?recording={recording.id}&reed=").text
