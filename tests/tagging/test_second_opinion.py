"""What the weight of words adds to the rules and takes away from them."""

from __future__ import annotations

import numpy as np
import pytest

from annotate.tagging import Context, lexicon, understand
from annotate.tagging.second_opinion import reconsidered
from annotate.tagging.sentence import read
from annotate.tagging.understand import by_rules
from annotate.tagging.weights import Weights, features_of, weights

LINE = "Right, so this chap wants a good long drink before anything else today."


def _chances(**changes: float) -> dict[str, float]:
    base = {"labels:some": 0.99, "labels:many": 0.0, "mode:done": 0.9, "mode:plan": 0.05, "step:soak": 0.9}
    base |= {"step:scrape": 0.01, "zone:tip": 0.01, "side:left": 0.01, "fault:flat": 0.01}
    return base | {name.replace("_", ":", 1): value for name, value in changes.items()}


def _told(text: str, chances: dict[str, float]) -> list[tuple[str, str, tuple[str, ...], str | None]]:
    found = read(text, lexicon())
    return [(x.mode, x.step, x.zones, x.side) for x in reconsidered(found, by_rules(found), chances).labels]


def test_a_step_that_the_rules_missed_is_added() -> None:
    text = "He is lying in the bath tub for a while, the poor old reed."
    assert by_rules(read(text, lexicon())).labels == ()
    assert _told(text, _chances()) == [("done", "soak", (), None)]
    assert _told(text, _chances(labels_some=0.5)) == []


def test_a_step_that_words_speak_against_goes() -> None:
    text = "I scrape the left rail with the knife, four strokes and no more."
    assert _told(text, _chances(step_scrape=0.9, step_soak=0.1, side_left=0.9)) == [
        ("done", "scrape", ("rails",), "left")
    ]
    assert _told(text, _chances(labels_some=0.1)) == []


def test_the_likelier_mode_is_taken() -> None:
    text = "Tomorrow the reed is soaked for a good ten minutes before anything else."
    ((mode, step, _, _),) = _told(text, _chances(mode_plan=0.9, mode_done=0.1))
    assert (mode, step) == ("plan", "soak")


def test_beside_a_plan_what_was_only_found_is_no_work() -> None:
    text = "The crow is a bit flat still, so I will clip the tip tomorrow."
    assert [x.mode for x in by_rules(read(text, lexicon())).labels] == ["done", "plan"]
    chances = _chances(labels_many=0.9, mode_plan=0.9, mode_done=0.1, step_clip=0.9, step_crow=0.9, step_soak=0.1)
    assert [(mode, step) for mode, step, _, _ in _told(text, chances)] == [("plan", "clip")]


def test_few_words_stand_as_the_rules_read_them() -> None:
    assert _told("scrape the back", _chances(labels_some=0.0)) == [("done", "scrape", ("back",), None)]
    assert _told("I love the rails", _chances(step_scrape=0.99)) == []


def test_a_denied_fault_is_not_added_and_a_missed_one_is() -> None:
    found = read("It isn't flat any more, which pleases me no end.", lexicon())
    assert reconsidered(found, by_rules(found), _chances(fault_flat=0.99)).symptoms == ()
    found = read("The needle hangs to the left all the way, whatever I do with my lips.", lexicon())
    assert reconsidered(found, by_rules(found), _chances(fault_flat=0.99)).symptoms == ("flat",)


def test_chances_are_those_of_a_logistic_regression() -> None:
    made = Weights(
        ("step:soak",), np.array([-1.0], np.float32), {"drink": 0, "long": 1}, np.array([[4.0], [2.0]], np.float32)
    )
    # (4 + 2) / sqrt(4) - 1 = 2; 1 / (1 + exp(-2)) = 0.8808
    assert made.chances(["drink", "long", "never", "heard"])["step:soak"] == pytest.approx(0.8808, abs=1e-4)


def test_the_weights_that_come_with_the_program_are_whole() -> None:
    kept = weights()
    assert {"labels:some", "labels:many", "mode:plan", "step:soak", "zone:tip", "fault:flat"} <= set(kept.heads)
    found = read(LINE, lexicon())
    chances = kept.chances(features_of(found, by_rules(found)))
    assert chances["step:soak"] > chances["step:scrape"]


def test_what_a_rule_mistakes_goes_where_words_speak_against_it() -> None:
    found = read(
        "And so the old fellow goes under the lamp, and I see that one rail is darker than the other.", lexicon()
    )
    ruled = by_rules(found)
    assert "flat" in ruled.symptoms  # "under" is no pitch here
    chances = _chances(fault_flat=0.1, fault_uneven_blades=0.9)
    assert reconsidered(found, ruled, chances).symptoms == ("uneven_blades",)


def test_a_step_the_weights_never_met_stands() -> None:
    text = "Now I scrape the left rail with the knife, four strokes and no more."
    chances = {head: chance for head, chance in _chances(labels_some=0.0).items() if head != "step:scrape"}
    assert _told(text, chances) == [("done", "scrape", ("rails",), "left")]


def test_zones_are_those_of_the_instrument() -> None:
    text = "On this one I lighten the windows a little with the tip of my knife, both sides."
    assert [x.zones for x in understand(text).labels] == [("windows",)]
    assert all("windows" not in x.zones for x in understand(text, words=lexicon("bassoon")).labels)


def test_places_named_before_the_line_stay() -> None:
    context = Context().after(understand("Ten strokes down the left channel of the lower blade."))
    text = "and then another five strokes right there because it was still a bit thick"
    (label,) = understand(text, context).labels
    assert (label.step, label.zones, label.blade, label.side) == ("scrape", ("channels",), "down", "left")
