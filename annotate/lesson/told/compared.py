"""The numbers of a clip and of what is shown before it, side by side. No I/O."""

from __future__ import annotations

from annotate.lesson.told.material import Compared, Step
from annotate.measure import units
from annotate.model import Reading


def compared(step: Step) -> tuple[Compared, ...]:
    """What was measured in both ranges or in one of them, readings first, then what was heard.

    Wet and dry readings are kept apart: cane swells, so one is not the other before or after the work.
    """
    if step.before is None:
        return ()
    rows: dict[tuple[object, ...], list[Reading | None]] = {}
    labels: dict[tuple[object, ...], str] = {}
    for column, side in enumerate((step.before, step)):
        for one in side.readings:
            key = (one.quantity, one.zone, one.blade, one.side, one.place_note, one.moisture)
            labels.setdefault(key, measured(side, one, names_reed=False))
            rows.setdefault(key, [None, None])[column] = one
    made = [Compared(labels[key], *("" if one is None else _value(one) for one in rows[key])) for key in rows]
    # What both have says most, so it comes first.
    return tuple(sorted([*made, *step.heard], key=lambda row: not (row.before and row.after)))


def _value(reading: Reading) -> str:
    return units.both_lengths(reading.value, reading.unit)


def measured(step: Step, reading: Reading, *, names_reed: bool) -> str:
    """What was measured, where and how, in the trade's words."""
    words = step.words
    parts = [units.quantity(reading.quantity).label]
    parts += [f"reed {step.reed.name}"] if names_reed and step.reed else []
    parts += [words.label("zones", reading.zone).lower()] if reading.zone else []
    parts += [words.label("blades", reading.blade).lower()] if reading.blade else []
    parts += [words.label("sides", reading.side).lower()] if reading.side else []
    return ", ".join([*parts, *(part for part in (reading.place_note, reading.moisture) if part)])
