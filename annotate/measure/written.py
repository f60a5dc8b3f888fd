"""A reading as it is written, in the trade's words."""

from __future__ import annotations

from annotate.measure import units
from annotate.model import Reading
from annotate.vocabulary import Vocabulary


def reading_text(reading: Reading, words: Vocabulary) -> str:
    """What was measured and how much: lengths in mm and inches, with place, moisture and instrument."""
    amount = units.both_lengths(reading.value, reading.unit)
    if reading.uncertainty is not None:
        amount += f" ± {units.shown(reading.uncertainty, reading.unit)}"
    label = units.quantity(reading.quantity).label
    zone = words.label("zones", reading.zone) if reading.zone else ""
    details = [zone.lower() if zone != label else "", reading.place_note]  # a tip opening is at the tip opening
    details += [words.label("blades", reading.blade).lower() if reading.blade else ""]
    details += [words.label("sides", reading.side).lower() if reading.side else ""]
    details += [reading.moisture or "", reading.tool]
    kept = ", ".join(detail for detail in details if detail)
    return f"{label}: {amount}" + (f" ({kept})" if kept else "")
