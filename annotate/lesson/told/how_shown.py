"""What the summary says of how a clip is shown. No I/O."""

from __future__ import annotations

from annotate.lesson.told.material import Material, Step
from annotate.lesson.told.passage import Part
from annotate.timecode import clock


def how_shown(material: Material, step: Step) -> tuple[str, ...]:
    """Sentences on what runs faster, what is left out, and what the clip is set against."""
    parts = material.parts(step)
    made = [f"{clock(ms)} of scraping is shown {speed} times as fast." for speed, ms in _fast(parts)]
    quiet_ms = step.clip.end_ms - step.clip.start_ms - sum(part.end_ms - part.start_ms for part in parts)
    if quiet_ms:
        made.append(f"{clock(max(quiet_ms, 1000))} of quiet is left out.")
    if step.before is not None and step.clip.before is not None:
        how = "Beside it" if step.clip.before.is_beside else "Before it"
        made.append(f"{how} is shown how it was: {step.before.where}.")
    return tuple(made)


def _fast(parts: tuple[Part, ...]) -> list[tuple[int, int]]:
    """Each speed with how long what it is used for took."""
    lengths: dict[int, int] = {}
    for part in parts:
        if part.speed > 1:
            lengths[part.speed] = lengths.get(part.speed, 0) + part.end_ms - part.start_ms
    return sorted(lengths.items())
