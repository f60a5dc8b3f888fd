"""The step summary as content: what stands in it, before it becomes HTML, Markdown or PDF. No I/O."""

from __future__ import annotations

from dataclasses import dataclass

from annotate.drawing.places import places_of
from annotate.drawing.svg import marked_reed, place_names, which_is_which
from annotate.lesson.told.compared import compared, measured
from annotate.lesson.told.how_shown import how_shown
from annotate.lesson.told.material import Material, Step
from annotate.lesson.told.spoken import text_inside
from annotate.measure import units
from annotate.measure.written import reading_text
from annotate.model import Correction, Reading, Tag
from annotate.timecode import clock

DEFER = "The cautions here are the usual ones of the trade. A teacher's supervision and local rules come first."


@dataclass(frozen=True)
class StepText:
    """One step as it is written: title, where it was done, what was said, measured, corrected, and its cautions."""

    number: int
    title: str
    at: str
    where: str
    done: tuple[str, ...]
    note: str
    said: tuple[str, ...]
    readings: tuple[str, ...]
    corrections: tuple[str, ...]
    cautions: tuple[str, ...]
    places: tuple[str, ...] = ()
    drawing: str = ""  # the reed with those places marked, as SVG
    lie: str = ""  # which blade is where in the drawing

    @property
    def described(self) -> str:
        """The drawing in words, for those who do not see it."""
        return f"On the reed: {'; '.join(self.places)}." if self.places else ""


@dataclass(frozen=True)
class SummaryText:
    """The whole summary."""

    title: str
    goal: str
    audience: str
    tools: tuple[str, ...]
    cautions: tuple[str, ...]
    steps: tuple[StepText, ...]
    before_after: tuple[tuple[str, str, str], ...]
    review: str
    note: str
    reeds: tuple[str, ...]
    dates: tuple[str, ...]


def summarise(material: Material, starts_ms: tuple[int, ...]) -> SummaryText:
    """The content of the summary; ``starts_ms`` says where each step begins in the film."""
    lesson = material.lesson
    told: set[str] = set()
    steps = []
    for step, start_ms in zip(material.steps, starts_ms, strict=True):
        steps.append(_step(material, step, start_ms, told))
        told |= set(step.cautions)
    return SummaryText(
        title=lesson.title,
        goal=lesson.goal,
        audience=lesson.audience,
        tools=lesson.tools,
        cautions=tuple(sentence for _, sentence in material.cautions),
        steps=tuple(steps),
        before_after=all_numbers(material),
        review=lesson.review,
        note=lesson.note,
        reeds=material.reeds,
        dates=material.dates,
    )


def _step(material: Material, step: Step, start_ms: int, told: set[str]) -> StepText:
    words = step.words
    sentences = words.cautions
    places = places_of(step.tags)
    return StepText(
        number=step.number,
        title=step.title,
        at=clock(start_ms),
        where=step.where,
        done=(*(_done(step, tag) for tag in step.tags), *how_shown(material, step)),
        note=step.clip.note,
        said=tuple(text for line in step.lines if (text := text_inside(line, step.clip))),
        readings=tuple(reading_text(reading, words) for reading in step.readings),
        corrections=tuple(correction_text(correction) for correction in step.corrections),
        cautions=tuple(sentences[one] for one in step.cautions if one in sentences and one not in told),
        places=place_names(words.instrument, places),
        drawing=marked_reed(words.instrument, places),
        lie=which_is_which(words.instrument),
    )


def _done(step: Step, tag: Tag) -> str:
    """What a tag says, in the trade's words."""
    words = step.words
    step_label = words.label("steps", tag.step)
    zones = [words.label("zones", zone).lower() for zone in tag.zones]
    where = [zone for zone in zones if zone not in step_label.lower()]  # "Clip the tip" has said that it is the tip
    where += [words.label("blades", tag.blade).lower()] if tag.blade else []
    where += [words.label("sides", tag.side).lower()] if tag.side else []
    text = step_label + (f" ({', '.join(where)})" if where else "")
    if tag.symptoms:
        text += ". Because: " + ", ".join(words.label("symptoms", symptom).lower() for symptom in tag.symptoms)
    note = tag.note if tag.note != step.clip.note else ""
    return f"{text}. {note}".strip()


def correction_text(correction: Correction) -> str:
    """A correction as written."""
    said = f"Said: “{correction.said}”. " if correction.said else ""
    return f"{said}Right: {correction.right}"


def all_numbers(material: Material) -> tuple[tuple[str, str, str], ...]:
    """The readings before and after, and the numbers of clips that are set against what was before."""
    rows = list(before_after(material))
    for step in material.steps:
        for one in compared(step):
            row = (one.what, one.before or "–", one.after or "–")
            if row not in rows:
                rows.append((f"Step {step.number}: {row[0]}", *row[1:]))
    return tuple(rows)


def before_after(material: Material) -> tuple[tuple[str, str, str], ...]:
    """First and last reading of every quantity and place of a reed that was measured more than once.

    Wet and dry readings are kept apart: cane swells, so one is not the other before or after the work.
    """
    seen: dict[tuple[object, ...], list[tuple[Step, Reading]]] = {}
    for step in material.steps:
        for one in step.readings:
            place = (one.zone, one.blade, one.side, one.place_note, one.moisture)
            seen.setdefault((one.reed_id, one.quantity, *place), []).append((step, one))
    rows = []
    for found in seen.values():
        ordered = sorted(found, key=lambda pair: (pair[1].taken_on or "", pair[1].at_ms or 0))
        (step, first), (_, last) = ordered[0], ordered[-1]
        if len(ordered) > 1:
            before = units.both_lengths(first.value, first.unit)
            after = units.beside(last.value, last.unit, first.unit)
            rows.append((measured(step, first, names_reed=len(material.reeds) > 1), before, after))
    return tuple(rows)
