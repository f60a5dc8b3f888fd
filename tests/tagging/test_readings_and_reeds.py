"""Readings, unit and quantity; reeds as they are named."""

from __future__ import annotations

import pytest

from annotate.tagging import as_json, understand


def _readings(text: str) -> list[tuple[str, str, str]]:
    return [(m.quantity, str(m.value), m.unit) for m in understand(text).measurements]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("tip opening is one point six millimetres", [("tip_opening", "1.6", "mm")]),
        ("the opening measures sixty thou", [("tip_opening", "60", "thou")]),
        ("four thou at the tip", [("thickness", "4", "thou")]),
        ("I sand it with six hundred paper", [("grit", "600", "grit")]),
        ("seventy percent humidity in here", [("humidity", "70", "%")]),
        ("it's twenty one degrees and fifty percent humidity", [("temperature", "21", "°C"), ("humidity", "50", "%")]),
        ("seventy two degrees in the studio", [("temperature", "72", "°F")]),
        ("the E is twenty cents flat", [("cents", "-20", "cents")]),
        ("the A is five cents sharp", [("cents", "5", "cents")]),
        ("we tune to four hundred forty two hertz", [("pitch", "442", "Hz")]),
        ("I clip half a millimetre", [("length", "0.5", "mm")]),
        ("the first wire is three sixteenths from the collar", [("wire_distance", "0.1875", "in")]),
        ("ream it to five point two millimetres", [("diameter", "5.2", "mm")]),
        ("tip width fifteen millimetres", [("width", "15", "mm")]),
        ("soak it for four minutes", [("time", "4", "min")]),
        ("two turns of the reamer", [("count", "2", "turns")]),
        ("I take two thou off the rails", [("thickness", "2", "thou")]),
        ("I move the first wire so it sits twenty-six millimetres from the butt", [("wire_distance", "26", "mm")]),
        ("I slide a plug gauge into the butt, and it reads five point one five", [("diameter", "5.15", "mm")]),
        ("My rule has the wires five sixteenths of an inch apart.", [("wire_distance", "0.3125", "in")]),
        ("I take three hundredths off the catch.", [("thickness", "0.03", "mm")]),
        ("The callipers make the tip fifteen millimetres wide.", [("width", "15", "mm")]),
        ("The tuner shows plus twelve on the B flat.", [("cents", "12", "cents")]),
        ("The A reads minus eight on the tuner.", [("cents", "-8", "cents")]),
        ("The tuner says minus three cents, no, minus five.", [("cents", "-5", "cents")]),
        ("It swings between minus 5 and plus 5 on every note.", [("cents", "-5", "cents"), ("cents", "5", "cents")]),
        ("I dust the tip plus two corners.", []),
        ("Soak it ten minutes plus two more for luck.", [("time", "10", "min")]),
        ("It reads 442 on the tuner, plus or minus two.", [("pitch", "442", "Hz")]),
        ("It is minus four outside today.", []),
        ("We're at 441 today.", [("pitch", "441", "Hz")]),
        ("Twenty-two C in here and bone dry, thirty percent.", [("temperature", "22", "°C"), ("humidity", "30", "%")]),
        ("Give it a minute and a half in the water.", [("time", "1.5", "min")]),
        ("one and three quarter turns of the reamer", [("count", "1.75", "turns")]),
        ("The tip measures one point two", [("thickness", "1.2", "mm")]),
        ("ten minutes in the shot glass", [("time", "10", "min")]),
        ("reed number C hyphen eight, a last pull along the spine", []),
        ("battery at ten percent", []),
        ("wire two is fine", []),
        ("four or five strokes on the rails", []),
    ],
)
def test_quantity_value_and_unit(text: str, expected: list[tuple[str, str, str]]) -> None:
    assert _readings(text) == expected


@pytest.mark.parametrize(
    ("text", "known", "name", "is_known"),
    [
        ("reed seven is stuffy", (), "7", False),
        ("this is B fourteen", (), "B-14", False),
        ("this is B fourteen", ("b14", "C-2"), "b14", True),
        ("back to reed number thirty one", ("31",), "31", True),
        ("reed seven again", ("R-07", "R-17"), "R-07", True),
        ("the green one is flat", ("green thread", "blue thread"), "green thread", True),
        ("the green one is flat", (), "green", False),
        ("reed K 7 was soaked", (), "K-7", False),
        ("B seven's had it, straight in the bin with it", (), "B-7", False),
        ("Clip B-7 please", (), "B-7", False),
        ("C four's wires are loose", (), "C-4", False),
        ("Take E nine: it crows too high", (), "E-9", False),
        ("#14 is done", (), "14", False),
        ("No. 9 needs its tip clipped tomorrow", (), "9", False),
        ("my number three reed is stuffy", (), "3", False),
        ("the reed with the blue thread leaks", (), "blue", False),
    ],
)
def test_reeds_resolve_or_are_offered_as_new(text: str, known: tuple[str, ...], name: str, is_known: bool) -> None:
    said = understand(text, known_reeds=known)
    assert said.reed is not None
    assert (said.reed.name, said.reed.is_known) == (name, is_known)


def test_each_number_takes_the_place_said_with_it() -> None:
    said = understand("The dial gives me 0.62 at the spine and 0.48 in the channels.").measurements
    assert [(str(m.value), m.zone) for m in said] == [("0.62", "spine"), ("0.48", "channels")]


def test_a_length_off_the_front_is_clipped() -> None:
    (label,) = understand("Sixteenth of an inch off the front.").labels
    assert label.step == "clip"


@pytest.mark.parametrize("text", ["B flat is fine", "the low E 3 sags", "wire two is loose", "play C four for me",
                                  "Low A two won't speak", "C four cracks on the attack",
                                  "A-440 is where my tuner is set",
                                  "I scrape a four millimetre strip"])  # fmt: skip
def test_notes_and_wires_are_no_reeds(text: str) -> None:
    assert understand(text).reed is None


def test_the_answer_has_the_agreed_form() -> None:
    assert as_json("x1", understand("Reed 7: tip opening 1.6 mm, too open.")) == {
        "id": "x1",
        "labels": [
            {"mode": "done", "step": "measure", "zones": ["opening"], "blade": None, "side": None,
             "symptoms": ["tip_open"]}
        ],
        "symptoms": ["tip_open"],
        "reed": "7",
        "measurements": [{"quantity": "tip_opening", "value": 1.6, "unit": "mm", "zone": "opening"}],
    }  # fmt: skip
