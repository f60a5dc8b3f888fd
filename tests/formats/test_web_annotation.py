"""Tags as W3C Web Annotations, both ways."""

from __future__ import annotations

import json

import pytest

from annotate.errors import BadInput, BadTime
from annotate.formats import web_annotation
from annotate.formats.web_annotation import Annotated
from annotate.model import Tag

MARK = "ab" * 32
TAG = Tag(7, 1500, 63_250, "scrape", ("tip", "wings"), "up", "left", None, ("flat",), "two strokes & <3 mm")
ITEM = Annotated(TAG, MARK, "B-17 / 面")


def test_tag_comes_back() -> None:
    assert web_annotation.read(web_annotation.write([ITEM]), {MARK: 7}) == [ITEM]


def test_form_is_the_standard_one() -> None:
    data = json.loads(web_annotation.write([ITEM]))
    assert data["@context"] == "http://www.w3.org/ns/anno.jsonld"
    assert (data["type"], data["total"]) == ("AnnotationCollection", 1)
    one = data["first"]["items"][0]
    assert (one["type"], one["motivation"]) == ("Annotation", "tagging")
    assert one["target"]["selector"] == {
        "type": "FragmentSelector",
        "conformsTo": "http://www.w3.org/TR/media-frags/",
        "value": "t=1.5,63.25",
    }
    assert {body["purpose"] for body in one["body"]} == {"tagging", "commenting"}


# Media Fragments URI 1.0, 4.2.1, the forms of normal play time.
@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("t=10,20", (10_000, 20_000)),
        ("t=,20", (0, 20_000)),
        ("t=npt:10.5,20.25", (10_500, 20_250)),
        ("t=0:02:00,121.5", (120_000, 121_500)),
        ("t=npt:120,0:02:01.5", (120_000, 121_500)),
    ],
)
def test_time_forms_of_the_standard(value: str, expected: tuple[int, int]) -> None:
    assert web_annotation.read_fragment(value) == expected


def test_a_single_annotation_and_a_list_are_read() -> None:
    one = json.loads(web_annotation.write([ITEM]))["first"]["items"][0]
    assert web_annotation.read(json.dumps(one), {MARK: 7}) == [ITEM]
    assert web_annotation.read(json.dumps([one, one]), {MARK: 7}) == [ITEM, ITEM]


def test_what_is_no_tag_is_named() -> None:
    one = json.loads(web_annotation.write([ITEM]))["first"]["items"][0]
    with pytest.raises(BadInput, match="Annotation 1 is about a recording that is not in the library"):
        web_annotation.read(json.dumps(one), {})
    with pytest.raises(BadInput, match="does not name one step"):
        web_annotation.read(json.dumps({**one, "body": []}), {MARK: 7})
    with pytest.raises(BadInput, match="has no target with a time range"):
        web_annotation.read(json.dumps([{**one, "target": "urn:x"}]), {MARK: 7})
    with pytest.raises(BadInput, match="is not JSON"):
        web_annotation.read("{", {MARK: 7})
    backwards = {**one["target"], "selector": {"value": "t=5,4"}}
    with pytest.raises(BadTime, match="ends before it starts"):
        web_annotation.read(json.dumps({**one, "target": backwards}), {MARK: 7})
