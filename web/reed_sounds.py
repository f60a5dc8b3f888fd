"""How a reed sounded over its sessions: the notes that test whether it holds, its crows, what books expect."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from annotate.listen.crow import SOURCES_DISAGREE, Expected, expected_for
from annotate.measure.tuning import A4_HZ, cents_text, place, shown
from annotate.work.reed_sounds import HELD_NOTES, HeldNote, ReedSound, held_notes
from web.chart import Chart, Point, chart
from web.sound_words import hertz, pitch, signed


@dataclass(frozen=True)
class Held:
    """One of the test notes over the sessions, the first one first."""

    name: str
    notes: list[HeldNote]
    chart: Chart | None


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
    held = [Held(shown(name), found, _chart(found)) for name in names if (found := held_notes(sounds, name)) or sounds]
    crows = [sound for sound in sounds if "crow" in sound.measures]
    return SoundStory(held, crows, expected_for(instrument), SOURCES_DISAGREE, len(sounds))


def _chart(found: Sequence[HeldNote]) -> Chart | None:
    cents = [round(one.note["cents"]) for one in found]
    days = [date.fromisoformat(one.sound.date) for one in found]
    points = [Point(day, value, pitch(one.note)) for day, value, one in zip(days, cents, found, strict=True)]
    made = chart(points, "cents")
    if made is None:
        return None
    lowest, highest = cents_text(min(cents)), cents_text(max(cents))
    summary = f"{len(found)} sessions from {points[0].text} to {points[-1].text}; lowest {lowest}, highest {highest}"
    return replace(made, lowest=signed(min(cents), 0), highest=signed(max(cents), 0), summary=summary)


def expected_range(expected: Expected) -> str:
    """``370 Hz to 440 Hz, F♯4 to A4``; one pitch where the source names one."""
    ends = dict.fromkeys((expected.low_hz, expected.high_hz))
    return f"{' to '.join(map(hertz, ends))}, about {' to '.join(dict.fromkeys(_near(hz) for hz in ends))}"


def _near(hz: float) -> str:
    return place(hz, A4_HZ).shown
