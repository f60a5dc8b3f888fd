"""How a reed sounded over its sessions: the notes that test whether it holds, its crows, what books expect."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from annotate.listen.crow import SOURCES_DISAGREE, Expected, expected_for
from annotate.measure.tuning import A4_HZ, place, shown
from annotate.work.reed_sounds import HELD_NOTES, HeldNote, ReedSound, held_notes
from web.chart import Chart, Point, chart
from web.sound_words import hertz, pitch, sag, steadiness


@dataclass(frozen=True)
class Held:
    """One of the test notes over the sessions, the first one first."""

    name: str
    notes: list[HeldNote]
    charts: list[Chart]


@dataclass(frozen=True)
class SoundStory:
    """What the reed's page shows of its sounds."""

    held: list[Held]
    crows: list[ReedSound]
    expected: tuple[Expected, ...]
    remark: str
    count: int


def sound_story(sounds: Sequence[ReedSound], instrument: str) -> SoundStory:
    """The sounds of a reed; the two test notes are those of the bassoon."""
    names = HELD_NOTES if instrument == "bassoon" else ()
    tested = [(shown(name), held_notes(sounds, name)) for name in names if sounds]
    held = [Held(name, found, _charts(found, name)) for name, found in tested]
    crows = [sound for sound in sounds if "crow" in sound.measures]
    return SoundStory(held, crows, expected_for(instrument), SOURCES_DISAGREE, len(sounds))


def _charts(found: Sequence[HeldNote], name: str) -> list[Chart]:
    """Pitch, sag and steadiness of a held note over the days, each in cents."""
    drawn = (
        (f"Pitch, cents from {name}", "cents", pitch, True),
        ("Sag, cents", "sag_cents", sag, True),
        ("Steadiness, cents", "steadiness_cents", steadiness, False),
    )
    made = []
    for title, key, words, is_signed in drawn:
        points = [Point(date.fromisoformat(one.sound.date), one.note[key], words(one.note)) for one in found]
        made.append(chart(points, title, is_signed=is_signed))
    return [one for one in made if one is not None]


def expected_range(expected: Expected) -> str:
    """``370 Hz to 440 Hz, F♯4 to A4``; one pitch where the source names one; ``256 Hz or higher``."""
    if expected.high_hz is None:
        return f"{hertz(expected.low_hz)} or higher, about {_near(expected.low_hz)} or higher"
    ends = dict.fromkeys((expected.low_hz, expected.high_hz))
    return f"{' to '.join(map(hertz, ends))}, about {' to '.join(dict.fromkeys(_near(hz) for hz in ends))}"


def _near(hz: float) -> str:
    return place(hz, A4_HZ).shown
