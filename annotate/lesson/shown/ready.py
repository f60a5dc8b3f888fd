"""A lesson made ready for its film: laid out, evened, with its captions."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from annotate.formats.cues import Cue
from annotate.lesson.cutting.pieces import FilmOptions
from annotate.lesson.shown.captions import lesson_cues
from annotate.lesson.shown.evened import evened
from annotate.lesson.shown.film import LaidOut, lay_out_lesson
from annotate.lesson.shown.panels import caption, overlaid
from annotate.lesson.told.material import Material


def make_ready(
    material: Material,
    options: FilmOptions,
    progress: Callable[[float], None] = lambda _: None,
    cancelled: Callable[[], bool] = lambda: False,
) -> tuple[LaidOut, list[Cue]]:
    """The lesson as pieces with all its choices, and its captions; ``progress`` is that of measuring the loudness."""
    laid, showing = lay_out_lesson(material, options), material.lesson.showing
    if showing.evens_loudness or any(step.before for step in material.steps):
        laid = evened(laid, showing.evens_loudness, progress, cancelled)
    cues = lesson_cues(material, laid)
    return (with_captions(laid, cues) if showing.burns_captions else laid), cues


def with_captions(laid: LaidOut, cues: Sequence[Cue]) -> LaidOut:
    """The lesson with its captions drawn into the picture."""
    panels = [caption(cue, laid.plan.width, laid.plan.height) for cue in cues]
    return replace(laid, pieces=overlaid(laid.pieces, laid.plan, panels))
