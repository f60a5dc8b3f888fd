"""Spoken marks: fixed order, full confidence, hard to say by chance."""

from __future__ import annotations

from itertools import product

import pytest

from annotate.errors import BadInput
from annotate.model import Line
from annotate.tagging import check_signal, find_mark, mark_examples, mark_parts, mark_table, suggest_session
from annotate.tagging.lexicon import lexicon
from annotate.vocabulary import vocabulary

PLACES = ("zones", "side", "blade")


def test_a_full_mark() -> None:
    said = find_mark("Logbook, scrape channels left lower blade because resistant, reed B fourteen.")
    assert said is not None
    (label,) = said.labels
    assert (label.step, label.zones, label.side, label.blade, label.symptoms) == (
        "scrape", ("channels",), "left", "down", ("resistant",),
    )  # fmt: skip
    assert label.confidence == 1.0
    assert said.reed is not None
    assert said.reed.name == "B-14"


@pytest.mark.parametrize(
    ("text", "step", "zones"),
    [
        ("logbook clip", "clip", ()),
        ("logbook sanding inside", "sand", ("inside",)),
        ("okay logbook leak test", "leak", ()),
        ("logbook scrape tip and corners both", "scrape", ("tip", "corners")),
        ("logbook opening", "opening", ()),
    ],
)
def test_short_marks(text: str, step: str, zones: tuple[str, ...]) -> None:
    said = find_mark(text)
    assert said is not None
    assert (said.labels[0].step, said.labels[0].zones) == (step, zones)


@pytest.mark.parametrize(
    "text",
    [
        "I write it in the logbook",
        "the logbook is full",
        "logbook scrape the channels a bit more",
        "logbook left channels scrape",
        "scrape channels left",
    ],
)
def test_other_talk_is_no_mark(text: str) -> None:
    assert find_mark(text) is None


def test_another_signal_word() -> None:
    assert find_mark("logbook clip", signal="pelican") is None
    assert find_mark("pelican clip", signal="pelican") is not None


@pytest.mark.parametrize("signal", ["", "two words", "tip", "scrape", "sharp", "abc"])
def test_signal_words_that_will_not_do(signal: str) -> None:
    with pytest.raises(BadInput):
        check_signal(signal)


def test_a_mark_in_a_session_has_full_confidence() -> None:
    (one,) = suggest_session([Line(1, 0, 2_000, "logbook clip because sharp")])
    assert (one.step, one.symptoms, one.confidence, one.rules) == ("clip", ("sharp",), 1.0, ("spoken mark",))


def test_the_table_names_the_order() -> None:
    table = mark_table("pelican")
    assert table.index("1  signal") < table.index("2  step") < table.index("3  zones") < table.index("4  side")
    assert "pelican scrape channels left lower blade" in table


@pytest.mark.parametrize("instrument", ["bassoon", "oboe"])
def test_everything_on_the_printed_page_can_be_said(instrument: str) -> None:
    said = {name: listed.split(", ") for name, _, listed in mark_parts("logbook", vocabulary(instrument))}
    marks = [f"logbook {step}" for step in said["step"]]
    marks += [f"logbook scrape {zone} {side} {blade}" for zone, side, blade in product(*(said[n] for n in PLACES))]
    marks += [f"logbook scrape because {symptom}" for symptom in said["because"]]
    silent = [mark for mark in (*marks, *mark_examples("logbook", instrument)) if not heard(mark, instrument)]
    assert silent == []


def heard(mark: str, instrument: str) -> bool:
    found = find_mark(mark, "logbook", lexicon(instrument))
    return found is not None and [label.confidence for label in found.labels] == [1.0]
