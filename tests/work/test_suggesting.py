"""Suggestions of a recording: apart until accepted, undone in one step, remembered when dismissed."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from annotate.errors import BadInput, BadWord
from annotate.library import Library
from annotate.model import Correction, Line, Plan, Reading, Recording, Reed, Sound, Suggestion, Tag
from annotate.work.deciding import accept, accept_all, dismiss, would_be
from annotate.work.suggesting import open_ones, suggest
from tests.making import a_line, a_recording


def spoken(library: Library) -> Recording:
    """Three sentences of invented bench talk, scraping after the first."""
    recording = a_recording(library, reed=library.reeds.add(Reed("B-14")))
    lines = [
        a_line(recording, 1000, "I scrape the left channel of the upper blade."),
        a_line(recording, 20_000, "The tip opening is one point six millimetres."),
        a_line(recording, 30_000, "Next week I will take the rails down."),
    ]
    library.lines.hear(recording.id, lines)
    kinds = ((0, 4000, "speech"), (4000, 15_000, "scrape"), (15_000, 60_000, "speech"))
    library.recordings.hear(recording.id, [(Sound(start, end, kind), {}) for start, end, kind in kinds])
    return recording


def by_kind(library: Library, recording: Recording, kind: str) -> Suggestion:
    (one,) = [one for one in open_ones(library, recording.id) if one.kind == kind and one.content["step"] != "measure"]
    return one


def test_what_was_dismissed_stays_so_when_more_is_known(library: Library) -> None:
    recording = a_recording(library)
    library.lines.hear(recording.id, [Line(recording.id, 1000, 3000, "I scrape the tip")])
    (one,) = suggest(library, recording)
    library.suggestions.change(replace(one, state="dismissed"))
    reed = library.reeds.add(Reed("B-14"))
    library.recordings.change(replace(library.recordings.get(recording.id), reed_id=reed.id))
    library.lines.hear(recording.id, [Line(recording.id, 1040, 3000, "I scrape the tip")])
    assert suggest(library, library.recordings.get(recording.id)) == []
    library.lines.hear(recording.id, [Line(recording.id, 5000, 7000, "I scrape the tip")])
    assert len(suggest(library, library.recordings.get(recording.id))) == 1  # said again later


def test_suggestions_stay_apart_from_tags(library: Library) -> None:
    recording = spoken(library)
    made = suggest(library, recording)
    assert {one.kind for one in made} == {"tag", "reading", "plan"}
    assert library.tags.all() == []
    assert all(one.evidence and 0 < one.confidence <= 1 for one in made)


def test_an_accepted_tag_covers_the_words_and_the_work(library: Library) -> None:
    recording = spoken(library)
    suggest(library, recording)
    tag = accept(library, by_kind(library, recording, "tag"))
    assert isinstance(tag, Tag)
    assert (tag.step, tag.zones, tag.blade, tag.side) == ("scrape", ("channels",), "up", "left")
    assert (tag.start_ms, tag.end_ms) == (1000, 15_000)
    assert tag.reed_id == recording.reed_id


def test_a_reading_and_a_plan_are_accepted_and_undone(library: Library) -> None:
    recording = spoken(library)
    suggest(library, recording)
    (measured,) = [one for one in open_ones(library, recording.id) if one.kind == "reading"]
    reading = accept(library, measured)
    assert isinstance(reading, Reading)
    assert (reading.quantity, reading.value, reading.unit) == ("tip_opening", Decimal("1.6"), "mm")
    plan = accept(library, by_kind(library, recording, "plan"))
    assert isinstance(plan, Plan) and plan.reed_id == recording.reed_id
    assert library.journal.undo(recording.session_id) == "accepted a suggestion"
    assert library.plans.all() == []
    assert by_kind(library, recording, "plan")


def test_the_maker_may_change_what_is_accepted(library: Library) -> None:
    recording = spoken(library)
    suggest(library, recording)
    one = by_kind(library, recording, "tag")
    proposed = would_be(one)
    assert isinstance(proposed, Tag)
    with pytest.raises(BadWord):
        accept(library, one, replace(proposed, zones=("nowhere",)))
    assert library.suggestions.get(one.id).state == "open"
    tag = accept(library, one, replace(proposed, step="sand", zones=("rails",), end_ms=9000))
    assert isinstance(tag, Tag) and (tag.step, tag.zones, tag.end_ms) == ("sand", ("rails",), 9000)
    assert [again for again in suggest(library, recording) if again.start_ms == one.start_ms] == []
    (counts,) = library.suggestions.answers().values()
    assert counts == {"accepted": 0, "dismissed": 0, "changed_to": {"sand": 1}}


def test_what_was_dismissed_does_not_come_back_and_weighs_less(library: Library) -> None:
    recording = spoken(library)
    suggest(library, recording)
    one = by_kind(library, recording, "tag")
    dismiss(library, one)
    assert one.id not in {other.id for other in suggest(library, recording)}
    with pytest.raises(BadInput, match="has been dismissed already"):
        accept(library, library.suggestions.get(one.id))
    other = a_recording(library, "b")
    library.lines.hear(other.id, [a_line(other, 1000, "I scrape the left channel of the upper blade.")])
    (again,) = suggest(library, other)
    assert again.confidence < one.confidence


def test_what_the_maker_has_tagged_or_read_is_not_offered(library: Library) -> None:
    recording = spoken(library)
    suggest(library, recording)
    wider = Tag(recording.id, 5000, 9000, "scrape", zones=("channels", "rails"), blade="up", side="left")
    tag = library.tags.add(wider)
    said = Reading("tip_opening", Decimal("1.6"), "mm", recording_id=recording.id, at_ms=24_000)
    library.readings.add(said)
    left = open_ones(library, recording.id)
    assert [one.kind for one in left if one.content["step"] != "measure"] == ["plan"]
    assert [one for one in left if one.kind == "reading"] == []
    library.tags.remove(tag.id)
    assert [one.kind for one in open_ones(library, recording.id) if one.content["step"] != "measure"] == ["tag", "plan"]


@pytest.mark.parametrize(
    "other",
    [{"zones": ("rails",)}, {"blade": "down"}, {"step": "sand"}, {"start_ms": 16_000, "end_ms": 18_000}],
)
def test_a_tag_that_says_something_else_hides_no_suggestion(library: Library, other: dict[str, Any]) -> None:
    recording = spoken(library)
    suggest(library, recording)
    before = len(open_ones(library, recording.id))
    own = Tag(recording.id, 5000, 9000, "scrape", zones=("channels",), blade="up", side="left")
    library.tags.add(replace(own, **other))
    assert len(open_ones(library, recording.id)) == before


@pytest.mark.parametrize(("side", "is_said"), [(None, True), ("both", True), ("left", False)])
def test_a_tag_without_a_side_says_both_sides(library: Library, side: str | None, is_said: bool) -> None:
    recording = spoken(library)
    content = {"step": "sand", "zones": ["corners"], "side": "both"}
    library.suggestions.propose(recording.id, [Suggestion(recording.id, 30_000, 33_000, "tag", content)])
    library.tags.add(Tag(recording.id, 31_000, 34_000, "sand", zones=("corners",), side=side))
    assert [one.content["step"] for one in open_ones(library, recording.id)] == ([] if is_said else ["sand"])


def test_all_above_a_confidence_are_one_step(library: Library) -> None:
    recording = spoken(library)
    made = suggest(library, recording)
    accepted = accept_all(library, made)
    assert len(accepted) == len(made)
    assert open_ones(library, recording.id) == []
    library.journal.undo(recording.session_id)
    assert len(open_ones(library, recording.id)) == len(made)
    assert library.tags.all() == []


@pytest.mark.parametrize(
    ("value", "unit", "is_said"),
    [("1.6", "mm", True), ("1.60", "mm", True), ("0.16", "cm", True), ("0.063", "in", True), ("0.07", "in", False)],
)
def test_a_reading_in_another_unit_is_the_same_within_rounding(
    library: Library, value: str, unit: str, is_said: bool
) -> None:
    # 1.6 mm = 0.06299... in, with 1 in = 25.4 mm exactly (NIST SP 811, appendix B.8)
    recording = spoken(library)
    suggest(library, recording)
    stored = Reading("tip_opening", Decimal(value), unit, recording_id=recording.id, at_ms=21_000)
    library.readings.add(stored)
    assert [one.kind for one in open_ones(library, recording.id)].count("reading") == (0 if is_said else 1)


def test_a_reading_taken_over_hides_no_other_of_the_same_value(library: Library) -> None:
    recording = a_recording(library, reed=library.reeds.add(Reed("B-14")))
    lines = [
        a_line(recording, 1_000, "Now eight strokes on the left rail of the upper blade."),
        a_line(recording, 9_000, "And eight strokes on the right rail."),
    ]
    library.lines.hear(recording.id, lines)
    left, right = [one for one in suggest(library, recording) if one.kind == "reading"]
    accept(library, left)
    assert [one.id for one in open_ones(library, recording.id) if one.kind == "reading"] == [right.id]


def test_the_unit_used_last_is_known(library: Library) -> None:
    recording = spoken(library)
    for value, unit in (("1.6", "mm"), ("0.063", "in")):
        library.readings.add(Reading("tip_opening", Decimal(value), unit, recording_id=recording.id, at_ms=21_000))
    library.readings.add(Reading("humidity", Decimal(50), "%", recording_id=recording.id, at_ms=100))
    assert library.readings.last_units() == {"tip_opening": "in", "humidity": "%"}


def test_no_reading_is_taken_from_words_set_right(library: Library) -> None:
    recording = spoken(library)
    suggest(library, recording)
    said = [one for one in open_ones(library, recording.id) if one.kind == "reading"]
    library.corrections.add(Correction(recording.id, said[0].start_ms, said[0].end_ms, "", "It was 1.4 mm."))
    assert said[0] not in open_ones(library, recording.id)
