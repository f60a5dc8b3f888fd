"""What was heard in a clip and in what is shown before it, as numbers side by side."""

from __future__ import annotations

from typing import Any

from annotate.lesson.told.material import Compared
from annotate.library import Library
from annotate.measure import tuning
from annotate.model import Before, Clip
from annotate.work.reed_sounds import placed

MOST_NOTES = 3  # those held longest; more would not be read


def heard(library: Library, before: Before, after: Clip) -> tuple[Compared, ...]:
    """The longest crow of both, and the notes that both hold; what was heard in one of them alone comes last."""
    first, second = _numbers(library, before), _numbers(library, after)
    shared = [what for what in second if what in first]
    alone = [what for what in (*first, *second) if (what in first) != (what in second) and what.startswith("Crow")]
    return tuple(Compared(what, first.get(what, ""), second.get(what, "")) for what in (*shared, *alone))


def _numbers(library: Library, span: Before | Clip) -> dict[str, str]:
    """What the sounds of a range measure, by what it is: crows first, then notes, the longest first.

    All pitches are named from the A4 of today's settings, whichever held when they were heard.
    """
    rows = library.recordings.measures(span.recording_id)
    inside = [row for row in rows if span.start_ms <= (row["start_ms"] + row["end_ms"]) // 2 < span.end_ms]
    a4_hz = library.settings.get().a4_hz
    measures = [placed(row["measures"] or {}, a4_hz) for row in inside]
    crows = [one["crow"] for one in measures if "crow" in one]
    notes = [note for one in measures for note in one.get("notes", ())]
    found: dict[str, str] = {}
    if crows:
        found |= _of_crow(max(crows, key=_length))
    for note in sorted(notes, key=_length, reverse=True)[:MOST_NOTES]:
        sag = f", sag {tuning.cents_text(note['sag_cents'])}" if round(note["sag_cents"]) else ""
        found.setdefault(f"Pitch of {tuning.shown(note['note'])}", tuning.cents_text(note["cents"]) + sag)
    return found


def _of_crow(crow: dict[str, Any]) -> dict[str, str]:
    lowest = crow["lowest"]
    made = {"Crow, lowest pitch": f"{tuning.shown(lowest['note'])} {tuning.cents_text(lowest['cents'])}"}
    if crow["roughness_rate_hz"]:
        made["Crow, roughness"] = f"{100 * crow['roughness_depth']:.0f} % at {crow['roughness_rate_hz']:.0f} Hz"
    return made


def _length(one: dict[str, Any]) -> int:
    return int(one["end_ms"] - one["start_ms"])
