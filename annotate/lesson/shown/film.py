"""Lays a lesson out as a film: cards and clips in order, chapters, and where each recording's time falls."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

from annotate.lesson.cutting.layout import form_of, lay_out
from annotate.lesson.cutting.pieces import Chapter, FilmOptions, FilmPlan, Piece, StillPiece
from annotate.lesson.shown import clip_pieces
from annotate.lesson.shown.cards import CardText, card
from annotate.lesson.shown.panels import overlaid
from annotate.lesson.told.material import Material, Step
from annotate.lesson.told.passage import Part, Passage
from annotate.lesson.told.summary import before_after

TITLE_MS, STEP_MS, REVIEW_MS = 4_000, 2_400, 6_000  # long enough to read the card aloud once


@dataclass(frozen=True)
class Shown:
    """One step in the film: where its clip lies and the numbers of its pieces; the same of what is shown before it."""

    clip: Passage
    pieces: tuple[int, ...]
    before: Passage | None = None
    before_pieces: tuple[int, ...] = ()


@dataclass(frozen=True)
class LaidOut:
    """A lesson as pieces, its plan, where each step lies, and the film time it begins at."""

    pieces: tuple[Piece, ...]
    plan: FilmPlan
    shown: tuple[Shown, ...]
    starts_ms: tuple[int, ...]
    chapters: tuple[Chapter, ...]


def lay_out_lesson(material: Material, options: FilmOptions) -> LaidOut:
    """The film of a lesson, with cards in its size, and what is laid over the picture."""
    plain = [clip_pieces.pieces(material, step) for step in material.steps]
    options = _wide_if_mixed(material, options)
    width, height, rate = form_of([piece for group in plain for piece in (*group.before, *group.clip)], options)
    groups = [_sized(material, step, group, width, height) for group, step in zip(plain, material.steps, strict=True)]
    pieces, owners = _with_cards(material, groups, width, height)
    plan = lay_out(pieces, replace(options, width=width, height=height, rate=rate))
    shown = tuple(_shown(material, step, groups, owners, plan) for step in material.steps)
    panels = [
        panel
        for step, one in zip(material.steps, shown, strict=True)
        for panel in clip_pieces.panels(material, step, one.clip, one.before, (width, height))
    ]
    chapters, starts = _chapters(material, owners, plan)
    return LaidOut(overlaid(pieces, plan, panels), plan, shown, starts, chapters)


def _sized(
    material: Material, step: Step, group: clip_pieces.StepPieces, width: int, height: int
) -> clip_pieces.StepPieces:
    """A step's pieces with what depends on the film's size."""
    return clip_pieces.with_held(clip_pieces.staged(group, step, width, height), material, step, width, height)


def _shown(
    material: Material,
    step: Step,
    groups: Sequence[clip_pieces.StepPieces],
    owners: Sequence[int | None],
    plan: FilmPlan,
) -> Shown:
    """Where a step lies: first what is shown before it, if anything is, then its clip."""
    numbers = tuple(number for number, owner in enumerate(owners) if owner == step.number)
    places = [plan.placed[number] for number in numbers]
    group = groups[step.number - 1]
    count, end = len(group.before), len(group.before) + len(group.clip)
    clip = Passage(material.parts(step), tuple(places[count:end]), places[end] if group.held else None)
    if step.before is None:
        return Shown(clip, numbers[:end])
    before = Passage((Part(step.before.clip.start_ms, step.before.clip.end_ms),), tuple(places[:count]))
    return Shown(clip, numbers[count:end], before, numbers[:count])


def _wide_if_mixed(material: Material, options: FilmOptions) -> FilmOptions:
    """Where upright and wide recordings meet, the film is wide: it is watched on a screen that is."""
    if options.width is not None or options.height is not None:
        return options
    wide: dict[tuple[int, int], int] = {}
    is_mixed = False
    for step in material.steps:
        probe = step.recording.probe
        if probe.width >= probe.height > 0:
            size = (probe.width, probe.height)
            wide[size] = wide.get(size, 0) + step.clip.end_ms - step.clip.start_ms
        elif probe.height:
            is_mixed = True
    if not wide or not is_mixed:
        return options
    width, height = max(wide, key=lambda size: wide[size])
    return replace(options, width=width - width % 2, height=height - height % 2)


def _with_cards(
    material: Material, groups: Sequence[clip_pieces.StepPieces], width: int, height: int
) -> tuple[list[Piece], list[int | None]]:
    """All pieces in order; for each, the step it belongs to (its clip: number, its card: -number) or None."""
    lesson, count, has_cards = material.lesson, len(groups), material.lesson.has_title_cards
    reeds = f"Reed{'s' if len(material.reeds) > 1 else ''} {', '.join(material.reeds)}" if material.reeds else ""
    foot = " · ".join(part for part in (reeds, ", ".join(material.dates)) if part)
    opening = CardText(lesson.title, "Lesson", f"Goal: {lesson.goal}" if lesson.goal else "", foot)
    pieces: list[Piece] = [StillPiece(card(opening, width, height), TITLE_MS)] if has_cards else []
    owners: list[int | None] = [None] if has_cards else []
    for step, group in zip(material.steps, groups, strict=True):
        if has_cards:
            text = CardText(step.title, f"Step {step.number} of {count}", step.clip.note, step.where)
            pieces.append(StillPiece(card(text, width, height, (step.number - 1) / count), STEP_MS))
            owners.append(-step.number)
        pieces += group.all
        owners += [step.number] * len(group.all)
    closing = _review(material)
    if closing and has_cards:
        pieces.append(StillPiece(card(CardText("Review", "", closing, foot), width, height, 1.0), REVIEW_MS))
        owners.append(None)
    return pieces, owners


def _review(material: Material) -> str:
    """The review as the maker wrote it, else the readings before and after."""
    if material.lesson.review.strip():
        return material.lesson.review
    return "; ".join(f"{what}: {before} before, {after} after" for what, before, after in before_after(material))


def _card_chapter(material: Material, number: int) -> str:
    if number > 0:
        return "Review"
    return "Goal" if material.lesson.goal else material.lesson.title


def _chapters(
    material: Material, owners: Sequence[int | None], plan: FilmPlan
) -> tuple[tuple[Chapter, ...], tuple[int, ...]]:
    """Chapters (a step begins at its card), and the film time at which each step begins."""
    made: list[Chapter] = []
    starts: dict[int, int] = {}
    for number, (owner, placed) in enumerate(zip(owners, plan.placed, strict=True)):
        start_ms = ceil(placed.start * 1000)  # not a moment before its first picture: a player shows what it is sent to
        if owner is None:
            made.append(Chapter(start_ms, _card_chapter(material, number)))
        elif abs(owner) not in starts:
            starts[abs(owner)] = start_ms
            step = material.steps[abs(owner) - 1]
            made.append(Chapter(start_ms, f"{step.number}. {step.title}"))
    return tuple(made), tuple(starts[number] for number in sorted(starts))
