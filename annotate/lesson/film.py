"""Lays a lesson out as a film: cards and clips in order, chapters, and where each recording's time falls."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from annotate.lesson.cards import MARGIN, CardText, draw_card, draw_note
from annotate.lesson.layout import lay_out
from annotate.lesson.material import Material, Step
from annotate.lesson.pieces import Chapter, FilmOptions, FilmPlan, Overlay, Piece, Placed, SourcePiece, StillPiece
from annotate.lesson.summary import before_after, correction_text

TITLE_MS, STEP_MS, REVIEW_MS = 4_000, 2_400, 6_000  # long enough to read the card aloud once
NOTE_SHORTEST_MS = 3_000  # a correction stays at least this long over the picture
FADE_MS = 8


@dataclass(frozen=True)
class LaidOut:
    """A lesson as pieces, its plan, and for each step the piece that shows it and the film time it begins at."""

    pieces: tuple[Piece, ...]
    plan: FilmPlan
    step_pieces: tuple[int, ...]
    starts_ms: tuple[int, ...]
    chapters: tuple[Chapter, ...]

    def placed(self, number: int) -> Placed:
        """Where the clip of step ``number`` (from 1) lies."""
        return self.plan.placed[self.step_pieces[number - 1]]


def lay_out_lesson(material: Material, options: FilmOptions) -> LaidOut:
    """The film of a lesson, with cards in its size and corrections over the picture."""
    clips = [_piece(step) for step in material.steps]
    options = _wide_if_mixed(material, options)
    rough = lay_out(clips, options)
    width, height = rough.width, rough.height
    clips = [
        replace(clip, overlays=_notes(step, placed, width, height))
        for clip, step, placed in zip(clips, material.steps, rough.placed, strict=True)
    ]
    pieces, owners = _with_cards(material, clips, width, height)
    plan = lay_out(pieces, replace(options, width=width, height=height, rate=options.rate or rough.rate))
    step_pieces = tuple(number for number, owner in enumerate(owners) if owner is not None and owner > 0)
    chapters, starts = _chapters(material, owners, plan)
    return LaidOut(tuple(pieces), plan, step_pieces, starts, chapters)


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


def _piece(step: Step) -> SourcePiece:
    return SourcePiece(
        path=step.path,
        start_ms=step.clip.start_ms,
        end_ms=step.clip.end_ms,
        probe=step.recording.probe,
        fingerprint=step.recording.fingerprint,
        fade_ms=FADE_MS,
    )


def _notes(step: Step, placed: Placed, width: int, height: int) -> tuple[Overlay, ...]:
    """The corrections of a step as notes over its picture, one after another."""
    made: list[Overlay] = []
    length = placed.end_ms - placed.start_ms
    free_ms = 0
    for correction in step.corrections:
        start = max(placed.film_ms(correction.start_ms) - placed.start_ms, free_ms)
        end = max(placed.film_ms(correction.end_ms) - placed.start_ms, start + NOTE_SHORTEST_MS)
        end = min(end, length)
        if start >= end:
            continue
        picture = draw_note(correction_text(correction), width, height)
        made.append(Overlay(start, end, picture, round(width * MARGIN), height // 20))
        free_ms = end
    return tuple(made)


def _with_cards(
    material: Material, clips: Sequence[SourcePiece], width: int, height: int
) -> tuple[list[Piece], list[int | None]]:
    """All pieces in order; for each, the step it belongs to (its clip: number, its card: -number) or None."""
    if not material.lesson.has_title_cards:
        return list(clips), [step.number for step in material.steps]
    lesson, count = material.lesson, len(clips)
    foot = " · ".join(part for part in (", ".join(material.reeds), ", ".join(material.dates)) if part)
    opening = CardText(lesson.title, "Lesson", f"Goal: {lesson.goal}" if lesson.goal else "", foot)
    pieces: list[Piece] = [StillPiece(draw_card(opening, width, height), TITLE_MS)]
    owners: list[int | None] = [None]
    for step, clip in zip(material.steps, clips, strict=True):
        card = CardText(step.title, f"Step {step.number} of {count}", step.clip.note, step.where)
        pieces += [StillPiece(draw_card(card, width, height, (step.number - 1) / count), STEP_MS), clip]
        owners += [-step.number, step.number]
    closing = _review(material)
    if closing:
        pieces.append(StillPiece(draw_card(CardText("Review", "", closing, foot), width, height, 1.0), REVIEW_MS))
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
        if owner is None:
            made.append(Chapter(placed.start_ms, _card_chapter(material, number)))
        elif abs(owner) not in starts:
            starts[abs(owner)] = placed.start_ms
            step = material.steps[abs(owner) - 1]
            made.append(Chapter(placed.start_ms, f"{step.number}. {step.title}"))
    return tuple(made), tuple(starts[number] for number in sorted(starts))
