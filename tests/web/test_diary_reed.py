"""The reed drawing holds every zone of the vocabulary, and shows where the work went."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from flask import Flask, render_template_string

from annotate.drawing.outline import Outline, curve, lens
from annotate.drawing.parts import HEIGHT, WIDTH, Part
from annotate.model import Tag
from annotate.vocabulary import vocabulary
from web.reed_drawing import covers, drawing, heat, work_of

SIDED = {
    "bassoon": {"corners", "wings", "channels", "rails"},
    "oboe": {"corners", "windows", "rails"},
}


@pytest.mark.parametrize("instrument", ["bassoon", "oboe"])
def test_every_zone_of_the_instrument_can_be_touched(instrument: str) -> None:
    spots = drawing(instrument).spots
    assert {spot.part.zone for spot in spots} == set(vocabulary(instrument).zones)
    sided = {spot.part.zone for spot in spots if spot.part.side}
    assert sided == SIDED[instrument]
    for zone in sided:
        keys = {spot.part.key for spot in spots if spot.part.zone == zone}
        assert keys == {f"{zone}-{blade}-{side}" for blade in ("up", "down") for side in ("left", "right")}


@pytest.mark.parametrize("instrument", ["bassoon", "oboe"])
def test_every_place_lies_in_the_picture_and_left_is_left(instrument: str) -> None:
    for spot in drawing(instrument).spots:
        x, y = spot.part.middle
        assert 0 < x < WIDTH and 0 < y < HEIGHT
        assert (x < WIDTH / 2) == (spot.part.blade == "up") or spot.part.blade is None
    middle = {spot.part.key: spot.part.middle[0] for spot in drawing(instrument).spots}
    assert middle["rails-up-left"] < middle["rails-up-right"] < middle["rails-down-left"] < middle["rails-down-right"]


def test_a_place_is_covered_when_blade_and_side_fit_or_are_not_said() -> None:
    left = Part("rails", "up", "left", "", (0, 0))
    assert covers(("rails", "up", "left"), left)
    assert covers(("rails", None, None), left)
    assert covers(("rails", "both", "both"), left)
    assert not covers(("rails", "down", "left"), left)
    assert not covers(("rails", "up", "right"), left)
    assert not covers(("channels", "up", "left"), left)
    assert covers(("wire_1", "up", None), Part("wire_1", None, None, "", (0, 0)))


def test_work_is_the_time_of_the_tags() -> None:
    tags = [
        Tag(1, 0, 4000, "scrape", ("rails", "tip"), "up", "left"),
        Tag(1, 5000, 6000, "sand", ("rails",), "up", "left"),
        Tag(1, 0, 9000, "crow"),
    ]
    assert work_of(tags) == {("rails", "up", "left"): 5000, ("tip", "up", "left"): 4000}


def test_the_most_worked_place_is_the_warmest() -> None:
    levels = heat(
        "bassoon", {("rails", "up", "left"): 100_000, ("tip", "down", None): 10_000, ("butt", None, None): 60_000}
    )
    assert levels == {"rails-up-left": (4, 100_000), "tip-down": (1, 10_000), "butt": (3, 60_000)}
    assert heat("oboe", {}) == {}


def test_a_worked_place_says_so_in_words() -> None:
    spots = {spot.part.key: spot for spot in drawing("oboe", {("windows", "up", None): 75_000}).spots}
    assert spots["windows-up-left"].name == "Windows, left, blade one: 1:15 of work"
    assert spots["windows-down-left"].name == "Windows, left, blade two"


@pytest.mark.parametrize("is_input", [True, False])
def test_the_drawing_is_well_formed_and_named(app: Flask, is_input: bool) -> None:
    source = "{% from 'reed_drawing.html' import reed_drawing %}{{ reed_drawing(drawing, is_input) }}"
    with app.test_request_context():
        work = {("heart", "up", None): 1000}
        root = ElementTree.fromstring(
            render_template_string(source, drawing=drawing("bassoon", work), is_input=is_input)
        )
    buttons = root.findall(".//*[@role='button']")
    assert len(buttons) == (45 if is_input else 0)
    assert "Heart, wire-up blade: 0:01 of work" in (
        root.attrib["aria-label"] if not is_input else buttons[4].attrib["aria-label"]
    )
    assert [button.attrib["tabindex"] for button in buttons].count("0") == (1 if is_input else 0)


def test_a_blade_narrows_on_straight_lines() -> None:
    outline = Outline(100, 10, ((0, 40), (50, 20), (60, 30)))
    assert [outline.half_width(along) for along in (0, 25, 50, 55, 60, 90)] == [40, 30, 20, 25, 30, 30]
    assert outline.place((-1, 25)) == (70, 35)
    assert outline.path([(-1, 0), (1, 0), (1, 5), (-1, 5)]) == "M60.0 10.0L140.0 10.0L138.0 15.0L62.0 15.0Z"


def test_a_curve_goes_through_its_knots() -> None:
    points = curve([(0, 0), (1, 2), (3, 2)], pieces=2)
    assert points[0] == (0, 0)
    assert points[2] == (1, 2)
    assert points[4] == (3, 2)
    assert lens((10, 10), 5, 2) == "M5.0 10.0Q10.0 6.0 15.0 10.0Q10.0 14.0 5.0 10.0Z"


@pytest.mark.parametrize("instrument", ["bassoon", "oboe"])
def test_a_pointer_begins_beside_its_name(instrument: str) -> None:
    for name in drawing(instrument).names:
        start = float(name.leader.removeprefix("M").split()[0])
        # The widest letters of a plain face are about 0.55 of its size of 12.5 on average.
        assert abs(start - name.x) > len(name.label) * 12.5 * 0.55 / 2, name.label
