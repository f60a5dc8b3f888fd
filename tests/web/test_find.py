"""The find page."""

from __future__ import annotations

from decimal import Decimal

import pytest
from flask.testing import FlaskClient

from annotate.library.store import Library
from annotate.model import Line, Reading
from tests.browser.seed import Seeded
from tests.web.answers import assert_error


def test_a_hit_marks_its_words_and_opens_the_moment(client: FlaskClient, seeded: Seeded) -> None:
    text = client.get("/find?text=rails&kind=line").get_data(as_text=True)
    assert "1 moment for “rails”." in text
    assert "So I take a little off the <mark>rails</mark>." in text
    assert f'href="/sessions/{seeded.first.id}?recording={seeded.recording.id}&amp;at=2200"' in text


def test_reed_step_zone_symptom_and_days(client: FlaskClient, seeded: Seeded) -> None:
    def kinds(query: str) -> list[tuple[str, int]]:
        return [(hit["kind"], hit["start_ms"]) for hit in client.get(f"/api/find?{query}").json["hits"]]

    assert kinds("step=scrape&zone=rails&kind=tag") == [("tag", 2000)]
    assert kinds("symptom=stuffy&kind=tag") == [("tag", 500)]
    assert kinds(f"reed={seeded.bassoon.id}&kind=tag&until=2026-03-03") == [("tag", 0), ("tag", 2000), ("tag", 4200)]
    assert kinds("text=flat&step=play") == [("tag", 0), ("line", 200)] or kinds("text=flat&step=play") == [
        ("line", 200),
        ("tag", 0),
    ]
    assert kinds("text=nothinglikethis") == []


def test_hits_without_a_moment_lead_to_their_page(client: FlaskClient, seeded: Seeded) -> None:
    hits = client.get("/api/find?text=flat&kind=lesson").json["hits"]
    assert [hit["address"] for hit in hits] == [f"/lessons/{seeded.lesson.id}"]
    hits = client.get("/api/find?text=winter").json["hits"]
    assert [hit["address"] for hit in hits] == [f"/reeds/{seeded.bassoon.id}"]
    hits = client.get("/api/find?text=rain&kind=session").json["hits"]
    assert [hit["address"] for hit in hits] == [f"/sessions/{seeded.first.id}"]


def test_said_markup_is_text(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    library.lines.add(Line(seeded.recording.id, 5000, 5500, "<b>bold</b> & <script>alert(1)</script> --> end"))
    text = client.get("/find?text=bold").get_data(as_text=True)
    assert "&lt;b&gt;<mark>bold</mark>&lt;/b&gt; &amp; &lt;script&gt;" in text
    assert "<script>alert" not in text


def test_a_bad_question_is_a_sentence_on_the_page(client: FlaskClient) -> None:
    page = client.get("/find?step=dance").get_data(as_text=True)
    assert "“dance” is not one of the steps" in page
    assert_error(client.get("/api/find?zone=knee"), 400, "bad_word", "knee")
    assert client.get("/find?reed=none").status_code == 200


def test_odd_words_do_no_harm(client: FlaskClient, seeded: Seeded) -> None:
    for text in ('"', "*", "NEAR(", "a AND", "-->", "%", "'; DROP TABLE tag; --", "日本"):
        assert client.get("/find", query_string={"text": text}).status_code == 200


@pytest.mark.parametrize(
    ("query", "field", "sentence"),
    [
        ("since=2026-02-31", "since", "“2026-02-31” is not a date."),
        ("since=spring", "since", "“spring” is not a date."),
        ("until=20260304", "until", "“20260304” is not a date."),
        ("since=2026-03-09&until=2026-03-02", "until", "“2026-03-02” is before the first day."),
    ],
)
def test_a_day_that_is_none_is_said_beside_its_field(
    client: FlaskClient, seeded: Seeded, query: str, field: str, sentence: str
) -> None:
    page = client.get(f"/find?text=rails&{query}").get_data(as_text=True)
    assert f'id="find-{field}-problem" role="alert">{sentence}' in page
    assert page.count('role="alert">') == 2  # the other is the empty place for warnings
    assert 'name="text" value="rails"' in page
    assert_error(client.get(f"/api/find?{query}"), 400, "bad_input", sentence)


def test_a_find_for_a_lesson_keeps_which_lesson(client: FlaskClient, seeded: Seeded) -> None:
    into = seeded.lesson.id
    assert f'href="/find?into={into}"' in client.get(f"/lessons/new?into={into}").text
    text = client.get(f"/find?into={into}&text=flat").text
    assert text.count(f'<input type="hidden" name="into" value="{into}">') == 2
    assert f'href="/lessons/new?into={into}&amp;text=flat"' in text
    assert f'goes into the lesson <a href="/lessons/{into}">Bringing a flat reed up</a>' in text
    assert client.get("/find?into=99").status_code == 404
    chosen = client.get(f"/lessons/new?into={into}&moments=tag:1,tag:2").text
    assert [part.partition(">")[0] for part in chosen.split('value="tag:')[1:]] == ['1" checked', '2"']


def test_a_reading_is_told_with_its_value_and_unit(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    library.readings.add(Reading("wire_distance", Decimal("3.2"), "mm", reed_id=1, place_note="from the collar"))
    page = client.get("/find?text=collar&kind=reading").text
    assert ">Wire distance 3.2\u00a0mm (0.126\u00a0in) · from the <mark>collar</mark></a>" in page
