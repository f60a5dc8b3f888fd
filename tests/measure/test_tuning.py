"""Note names, equal temperament and cents."""

import pytest

from annotate.errors import BadInput
from annotate.measure import tuning


def test_a_pitch_between_c_and_c_sharp() -> None:
    pitch = tuning.place(270.0)
    assert (pitch.name, pitch.shown, pitch.number) == ("C#4", "C♯4", 61)
    assert pitch.cents == pytest.approx(-45.45, abs=0.005)


def test_the_old_middle_c_of_256_hz() -> None:
    pitch = tuning.place(256.0)
    assert pitch.name == "C4"
    assert pitch.cents == pytest.approx(-37.63, abs=0.005)


def test_other_tunings_against_440() -> None:
    assert tuning.cents_between(442, 440) == pytest.approx(7.851, abs=0.0005)
    assert tuning.cents_between(443, 440) == pytest.approx(11.764, abs=0.0005)
    assert tuning.cents_between(415, 440) == pytest.approx(-101.271, abs=0.0005)
    assert tuning.place(440.0, 442.0).cents == pytest.approx(-7.851, abs=0.0005)


@pytest.mark.parametrize(
    ("name", "number", "shown"),
    [
        ("Bb1", 34, "B♭1"),
        ("C#3", 49, "C♯3"),
        ("Eb3", 51, "E♭3"),
        ("F#3", 54, "F♯3"),
        ("B3", 59, "B3"),
        ("C4", 60, "C4"),
    ],
)
def test_names_are_spelt_as_players_spell_them(name: str, number: int, shown: str) -> None:
    assert tuning.note_name(number) == name
    assert tuning.shown(name) == shown
    assert tuning.note_number(name) == tuning.note_number(shown) == number


def test_other_spellings_are_read() -> None:
    assert tuning.note_number("A#1") == 34
    assert tuning.note_number("Db3") == 49
    assert tuning.note_number("Cb4") == 59
    assert tuning.note_number("b-1") == 11


@pytest.mark.parametrize("text", ["", "H3", "C", "C##3", "3", "Bb", "C4 x"])
def test_what_is_no_note_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="is not a note"):
        tuning.note_number(text)


@pytest.mark.parametrize("a4_hz", [399.9, 480.1, float("nan"), float("inf"), -440.0])
def test_tunings_outside_the_range_are_refused(a4_hz: float) -> None:
    with pytest.raises(BadInput, match="not a tuning for A4"):
        tuning.place(220.0, a4_hz)


@pytest.mark.parametrize("hz", [0.0, -1.0, float("nan"), float("inf")])
def test_no_pitch_is_refused(hz: float) -> None:
    with pytest.raises(BadInput, match="is not a pitch"):
        tuning.place(hz)


def test_cents_are_written_with_a_true_minus() -> None:
    assert [tuning.cents_text(c) for c in (7.851, -45.45, 0.4, -0.4, 1.2)] == [
        "+8 cents", "−45 cents", "0 cents", "0 cents", "+1 cent",
    ]  # fmt: skip
