"""A session's lines, sounds and cards become suggestions with times."""

from __future__ import annotations

from decimal import Decimal

import pytest

from annotate.measure.units import QUANTITIES
from annotate.model import Line, Sound, Word
from annotate.tagging import Answers, CardShown, Suggestion, adjusted, key_of, suggest_session, with_feedback
from annotate.tagging.plausible import PLAUSIBLE, is_plausible
from annotate.tagging.values import Measurement


def _line(start_ms: int, end_ms: int, text: str) -> Line:
    return Line(1, start_ms, end_ms, text)


def test_a_tag_runs_to_the_end_of_its_scraping() -> None:
    (one, _) = suggest_session(
        [_line(8_000, 11_000, "Now the left rail, ten strokes.")], [Sound(13_000, 52_000, "scrape")]
    )
    assert (one.kind, one.step, one.start_ms, one.end_ms, one.sound) == ("tag", "scrape", 8_000, 52_000, "scrape")
    assert one.evidence == "Now the left rail, ten strokes."


def test_scraping_that_comes_much_later_is_not_its_work() -> None:
    (one, _) = suggest_session(
        [_line(8_000, 11_000, "Ten strokes on the left rail.")], [Sound(40_000, 52_000, "scrape")]
    )
    assert one.end_ms == 11_000


def test_a_second_tag_ends_the_first_ones_work() -> None:
    lines = [_line(0, 2_000, "I scrape the tip."), _line(20_000, 22_000, "Now I thin the left wing.")]
    first, second = suggest_session(lines, [Sound(3_000, 40_000, "scrape")])
    assert first.end_ms == 20_000
    assert (second.start_ms, second.end_ms) == (20_000, 40_000)


def test_the_second_sentence_of_a_line_starts_where_its_words_do() -> None:
    spoken = "That was lunch. I scrape the tip now."
    words = tuple(Word(i * 1_000, i * 1_000 + 900, w) for i, w in enumerate(spoken.split(" ")))
    (one,) = suggest_session([Line(1, 0, 8_000, spoken, words)])
    assert one.start_ms == 3_000


def test_a_verdict_joins_the_crow_just_heard() -> None:
    lines = [_line(0, 1_000, "Let's crow it."), _line(8_000, 9_000, "Still too tight.")]
    (one,) = suggest_session(lines, [Sound(2_000, 6_000, "crow")])
    assert (one.step, one.symptoms, one.start_ms, one.end_ms) == ("crow", ("high_crow",), 0, 9_000)


def test_a_verdict_on_notes_nobody_announced_makes_their_tag() -> None:
    (one,) = suggest_session([_line(8_000, 9_000, "That's flat.")], [Sound(2_000, 6_000, "play")])
    assert (one.step, one.symptoms, one.start_ms, one.confidence) == ("play", ("flat",), 2_000, 0.6)


def test_a_fault_without_a_sound_is_no_tag() -> None:
    assert suggest_session([_line(8_000, 9_000, "That's flat.")]) == []


def test_cards_and_words_say_which_reed_is_in_hand() -> None:
    lines = [
        _line(0, 2_000, "I scrape the tip."),
        _line(10_000, 12_000, "I scrape the heart."),
        _line(20_000, 22_000, "This is reed nine, and I sand the tip."),
    ]
    found = suggest_session(lines, cards=[CardShown(5_000, "B-14")], reeds=["B-14"])
    assert [(s.reed, s.is_reed_known) for s in found] == [(None, False), ("B-14", True), ("9", False)]


def test_plans_are_listed_and_recaps_linked() -> None:
    lines = [
        _line(0, 2_000, "Six strokes on both rails."),
        _line(10_000, 12_000, "Next time the collar comes down."),
        _line(20_000, 22_000, "So tonight it was only the rails."),
    ]
    found = suggest_session(lines)
    assert [s.kind for s in found] == ["tag", "reading", "plan", "recap"]
    assert found[3].linked_to == 0


def test_a_reading_hangs_on_its_tag() -> None:
    found = suggest_session([_line(0, 3_000, "Tip opening is 1.6 millimetres.")])
    assert [s.kind for s in found] == ["tag", "reading"]
    assert found[1].linked_to == 0
    assert found[1].reading is not None
    assert found[1].reading.quantity == "tip_opening"


def test_nothing_negated_is_proposed() -> None:
    assert suggest_session([_line(0, 3_000, "I leave the heart alone today.")]) == []


def test_dismissals_lower_and_acceptances_raise_confidence() -> None:
    assert adjusted(0.8, Answers()) == 0.8
    assert adjusted(0.8, Answers(dismissed=4)) == 0.4
    assert adjusted(0.8, Answers(accepted=4)) == 0.9


def test_a_step_changed_again_and_again_is_proposed_anew() -> None:
    one = Suggestion("tag", 1, 0, 1_000, "scrape", rules=("step:~file",), confidence=0.8)
    (after,) = with_feedback([one], {key_of(one): Answers(accepted=1, changed_to={"sand": 3})})
    assert after.step == "sand"
    assert after.rules[-1] == "changed before to sand"
    assert after.confidence == 0.7125


def test_other_rules_stay_as_they_are() -> None:
    one = Suggestion("tag", 1, 0, 1_000, "scrape", rules=("step:~file",), confidence=0.8)
    assert with_feedback([one], {"tag|sand|step:x": Answers(dismissed=9)}) == [one]


@pytest.mark.parametrize(
    ("text", "confidence"),
    [
        ("It is 54.5 millimetres long now.", 0.9),
        ("Next time I clip the tip to 54 millimetres.", 0.5),
        ("I clip the tip by half a millimetre.", 0.5),
    ],
)
def test_aims_and_amounts_off_are_less_sure_than_measures(text: str, confidence: float) -> None:
    readings = [one for one in suggest_session([_line(0, 3_000, text)]) if one.kind == "reading"]
    assert [one.confidence for one in readings] == [confidence]


@pytest.mark.parametrize(
    ("quantity", "value", "unit", "zone", "fits"),
    [
        ("thickness", "56", "mm", "tip", False),
        ("thickness", "2.5", "mm", "tip", False),
        ("thickness", "2.5", "mm", None, True),
        ("thickness", "30", "thou", "back", True),
        ("thickness", "0.5", "in", None, False),
        ("tip_opening", "1.6", "mm", "opening", True),
        ("tip_opening", "3/16", "in", None, True),
        ("tip_opening", "6", "mm", None, False),
        ("length", "120", "mm", None, True),
        ("length", "2.25", "in", None, True),
        ("length", "250", "mm", None, False),
        ("temperature", "70", "°F", None, True),
        ("temperature", "200", "°F", None, False),
        ("humidity", "2", "%", None, False),
        ("pitch", "261.6", "Hz", None, True),
        ("cents", "-20", "cents", None, True),
        ("time", "3", "d", None, True),
        ("grit", "320", "mm", None, False),
    ],
)
def test_what_a_reed_can_measure(quantity: str, value: str, unit: str, zone: str | None, fits: bool) -> None:
    exact = Decimal("0.1875") if value == "3/16" else Decimal(value)
    assert is_plausible(Measurement(quantity, exact, unit, zone)) is fits


def test_every_quantity_has_its_bounds_inside_what_may_be_stored() -> None:
    assert set(PLAUSIBLE) == set(QUANTITIES)
    for name, (lowest, highest) in PLAUSIBLE.items():
        assert QUANTITIES[name].lowest <= Decimal(lowest) < Decimal(highest) <= QUANTITIES[name].highest


def test_a_misheard_reading_is_offered_as_hardly_sure() -> None:
    (one,) = [one for one in suggest_session([_line(0, 3_000, "The tip is 56 mm thick.")]) if one.kind == "reading"]
    assert one.reading is not None and (one.reading.quantity, one.reading.value) == ("thickness", Decimal(56))
    assert one.confidence == 0.2
    (one,) = [one for one in suggest_session([_line(0, 3_000, "The tip is 0.1 mm thick.")]) if one.kind == "reading"]
    assert one.confidence == 0.9
