"""What is taken back while speaking: places, wires, faults, verbs and numbers; the last word counts."""

from __future__ import annotations

import pytest

from annotate.tagging import understand


@pytest.mark.parametrize(
    ("text", "zones", "blade", "side"),
    [
        ("Now the heart, did I say heart, I meant the spine, ten strokes.", ("spine",), None, None),
        ("The top blade, hang on, I've got it upside down, the bottom blade: I'm shaving a bit off the right corner.",
         ("corners",), "down", "right"),
        ("I scraped the tip, no, not the tip, the corners.", ("corners",), None, None),
        ("A little off the back of the upper, lower blade I should say.", ("back",), "down", None),
        ("Not the left, the right rail gets a few strokes.", ("rails",), None, "right"),
        ("It's the front wire that's slack, no, the bottom one, so I'm tightening that.", ("wire_3",), None, None),
    ],
)  # fmt: skip
def test_places(text: str, zones: tuple[str, ...], blade: str | None, side: str | None) -> None:
    (label,) = understand(text).labels
    assert (label.mode, label.zones, label.blade, label.side) == ("done", zones, blade, side)


def test_what_was_said_of_the_wire_holds_for_the_wire_meant() -> None:
    (label,) = understand("It's the front wire that's slack, no, the bottom one, so I'm tightening that.").labels
    assert label.symptoms == ("loose_wire",)


@pytest.mark.parametrize(
    ("text", "symptoms"),
    [
        ("It's flat, no, hang on, I misread that, it's sharp.", ("sharp",)),
        ("It's twenty cents sharp, I beg your pardon, twenty cents flat.", ("flat",)),
        ("The sound's buzzy, well no, not buzzy, more muffled, I'd say.", ("stuffy",)),
        ("It's resistant, oh wait, it's the other way round, it's too free.", ("free",)),
        ("It's buzzy, wait, there's a leak too.", ("buzzy", "leak")),  # nothing is taken back here
    ],
)
def test_faults(text: str, symptoms: tuple[str, ...]) -> None:
    assert understand(text).symptoms == symptoms


@pytest.mark.parametrize(
    ("text", "quantity", "value"),
    [
        ("It's twenty cents sharp, I beg your pardon, twenty cents flat.", "cents", "-20"),
        ("The aperture is one point two, let me see, no, one point three millimetres on the feeler gauge.",
         "tip_opening", "1.3"),
        ("Ten strokes on the spine, er, eleven actually.", "strokes", "11"),
        ("I take six strokes, no, eight off the left rail.", "strokes", "8"),
        ("That's seventy percent in here, sixty-five rather.", "humidity", "65"),
    ],
)  # fmt: skip
def test_numbers(text: str, quantity: str, value: str) -> None:
    assert [(m.quantity, str(m.value)) for m in understand(text).measurements] == [(quantity, value)]
