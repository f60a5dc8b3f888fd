"""The labelling conventions' own examples, word for word: what counts as a tag."""

from __future__ import annotations

from decimal import Decimal

import pytest

from annotate.tagging import Context, understand

Places = tuple[str, str, tuple[str, ...], str | None, str | None]


def _labels(text: str, context: Context | None = None) -> list[Places]:
    said = understand(text, context)
    return [(x.mode, x.step, x.zones, x.blade, x.side) for x in said.labels]


def test_work_with_places_strokes_and_a_fault() -> None:
    said = understand("Eight strokes down the left channel of the lower blade, it still blows hard.")
    assert [(x.mode, x.step, x.zones, x.blade, x.side) for x in said.labels] == [
        ("done", "scrape", ("channels",), "down", "left")
    ]
    assert said.labels[0].symptoms == ("resistant",)
    assert said.symptoms == ("resistant",)
    assert [(m.quantity, m.value, m.unit) for m in said.measurements] == [("strokes", Decimal(8), "strokes")]


def test_a_wish_for_next_week_is_a_plan() -> None:
    assert _labels("next week I want another look at the collar") == [("plan", "inspect", ("collar",), None, None)]


def test_a_day_in_the_past_is_a_recap() -> None:
    said = understand("On Monday I reamed this one and it went sharp.")
    assert [(x.mode, x.step, x.symptoms) for x in said.labels] == [("recap", "ream", ("sharp",))]


def test_no_more_is_negated() -> None:
    assert _labels("no more off the back, thank you") == [("negated", "scrape", ("back",), None, None)]


def test_two_pieces_of_work_and_no_fault() -> None:
    said = understand("Snug up the front wire, then a quick suck test, tight as a drum.")
    assert [(x.mode, x.step, x.zones) for x in said.labels] == [("done", "wires", ("wire_1",)), ("done", "leak", ())]
    assert said.symptoms == ()


def test_a_gauge_reading_is_a_measure() -> None:
    said = understand("gauge says point oh nine at the edge, thinner than I'd like")
    assert [(x.mode, x.step, x.zones) for x in said.labels] == [("done", "measure", ("tip",))]
    assert [(m.quantity, m.value, m.unit, m.zone) for m in said.measurements] == [
        ("thickness", Decimal("0.09"), "mm", "tip")
    ]


@pytest.mark.parametrize(
    "text",
    [
        "A heavy back makes low notes harder, always.",
        "The tip of the day is patience.",
        "That is the heart of it.",
        "Never scrape a dry reed.",
        "My teacher used to sand every reed inside.",
        "I need to sharpen this knife.",
        "Is the camera on?",
        "Anna's reed leaks at the second wire.",
    ],
)
def test_rules_history_tools_camera_and_other_senses_are_nothing(text: str) -> None:
    assert _labels(text) == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("I'm going into the corners now", [("done", "scrape", ("corners",), None, None)]),
        ("I'll just pick that out ... there", [("done", "clear", (), None, None)]),
        ("the rails need thinning before the concert", [("plan", "scrape", ("rails",), None, None)]),
        ("so tonight it was only the rails", [("recap", "scrape", ("rails",), None, None)]),
        ("leave the spine alone", [("negated", "scrape", ("spine",), None, None)]),
        ("skip the leak test", [("negated", "leak", (), None, None)]),
        ("six strokes either side of the spine", [("done", "scrape", (), None, None)]),
        ("from the shoulder forward I lighten the channels", [("done", "scrape", ("channels",), None, None)]),
        ("I loosened the first wire and moved it back", [("done", "wires", ("wire_1",), None, None)]),
        ("I dust both corners", [("done", "scrape", ("corners",), None, "both")]),
        ("the right corner is falling in, so I even it", [("done", "opening", (), None, None)]),
        ("I clip it", [("done", "clip", (), None, None)]),
    ],
)
def test_single_conventions(text: str, expected: list[Places]) -> None:
    assert _labels(text) == expected


def test_a_bare_finding_has_symptoms_and_no_label() -> None:
    said = understand("it's gone sharp")
    assert (said.labels, said.symptoms) == ((), ("sharp",))


def test_the_condition_of_a_plan_counts_as_a_symptom() -> None:
    said = understand("if it's still flat tomorrow I'll clip it")
    assert [(x.mode, x.step) for x in said.labels] == [("plan", "clip")]
    assert said.symptoms == ("flat",)


@pytest.mark.parametrize("text", ["no leak now", "the buzz is gone", "it isn't stuffy any more"])
def test_denied_and_gone_faults_are_left_out(text: str) -> None:
    assert understand(text).symptoms == ()


@pytest.mark.parametrize(
    ("text", "side"),
    [
        ("left, sorry, right rail, four strokes", "right"),
        ("four strokes on the right rail, no wait, the left rail", "left"),
        ("four strokes on the left no sorry right rail", "right"),
    ],
)
def test_the_last_word_counts(text: str, side: str) -> None:
    assert _labels(text) == [("done", "scrape", ("rails",), None, side)]


def test_the_same_on_the_other_side_takes_what_went_before() -> None:
    first = understand("Ten strokes down the left channel of the lower blade.")
    context = Context().after(first)
    assert _labels("and the same on the other side", context) == [("done", "scrape", ("channels",), "down", "right")]


def test_the_same_on_the_other_blade() -> None:
    context = Context().after(understand("I thin the left rail of the top blade."))
    assert _labels("same thing on the other blade", context) == [("done", "scrape", ("rails",), "down", "left")]


def test_a_pronoun_takes_the_zone_before_it() -> None:
    assert _labels("The heart looks heavy on the top blade, so I'm taking it down a little.") == [
        ("done", "scrape", ("heart",), "up", None)
    ]


def test_with_and_without_marks_and_capitals_it_is_the_same() -> None:
    marked = "Take a little off the left rail, lower blade; it's too resistant."
    bare = "take a little off the left rail lower blade its too resistant"
    assert _labels(marked) == _labels(bare) == [("done", "scrape", ("rails",), "down", "left")]
    assert understand(marked).symptoms == understand(bare).symptoms == ("resistant",)


def test_read_is_heard_for_reed() -> None:
    said = understand("this read number twelve is stuffy")
    assert said.reed is not None
    assert said.reed.name == "12"
