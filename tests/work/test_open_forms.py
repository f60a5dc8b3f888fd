"""The record in open forms: out of one library and into another, and twice is once."""

from __future__ import annotations

import csv
import io
import json
from decimal import Decimal
from pathlib import Path

import pytest

from annotate.errors import BadInput
from annotate.library import Library
from annotate.model import Reading, Reed
from annotate.work.open_forms import readings_in, readings_out, tags_in, tags_out
from tests.making import a_recording, a_tag


@pytest.fixture
def other(tmp_path: Path) -> Library:
    return Library.open(tmp_path / "other", create=True)


def test_readings_go_to_another_library_as_a_table(library: Library, other: Library) -> None:
    reed = library.reeds.add(Reed("B-14"))
    library.readings.add(Reading("tip_opening", Decimal("1.60"), "mm", reed_id=reed.id, taken_on="2026-03-03"))
    library.readings.add(Reading("humidity", Decimal(45), "%", taken_on="2026-03-03", note="=window open"))
    table = readings_out(library)
    rows = list(csv.DictReader(io.StringIO(table)))  # an independent reader
    assert [(one["reed"], one["value"], one["unit"]) for one in rows] == [("B-14", "1.60", "mm"), ("", "45", "%")]
    assert readings_out(library, reed.id).count("\r\n") == 2
    with pytest.raises(BadInput, match="names a reed that is not in the library"):
        readings_in(other, table)
    other.reeds.add(Reed("B-14"))
    assert readings_in(other, table).told == "2 readings brought in."
    assert [one.note for one in other.readings.all()] == ["", "=window open"]
    assert readings_in(other, table).told == "0 readings brought in. 2 readings were there."
    other.journal.undo()
    assert other.readings.all() == []


def test_a_reading_that_cannot_be_stops_the_whole_table(library: Library) -> None:
    table = "quantity,value,unit\r\ntip_opening,1.6,mm\r\ntip_opening,900,mm\r\n"
    with pytest.raises(BadInput, match="cannot be a tip opening"):
        readings_in(library, table)
    assert library.readings.all() == []


def test_tags_go_to_another_library_as_annotations(library: Library, other: Library) -> None:
    reed, recording = Reed("B-14"), a_recording(library)
    tag = a_tag(library, recording, zones=("tip",), reed_id=library.reeds.add(reed).id, note="two strokes")
    text = tags_out(library, recording.session_id)
    assert json.loads(text)["total"] == 1
    with pytest.raises(BadInput, match="about a recording that is not in the library"):
        tags_in(other, text)
    there = a_recording(other)
    other.reeds.add(reed)
    assert tags_in(other, text).told == "1 tag brought in."
    made = other.tags.of_recording(there.id)[0]
    assert (made.step, made.zones, made.note, made.start_ms, made.end_ms) == (
        tag.step, ("tip",), "two strokes", tag.start_ms, tag.end_ms
    )  # fmt: skip
    assert tags_in(other, text).told == "0 tags brought in. 1 tag was there."
