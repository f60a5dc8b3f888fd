"""The pages of reeds: list, history, readings, chart."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from flask.testing import FlaskClient

from annotate.library.store import Library
from annotate.model import CardShown, Plan, Reading, Reed, Tag
from tests.browser.seed import Seeded
from tests.making import a_recording
from tests.web.answers import assert_error
from web.chart import Point, chart, ticks
from web.words import value_of


def test_reeds_are_listed_and_filtered(client: FlaskClient, seeded: Seeded) -> None:
    text = client.get("/reeds").get_data(as_text=True)
    assert text.index(">B14<") < text.index(">B09<")
    assert "last in hand on 9 March 2026" in text and "4 tags in 2 sessions" in text
    resting = client.get("/reeds?state=resting").get_data(as_text=True)
    assert ">B09<" in resting and ">B14<" not in resting
    oboe = client.get("/reeds?instrument=oboe").get_data(as_text=True)
    assert ">O3<" in oboe and ">B14<" not in oboe
    assert "is not a state of a reed" in client.get("/reeds?state=lost").get_data(as_text=True)


def test_a_reed_shows_its_whole_history(client: FlaskClient, seeded: Seeded) -> None:
    text = client.get(f"/reeds/{seeded.bassoon.id}").get_data(as_text=True)
    assert text.index("9 March 2026") < text.index("2 March 2026: First scrape")
    assert f'href="/sessions/{seeded.first.id}?recording={seeded.recording.id}&amp;at=2000"' in text
    assert "off the channels, not the rails" in text
    assert "1.6\u00a0mm (0.063\u00a0in)" in text and "2.25\u00a0in (57.15\u00a0mm)" in text
    assert "Tip opening, mm: 1.6\u00a0mm (0.063\u00a0in) on 2 Mar 2026 to 1.5\u00a0mm (0.059\u00a0in)" in text
    assert 'data-reed="bassoon"' in text


def test_an_oboe_reed_without_history(client: FlaskClient, seeded: Seeded) -> None:
    text = client.get(f"/reeds/{seeded.oboe.id}").get_data(as_text=True)
    assert "No reading yet." in text and "11 March 2026" in text


def test_a_session_where_only_its_card_was_seen_says_so_and_offers_it(client: FlaskClient, library: Library) -> None:
    reed = library.reeds.add(Reed("B-12"))
    recording = a_recording(library)
    library.recordings.see_cards(recording.id, [CardShown(3000, 4000, "B-12"), CardShown(9000, 9900, "B-12")])
    offer = f'data-set-reed="{recording.id}" data-reed="{reed.id}" data-version="1">Set B-12 as the reed in hand'
    seen = (
        f'Card B-12 seen at <a class="number" href="/sessions/{recording.session_id}?recording=1&amp;at=3000">0:03</a>'
    )
    text = client.get(f"/reeds/{reed.id}").get_data(as_text=True)
    assert seen in text and offer in text and "Nothing is tagged or measured on it yet in" in text
    diary = client.get(f"/sessions/{recording.session_id}").get_data(as_text=True)
    assert diary.count("Card B-12 seen") == 1 and offer in diary
    client.put(f"/api/recordings/{recording.id}", json={"version": 1, "reed_id": reed.id})
    text = client.get(f"/reeds/{reed.id}").get_data(as_text=True)
    assert "Nothing is tagged or measured on it yet in" in text and "Card B-12 seen" not in text
    diary = client.get(f"/sessions/{recording.session_id}").get_data(as_text=True)
    assert "Card B-12 seen" not in diary and f'reed <a href="/reeds/{reed.id}">B-12</a>' in diary


def test_a_card_of_no_reed_says_that(client: FlaskClient, library: Library) -> None:
    recording = a_recording(library)
    library.recordings.see_cards(recording.id, [CardShown(3000, 4000, "Z-9")])
    diary = client.get(f"/sessions/{recording.session_id}").get_data(as_text=True)
    assert "there is no reed of that id yet" in diary and "data-set-reed" not in diary


def test_a_reed_is_added_changed_and_removed(client: FlaskClient, library: Library) -> None:
    made = client.post(
        "/api/reeds", json={"name": " B20 ", "instrument": "bassoon", "state": "blank", "made_on": ""}
    ).json
    reed_id = made["reed"]["id"]
    assert made["location"] == f"/reeds/{reed_id}" and made["reed"]["name"] == "B20"
    again = client.post("/api/reeds", json={"name": "B20"})
    assert_error(again, 409, "already_there", "B20", "another reed")
    assert_error(client.post("/api/reeds", json={"name": " "}), 400, "bad_input", "empty")
    assert_error(client.post("/api/reeds", json={"name": "X", "instrument": "horn"}), 400, "bad_word", "horn")
    assert client.put(f"/api/reeds/{reed_id}", json={"version": 1, "state": "playing"}).status_code == 200
    assert client.delete(f"/api/reeds/{reed_id}", json={}).json["message"] == "Reed B20 is removed."
    client.post("/api/undo", json={})
    assert library.reeds.get(reed_id).state == "playing"


def test_a_reed_in_use_is_not_removed(client: FlaskClient, seeded: Seeded) -> None:
    answer = client.delete(f"/api/reeds/{seeded.bassoon.id}", json={})
    assert_error(answer, 400, "bad_input", "4 tags, 4 readings, 2 recordings", "retired")


def test_a_reading_is_noted_and_removed(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    address = f"/api/reeds/{seeded.oboe.id}/readings"
    sent = {"quantity": "tip_opening", "value": "1/16", "unit": "inches", "zone": "opening", "taken_on": "2026-03-12"}
    made = client.post(address, json=sent).json
    assert made["message"] == "Tip opening 0.0625\u00a0in (1.59\u00a0mm) is noted."
    assert_error(client.post(address, json={**sent, "unit": "Hz"}), 400, "bad_unit", "Hz", "mm")
    assert_error(client.post(address, json={**sent, "value": "wide"}), 400, "bad_input", "wide")
    assert_error(client.post(address, json={**sent, "zone": "collar"}), 400, "bad_word", "collar")
    client.delete(f"/api/readings/{made['reading']['id']}", json={})
    assert library.readings.of_reed(seeded.oboe.id) == []


def test_a_chart_places_days_and_values() -> None:
    points = [
        Point(date(2026, 3, 11), 2.0, "2 mm"),
        Point(date(2026, 3, 1), 1.0, "1 mm"),
        Point(date(2026, 3, 6), 1.5, "1.5 mm"),
    ]
    drawn = chart(points, "Length, mm")
    assert drawn is not None
    assert [dot.x for dot in drawn.dots] == [46.0, 177.0, 308.0]
    assert [dot.y for dot in drawn.dots] == [106.0, 66.0, 26.0]
    assert [tick.text for tick in drawn.up] == ["1", "1.5", "2"]
    assert [(tick.text, tick.place) for tick in drawn.along] == [
        ("1 Mar 2026", 46.0),
        ("6 Mar 2026", 177.0),
        ("11 Mar 2026", 308.0),
    ]
    assert drawn.summary == (
        "Length, mm: 1 mm on 1 Mar 2026 to 2 mm on 11 Mar 2026, 3 in all; lowest 1 mm, highest 2 mm"
    )
    assert chart(points[:1], "mm") is None


def test_a_chart_of_equal_values_on_one_day_divides_by_nothing() -> None:
    drawn = chart([Point(date(2026, 3, 1), 1.0, "a"), Point(date(2026, 3, 1), 1.0, "b")], "mm")
    assert drawn is not None
    assert [dot.x for dot in drawn.dots] == [46.0, 308.0]
    assert [tick.text for tick in drawn.along] == ["1 Mar 2026"]


def test_signed_values_are_drawn_round_zero() -> None:
    drawn = chart([Point(date(2026, 3, 3), -24.9, "a"), Point(date(2026, 3, 7), 0.3, "b")], "Sag", is_signed=True)
    assert drawn is not None
    assert [tick.text for tick in drawn.up] == ["−30", "−20", "−10", "0", "+10"]
    assert drawn.zero == 46.0


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        (0.0762, 0.12, [0.06, 0.08, 0.1, 0.12]),
        (-35.0, -8.0, [-40, -30, -20, -10, 0]),
        (54.5, 54.5, [50, 60]),
        (0.0, 0.0, [-0.5, 0, 0.5]),
        (1.0, 2000.0, [0, 500, 1000, 1500, 2000]),
    ],
)
def test_ticks_are_round_and_take_in_both_ends(low: float, high: float, expected: list[float]) -> None:
    assert ticks(low, high) == expected


def test_plans_for_next_time(client: FlaskClient, library: Library, seeded: Seeded) -> None:
    made = client.post(f"/api/reeds/{seeded.oboe.id}/plans", json={"text": " rails down "}).json
    assert made["plan"]["text"] == "rails down"
    assert_error(client.post(f"/api/reeds/{seeded.oboe.id}/plans", json={"text": ""}), 400, "bad_input", "empty")
    address = f"/api/plans/{made['plan']['id']}"
    assert client.put(address, json={"version": 1, "is_done": True}).json["message"] == "Done."
    text = client.get(f"/reeds/{seeded.oboe.id}").get_data(as_text=True)
    assert "rails down" in text and "Not done" in text
    client.delete(address, json={})
    assert library.plans.all() == []
    client.post("/api/undo", json={})
    assert library.plans.all()[0].is_done


def test_what_was_noted_last_is_of_the_last_recording_of_the_day(client: FlaskClient, library: Library) -> None:
    reed = library.reeds.add(Reed("B-14"))
    first, second = a_recording(library, "a", reed), a_recording(library, "b", reed)
    library.recordings.change(replace(second, session_id=first.session_id, position=1))
    library.tags.add(Tag(first.id, 5000, 6000, "play", reed_id=reed.id, symptoms=("flat",)))
    library.tags.add(Tag(second.id, 100, 900, "play", reed_id=reed.id, symptoms=("sharp",)))
    noted = client.get("/reeds").text.partition('aria-label="Last noted"')[2].partition("</ul>")[0]
    assert ("Sharp" in noted, "Flat" in noted) == (True, False)


def test_a_plan_of_no_reed_waits_among_the_reeds_and_is_given_one(client: FlaskClient, library: Library) -> None:
    reed = library.reeds.add(Reed("B-14"))
    plan = library.plans.add(Plan("clip the tip"))
    assert "clip the tip" in client.get("/reeds").text
    answer = client.put(f"/api/plans/{plan.id}", json={"version": 1, "reed_id": reed.id})
    assert answer.json is not None and answer.json["message"] == "The plan is of that reed now."
    assert "clip the tip" not in client.get("/reeds").text
    assert "clip the tip" in client.get(f"/reeds/{reed.id}").text


@pytest.mark.parametrize(
    ("quantity", "value", "unit", "told"),
    [
        ("tip_opening", "1.6", "mm", "1.6\u00a0mm (0.063\u00a0in)"),
        ("cents", "-5", "cents", "\u22125\u00a0cents"),
        ("strokes", "8", "strokes", "8"),
        ("humidity", "71", "%", "71%"),
    ],
)
def test_values_stay_with_their_units(quantity: str, value: str, unit: str, told: str) -> None:
    assert value_of(Reading(quantity, Decimal(value), unit)) == told
