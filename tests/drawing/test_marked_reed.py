"""The reed with marked places: well formed, whole without letters, the right places dark."""

from xml.etree import ElementTree

import pytest

from annotate.drawing.places import SHAPES, parts_of, places_of
from annotate.drawing.svg import MARKED, marked_reed, place_names
from annotate.model import Tag

PATH = "{http://www.w3.org/2000/svg}path"


def marked(instrument: str, *places: tuple[str, str | None, str | None]) -> list[str]:
    """The paths that are marked."""
    root = ElementTree.fromstring(marked_reed(instrument, places))
    return [path.attrib["d"] for path in root.iter(PATH) if path.attrib["fill"] == MARKED]


def test_only_the_places_of_the_tags_are_dark() -> None:
    paths = {part.key: part.path for part in parts_of("bassoon")}
    assert marked("bassoon", ("rails", "up", "left")) == [paths["rails-up-left"]]
    assert marked("bassoon", ("tip", None, None)) == [paths["tip-up"], paths["tip-down"]]
    assert marked("bassoon", ("opening", None, None)) == [paths["opening"]]


def test_the_whole_of_a_blade_is_every_part_of_it() -> None:
    blade = [part.path for part in parts_of("oboe") if part.blade == "up" and part.zone not in ("whole", "inside")]
    assert marked("oboe", ("whole", "up", None)) == blade


def test_no_place_no_drawing() -> None:
    assert marked_reed("bassoon", ()) == ""
    assert marked_reed("bassoon", (("whole", None, None), ("whole", "both", None))) == ""  # all dark says nothing
    assert marked_reed("oboe", (("wire_1", None, None),)) == ""  # another instrument's zone


@pytest.mark.parametrize("instrument", ["bassoon", "oboe"])
def test_every_place_can_be_marked(instrument: str) -> None:
    for part in parts_of(instrument):
        if part.zone != "whole":
            assert part.path in marked(instrument, (part.zone, part.blade, part.side)), part.key


def test_places_are_named_as_far_as_they_were_said() -> None:
    tags = [Tag(1, 0, 9, "scrape", ("rails", "tip"), "up", "left"), Tag(1, 9, 18, "sand", ("rails",), "up", "left")]
    tags.append(Tag(1, 20, 29, "scrape", ("rails",), "down"))
    assert place_names("bassoon", places_of(tags)) == ("Rails and tip, left, wire-up blade", "Rails, wire-down blade")
    assert place_names("oboe", [("windows", "down", None)]) == ("Windows, blade two",)


def test_neighbours_share_their_edge() -> None:
    zones = {zone.zone: zone for zone in SHAPES["bassoon"].blade}
    assert set(zones["heart"].corners[0]) & set(zones["wings"].corners[0])
    assert set(zones["spine"].corners[0]) & set(zones["channels"].corners[0])
