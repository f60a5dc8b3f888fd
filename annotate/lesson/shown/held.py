"""The last picture of a clip, held until a correction that comes late in it has been read.

A correction stands in the captions right after what it sets right. Near the end of
a clip it would run over the next card, or have to be read faster than anybody can.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PIL import Image

from annotate.lesson.cutting import frames, sound_picture
from annotate.lesson.cutting.drawing import Drawing, Pixels, about, pixels
from annotate.lesson.cutting.pieces import SourcePiece, StillPiece
from annotate.lesson.told.material import Step
from annotate.lesson.told.passage import Part
from annotate.model import Correction

CHARACTERS_PER_S = 20  # as fast as captions are read (common subtitling practice)
READING_SHORTEST_MS = 1_000
HELD_SHORTEST_MS, HELD_LONGEST_MS = 300, 6_000  # shorter is not worth it; longer would look as if the film had stopped
_NEARLY = 0.98  # a picture that fills so much of the film's width and height fills it all (as in ``look``)


def caption_of(correction: Correction) -> str:
    """A correction as a caption says it."""
    return f"[Correction: {correction.right}]"


def reading_ms(text: str) -> int:
    """How long a text takes to read."""
    return max(READING_SHORTEST_MS, len(text) * 1000 // CHARACTERS_PER_S)


def held_ms(step: Step, parts: Sequence[Part]) -> int:
    """How long the last picture of a clip that is shown in these parts must stand; 0: not at all."""
    length_ms, free_ms = _film_ms(parts, step.clip.end_ms), 0
    for correction in sorted(step.corrections, key=lambda one: one.end_ms):
        free_ms = max(free_ms, _film_ms(parts, correction.end_ms)) + reading_ms(caption_of(correction))
    over_ms = free_ms - length_ms
    return 0 if over_ms < HELD_SHORTEST_MS else min(over_ms, HELD_LONGEST_MS)


def _film_ms(parts: Sequence[Part], recording_ms: int) -> int:
    """How much of the parts has been shown at a moment of the recording."""
    return sum(max(0, min(one.end_ms, recording_ms) - one.start_ms) // one.speed for one in parts)


def held(step: Step, last: SourcePiece, for_ms: int, width: int, height: int) -> StillPiece:
    """The last picture of a clip as a piece of the film of this size; ``last`` is the clip's last piece."""
    shape = [step.recording.fingerprint, last.end_ms, width, height]
    if last.stage is not None:
        shape += [about(last.stage.picture), last.stage.x, last.stage.y]
    return StillPiece(Drawing(width, height, f"held {shape!r}", lambda: _draw(step, last, width, height)), for_ms)


def _draw(step: Step, last: SourcePiece, width: int, height: int) -> Pixels:
    if last.stage is None:
        return _picture(step, last, width, height)
    made, box = pixels(last.stage.picture).copy(), last.stage
    made[box.y : box.y + box.height, box.x : box.x + box.width] = _picture(step, last, box.width, box.height)
    return made


def _picture(step: Step, last: SourcePiece, width: int, height: int) -> Pixels:
    """The last picture in a box of this size, with bars where its shape is another."""
    probe = step.recording.probe
    if not last.has_picture:
        return sound_picture.standing(last.path, probe, sound_picture.range_of(last), (width, height), is_lit=True)
    image = Image.fromarray(frames.last_picture_before(last.path, probe, last.end_ms))
    scale = min(width / image.width, height / image.height)
    across, down = (
        min(most, round(side * scale / 2) * 2) for side, most in ((image.width, width), (image.height, height))
    )
    if across >= _NEARLY * width and down >= _NEARLY * height:
        across, down = width, height
    made = Image.new("RGB", (width, height))
    fitted = image.resize((across, down), Image.Resampling.BICUBIC)
    made.paste(fitted, ((width - across) // 4 * 2, (height - down) // 4 * 2))
    return np.asarray(made)
