"""One step of a lesson as pieces of the film, by the choices of its clip; and what is laid over them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from annotate.lesson.cutting import frames, sound_picture
from annotate.lesson.cutting.drawing import Pixels
from annotate.lesson.cutting.pieces import Piece, SourcePiece, StillPiece
from annotate.lesson.shown.held import held, held_ms, reading_ms
from annotate.lesson.shown.panels import Panel, badge, faster_text, label, note, stacked
from annotate.lesson.shown.stage import Side, stage_for
from annotate.lesson.told.compared import compared
from annotate.lesson.told.material import Material, Step
from annotate.lesson.told.passage import Part, Passage
from annotate.lesson.told.summary import correction_text

FADE_MS = 8
LOW_DB = -18.0  # of fast scraping that is heard softly: clearly behind the voice
NOTE_SHORTEST_MS = 3_000  # a correction stays at least this long over the picture
MOST_ROWS = 4  # numbers of each side on the picture; all are in the summary
SHAPE = (1280, 720)  # the box of a recording without a picture


@dataclass(frozen=True)
class StepPieces:
    """The pieces of a step's clip, and of what is shown before it."""

    clip: tuple[SourcePiece, ...]
    before: tuple[SourcePiece, ...] = ()
    held: tuple[StillPiece, ...] = ()  # the clip's last picture, where a correction needs the time

    @property
    def all(self) -> tuple[Piece, ...]:
        """In the order shown."""
        return (*self.before, *self.clip, *self.held)


def pieces(material: Material, step: Step) -> StepPieces:
    """The step's pieces, with speeds, as loud as they were recorded."""
    sound = material.lesson.showing.scraping_sound
    clip = tuple(_piece(step, part, sound) for part in material.parts(step))
    if step.before is None:
        return StepPieces(clip)
    whole = Part(step.before.clip.start_ms, step.before.clip.end_ms)
    return StepPieces(clip, (_piece(step.before, whole, sound),))


def _piece(step: Step, part: Part, fast_sound: str) -> SourcePiece:
    made = SourcePiece(
        path=step.path,
        start_ms=part.start_ms,
        end_ms=part.end_ms,
        probe=step.recording.probe,
        fingerprint=step.recording.fingerprint,
        fade_ms=FADE_MS,
        drawn_ms=None if step.recording.has_picture else (step.clip.start_ms, step.clip.end_ms),
    )
    if part.speed == 1:
        return made
    return replace(made, speed=Fraction(part.speed), gain_db=LOW_DB if fast_sound == "low" else None)


def with_held(group: StepPieces, material: Material, step: Step, width: int, height: int) -> StepPieces:
    """The pieces, the last picture held where a correction comes late."""
    for_ms = held_ms(step, material.parts(step))
    return replace(group, held=(held(step, group.clip[-1], for_ms, width, height),)) if for_ms else group


def staged(group: StepPieces, step: Step, width: int, height: int) -> StepPieces:
    """The pieces, put side by side where the clip asks for it."""
    if step.before is None or step.clip.before is None or not step.clip.before.is_beside:
        return group
    sides = _side(step.before, "Before", step, is_last=True), _side(step, "After", step, is_last=False)
    return StepPieces(
        tuple(replace(one, stage=stage_for(sides, 1, width, height)) for one in group.clip),
        tuple(replace(one, stage=stage_for(sides, 0, width, height)) for one in group.before),
    )


def _side(shown: Step, head: str, step: Step, *, is_last: bool) -> Side:
    probe = shown.recording.probe
    at_ms = shown.clip.end_ms if is_last else shown.clip.start_ms
    return Side(
        head=head,
        where=shown.where,
        rows=_rows(step, head),
        width=probe.width or SHAPE[0],
        height=probe.height or SHAPE[1],
        still_name=f"{shown.recording.fingerprint} {shown.clip.start_ms} {shown.clip.end_ms} {is_last}",
        still=_still(shown, at_ms, is_last=is_last),
    )


def _still(shown: Step, at_ms: int, *, is_last: bool) -> Callable[[int, int], Pixels]:
    """The last picture of what was shown before, the first of what comes after; of a mere sound, its drawing."""
    if not shown.recording.has_picture:
        span = shown.clip.start_ms, shown.clip.end_ms
        sound = shown.path, shown.recording.probe, span
        return lambda width, height: sound_picture.standing(*sound, (width, height), is_lit=is_last)
    take = frames.last_picture_before if is_last else frames.picture_at
    return lambda width, _: take(shown.path, shown.recording.probe, at_ms, width)


def _rows(step: Step, head: str) -> tuple[str, ...]:
    rows = [(one.what, one.before if head == "Before" else one.after) for one in compared(step)]
    return tuple(f"{what}: {value}" for what, value in rows if value)[:MOST_ROWS]


def panels(material: Material, step: Step, clip: Passage, before: Passage | None, size: tuple[int, int]) -> list[Panel]:
    """What is laid over a step: what it is, how fast it runs, and what is set right."""
    made: list[Panel] = []
    is_in_turn = step.clip.before is not None and not step.clip.before.is_beside
    for shown, passage, head in ((step.before, before, "Before"), (step, clip, "After")):
        if shown is None or passage is None:
            continue
        if is_in_turn:
            about = f"{head} · {shown.where}"
            made.append(label(passage.start_ms, passage.end_ms, about, _rows(step, head), *size))
        sound = material.lesson.showing.scraping_sound
        made += [badge(start, end, faster_text(speed, sound), *size) for start, end, speed in passage.fast()]
        made += _notes(shown, passage, size)
    return stacked(made, size[1] // 90)


def _notes(step: Step, passage: Passage, size: tuple[int, int]) -> Iterable[Panel]:
    """The corrections of a step as notes over its picture; a late one begins earlier, for it ends with its clip."""
    for correction in step.corrections:
        text = correction_text(correction)
        needed_ms = reading_ms(text)
        latest_ms = max(passage.end_ms - needed_ms, passage.start_ms)
        start = min(passage.film_ms(correction.start_ms), latest_ms)
        shortest_ms = max(NOTE_SHORTEST_MS, needed_ms)
        end = min(max(passage.film_ms(correction.end_ms), start + shortest_ms), passage.end_ms)
        if start < end:
            yield note(start, end, text, *size)
