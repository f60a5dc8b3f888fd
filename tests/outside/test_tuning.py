"""Equal temperament against printed tables and a reference library.

Sources: ISO 16:1975 (A4 = 440 Hz); CRC Handbook of Chemistry and Physics,
section 14, "Musical scales" (C2 65.406, C4 261.63, C#4 277.18, E4 329.63 Hz).
"""

import pretty_midi
import pytest

from annotate.measure import tuning

pytestmark = pytest.mark.outside


@pytest.mark.parametrize(
    ("name", "hz", "within"),
    [("A4", 440.0, 0), ("C2", 65.406, 0.0005), ("C4", 261.63, 0.005), ("C#4", 277.18, 0.005), ("E4", 329.63, 0.005)],
)
def test_printed_frequencies(name: str, hz: float, within: float) -> None:
    assert tuning.note_hz(name) == pytest.approx(hz, abs=within)


def test_every_note_of_both_instruments_against_pretty_midi() -> None:
    for number in range(22, 97):
        hz = float(pretty_midi.note_number_to_hz(number))
        pitch = tuning.place(hz)
        assert pitch.number == number
        assert pitch.cents == pytest.approx(0, abs=1e-9)
        assert tuning.note_hz(pitch.name) == pytest.approx(hz, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "at_442"), [("Bb1", 58.535), ("C#3", 139.221), ("E3", 165.563), ("F#4", 371.676), ("E5", 662.252)]
)
def test_a_high_orchestra(name: str, at_442: float) -> None:
    assert tuning.note_hz(name, 442.0) == pytest.approx(at_442, abs=0.0005)
