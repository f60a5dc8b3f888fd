"""What a change did to the clips of a lesson, in words: for the page, and for what undo takes back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from annotate.lesson.told.choosing import apart, with_cover
from annotate.model import Clip, Lesson
from annotate.timecode import clock
from annotate.vocabulary.counted import counted

CHANGED = (("title", "title"), ("note", "note"), ("scraping_speed", "speed of scraping"), ("still_ms", "still"))


@dataclass(frozen=True)
class Told:
    """A change: a sentence for the page, and the words for the step of undo."""

    sentence: str
    step: str


def kept_apart(clips: Sequence[Clip], taken: Sequence[Clip] = ()) -> tuple[list[Clip], str]:
    """The clips without what is shown already, and a sentence for each that was trimmed or left out."""
    kept: list[Clip] = []
    told = ""
    for clip in clips:
        free, _ = apart([clip], [*taken, *kept])
        kept += free
        number = len(taken) + len(kept)
        if not free:
            told += f" “{clip.title}” is left out, for it is shown already."
        elif free[0] != clip:
            told += f" Clip {number}, “{clip.title}”, is trimmed to {_span(free[0])}, so that nothing is shown twice."
    return kept, told


def change_of(lesson: Lesson, new: Sequence[Clip]) -> Told:
    """What changes when ``new`` takes the place of the lesson's clips."""
    old = lesson.clips
    told = _cover(old, new) or (_changed_one(old, new) if len(old) == len(new) else _removed_one(old, new))
    if told is None:
        told = Told("The clips are saved.", "changed the clips")
    return replace(told, step=f"{told.step} of the lesson “{lesson.title}”")


def _cover(old: Sequence[Clip], new: Sequence[Clip]) -> Told | None:
    """Another cover, if that is all."""
    chosen = next((number for number, clip in enumerate(new, 1) if clip.is_cover), None)
    if list(new) == list(old) or list(new) != list(with_cover(old, chosen)):
        return None
    if chosen is None:
        return Told("The picture of the first clip is the cover again.", "took back the choice of the cover")
    return Told(f"The picture of clip {chosen} is the cover now.", f"made the picture of clip {chosen} the cover")


def added(lesson: Lesson, count: int) -> str:
    """The words for the step of undo that adds clips."""
    return f"added {counted(count, 'clip')} to the lesson “{lesson.title}”"


def _changed_one(old: Sequence[Clip], new: Sequence[Clip]) -> Told | None:
    places = [place for place, pair in enumerate(zip(old, new, strict=True)) if pair[0] != pair[1]]
    if len(places) == 1:
        return _one_clip(places[0] + 1, old[places[0]], new[places[0]])
    if len(places) > 1 and (move := _move(old, new, places[0], places[-1])):
        start, end = (place + 1 for place in move)
        return Told(f"Clip {start} is now clip {end}.", f"moved clip {start} to place {end}")
    return None


def _move(old: Sequence[Clip], new: Sequence[Clip], first: int, last: int) -> tuple[int, int] | None:
    """From where to where one clip was moved, if that is all."""
    if [*old[:first], *old[first + 1 : last + 1], old[first], *old[last + 1 :]] == list(new):
        return first, last
    if [*old[:first], old[last], *old[first:last], *old[last + 1 :]] == list(new):
        return last, first
    return None


def _one_clip(number: int, old: Clip, new: Clip) -> Told:
    if new == replace(old, start_ms=new.start_ms, end_ms=new.end_ms):
        return Told(f"Clip {number} now runs from {_span(new)}.", f"trimmed clip {number}")
    if new == replace(old, before=new.before):
        return _set_against(number, old, new)
    for name, words in CHANGED:
        if new == replace(old, **{name: getattr(new, name)}):
            return Told(f"The {words} of clip {number} is saved.", f"changed the {words} of clip {number}")
    return Told(f"Clip {number} is saved.", f"changed clip {number}")


def _set_against(number: int, old: Clip, new: Clip) -> Told:
    if new.before is None:
        return Told(f"Clip {number} stands alone again.", f"set clip {number} against nothing")
    if old.before is not None and replace(old.before, is_beside=new.before.is_beside) == new.before:
        how = "side by side" if new.before.is_beside else "one after the other"
        return Told(f"Clip {number} and what it is set against are shown {how}.", f"showed clip {number} {how}")
    return Told(f"Clip {number} is set against an earlier moment.", f"set clip {number} against an earlier moment")


def _removed_one(old: Sequence[Clip], new: Sequence[Clip]) -> Told | None:
    for place in range(len(old)):
        if [*old[:place], *old[place + 1 :]] == list(new):
            return Told(f"Clip {place + 1} is removed.", f"removed clip {place + 1}")
    return None


def _span(clip: Clip) -> str:
    """From and to, as the fields of the page show it."""
    return " to ".join(f"{clock(ms)}.{ms % 1000:03d}" for ms in (clip.start_ms, clip.end_ms))
