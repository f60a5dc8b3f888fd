"""What the rules give back: labels, readings and what a sentence says as a whole."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from annotate.tagging.forms import bag


@dataclass(frozen=True)
class Label:
    """One piece of work as said. ``start`` and ``end`` are character places of the evidence in the text."""

    mode: str
    step: str
    zones: tuple[str, ...] = ()
    blade: str | None = None
    side: str | None = None
    symptoms: tuple[str, ...] = ()
    start: int = 0
    end: int = 0
    evidence: str = ""
    rules: tuple[str, ...] = ()
    confidence: float = 0.8


@dataclass(frozen=True)
class Measurement:
    """One reading as said; the unit is the one said, or the one the trade leaves no doubt about."""

    quantity: str
    value: Decimal
    unit: str
    zone: str | None = None
    evidence: str = ""
    is_unit_said: bool = True


@dataclass(frozen=True)
class ReedSaid:
    """A reed named in the sentence: its id as it would be written, and whether the library holds it."""

    name: str
    is_known: bool = False
    evidence: str = ""


@dataclass(frozen=True)
class Understanding:
    """What one line says."""

    text: str
    labels: tuple[Label, ...] = ()
    symptoms: tuple[str, ...] = ()
    reed: ReedSaid | None = None
    measurements: tuple[Measurement, ...] = ()


@dataclass(frozen=True)
class Context:
    """What the words before leave open: the last step, its places, and the reed in hand."""

    step: str | None = None
    zones: tuple[str, ...] = ()
    blade: str | None = None
    side: str | None = None
    reed: str | None = None
    test: str | None = None  # crow or play, when that was the last thing heard

    def after(self, said: Understanding) -> Context:
        """The context once ``said`` has been said."""
        step, zones, blade, side, test = self.step, self.zones, self.blade, self.side, self.test
        for label in said.labels:
            if label.mode != "done":
                continue
            if label.step in PLACED:
                step = label.step
            test = label.step if label.step in ("crow", "play") else None
            if label.zones:
                zones, blade, side = label.zones, label.blade, label.side
            else:
                blade, side = label.blade or blade, label.side or side
        return Context(step, zones, blade, side, said.reed.name if said.reed else self.reed, test)


PLACED = bag("scrape sand wires opening clip inspect measure profile ream")


def as_json(line_id: object, said: Understanding) -> dict[str, Any]:
    """The answer of ``benchreel suggest --lines FILE --json`` for one line."""
    return {
        "id": line_id,
        "labels": [
            {
                "mode": label.mode,
                "step": label.step,
                "zones": list(label.zones),
                "blade": label.blade,
                "side": label.side,
                "symptoms": list(label.symptoms),
            }
            for label in said.labels
        ],
        "symptoms": list(said.symptoms),
        "reed": said.reed.name if said.reed else None,
        "measurements": [
            {"quantity": m.quantity, "value": number(m.value), "unit": m.unit, "zone": m.zone}
            for m in said.measurements
        ],
    }


def number(value: Decimal) -> int | float:
    """A JSON number: whole where it is whole."""
    return int(value) if value == value.to_integral_value() else float(value)
