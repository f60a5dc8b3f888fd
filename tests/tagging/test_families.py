"""Word families, verbs nobody foresaw, and what keeps them from tagging talk."""

from __future__ import annotations

from decimal import Decimal

import pytest

from annotate.tagging import lexicon, understand
from annotate.tagging.sentence import read
from annotate.tagging.understand import by_rules

Told = tuple[str, str, tuple[str, ...]]


def _labels(text: str) -> list[Told]:
    return [(x.mode, x.step, x.zones) for x in by_rules(read(text, lexicon())).labels]


def _readings(text: str) -> list[tuple[str, Decimal, str]]:
    return [(m.quantity, m.value, m.unit) for m in understand(text).measurements]


@pytest.mark.parametrize(
    ("text", "step"),
    [
        ("I'm leaving it in a beaker of water", "soak"),
        ("the mandrel goes in", "form"),
        ("two twists with the reamer", "ream"),
        ("a fleck of dust in the bore, I tease it out", "clear"),
        ("drawing the air out, it stays shut", "leak"),
        ("one honk on the crook", "crow"),
        ("I try a couple of octaves", "play"),
        ("I wear it in until it settles", "break_in"),
        ("she goes on the rack to dry", "rest"),
        ("I'm writing this one off", "retire"),
        ("I compare the wings", "inspect"),
        ("the ruler makes it thirty millimetres", "measure"),
        ("I pry the blades apart", "opening"),
        ("I slice a little off the end with the guillotine", "clip"),
        ("I drag it over the wet paper", "sand"),
        ("I level the lump", "scrape"),
    ],
)
def test_a_verb_of_the_family_with_its_thing_tells_the_step(text: str, step: str) -> None:
    assert [x.step for x in understand(text).labels] == [step]


@pytest.mark.parametrize(
    ("text", "step", "zones"),
    [
        ("I'm hoovering the rails", "scrape", ("rails",)),
        ("let me pamper the second wire", "wires", ("wire_2",)),
    ],
)
def test_any_doing_verb_with_a_place_is_work_on_it(text: str, step: str, zones: tuple[str, ...]) -> None:
    assert _labels(text) == [("done", step, zones)]


@pytest.mark.parametrize(
    "text",
    [
        "I love the rails",
        "there are bubbles along the left rail",
        "we played two symphonies on Saturday",
        "the low notes die when I play loud",
        "while it's soaking I want to thank you all",
        "that's let the mouth open up",
        "if the crow is low, you clip",
        "don't touch the heart, that is the rule",
        "my apprentice has clipped his",
    ],
)
def test_feeling_finding_and_rules_are_no_work(text: str) -> None:
    assert understand(text).labels == ()


def test_a_number_of_strokes_needs_no_unit_where_cane_is_worked() -> None:
    assert _readings("the left wing gets four more") == [("strokes", Decimal(4), "strokes")]
    assert _readings("right channel, seven, eight, nine.") == [("strokes", Decimal(9), "strokes")]
    assert _readings("ten per side on the back") == [("strokes", Decimal(10), "strokes")]
    assert understand("ten per side on the back").labels[0].side == "both"


def test_a_clip_and_its_amount_are_one_piece_of_work() -> None:
    assert _labels("Chop, there goes half a millimetre.") == [("done", "clip", ())]


def test_hundredths_said_once_hold_for_the_next_number() -> None:
    said = _readings("the dial gives thirty hundredths on the left wing and thirty-four on the right")
    assert said == [("thickness", Decimal("0.3"), "mm"), ("thickness", Decimal("0.34"), "mm")]


def test_a_part_may_follow_the_unit_and_a_digit_may_come_twice() -> None:
    assert _readings("the opening is two millimetres and a quarter") == [("tip_opening", Decimal("2.25"), "mm")]
    assert _readings("the gauge says point five five at the heart") == [("thickness", Decimal("0.55"), "mm")]


def test_where_the_dust_lay_is_where_it_was_cleared() -> None:
    assert _labels("There was fluff in the throat, which I rinsed away.") == [("done", "clear", ("throat",))]


def test_what_hangs_beside_the_opening_is_the_opening() -> None:
    assert understand("Even out the aperture, it's drooping on the left.").symptoms == ("uneven_opening",)


def test_a_thing_meant_and_taken_back_is_negated() -> None:
    assert _labels("I was going to sand it but I changed my mind") == [("negated", "sand", ())]
    assert _labels("I'm going to clip it, no actually I'm going to wait") == [("negated", "clip", ())]


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("half a millimetre off the tip", [("done", "clip", ())]),
        ("two hundredths off the tip", [("done", "scrape", ("tip",))]),
        ("I opened the middle wire", [("done", "wires", ("wire_2",))]),
        ("the first wire is then tightened", [("done", "wires", ("wire_1",))]),
        ("in the following lesson we will adjust the rails", [("plan", "scrape", ("rails",))]),
        ("I must to clip it before the exam", [("plan", "clip", ())]),
        ("I had to tighten the front wire this week", [("recap", "wires", ("wire_1",))]),
        ("a little bit of cane off the back", [("done", "scrape", ("back",))]),
        ("if it doesn't improve I'll scrape the back next week", [("plan", "scrape", ("back",))]),
    ],
)
def test_where_two_readings_are_near_the_words_decide(text: str, labels: list[Told]) -> None:
    assert _labels(text) == labels


def test_apostrophes_left_out_are_put_back() -> None:
    assert _labels("ill clip it, its too long") == [("done", "clip", ())]
    assert understand("its flat").symptoms == ("flat",)


def test_a_wire_snugged_up_is_no_blade() -> None:
    assert _labels("Snug that wire up.") == [("done", "wires", ())]


def test_a_reed_stored_or_a_fibre_withdrawn_is_work_told_in_the_passive() -> None:
    assert _labels("Reed stored in its case.") == [("done", "rest", ())]
    assert _labels("A splinter was found between the blades and withdrawn.") == [("done", "clear", ("inside",))]
    assert _labels("The spine was not altered.") == [("negated", "scrape", ("spine",))]


def test_a_place_that_is_only_near_is_no_side() -> None:
    assert understand("I inspect it and see a split near the left corner").labels[0].side is None


@pytest.mark.parametrize(
    "text",
    [
        "I measured the desk and it's too short",
        "he threw away a good job",
        "they measure everything twice",
        "that changed my playing",
        "I put my bassoon back in its case",
    ],
)
def test_work_on_other_things_and_by_others_is_no_tag(text: str) -> None:
    assert understand(text).labels == ()


def test_light_work_is_work_and_a_cracking_note_is_no_crack() -> None:
    assert _labels("the whole blade gets a light polish") == [("done", "sand", ("whole",))]
    assert understand("it cracks on every attack").symptoms == ("unstable",)
    assert _readings("humidity sixty two percent temperature twenty one") == [
        ("humidity", Decimal(62), "%"),
        ("temperature", Decimal(21), "°C"),
    ]


def test_an_aim_is_no_fault() -> None:
    assert understand("I flatten wire two to bring the pitch down, it's sharp.").symptoms == ("sharp",)
    assert [x.step for x in understand("Six hundred paper, three turns on the tip.").labels] == ["sand"]
