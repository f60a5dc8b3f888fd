"""Drafts what frames a lesson from what the library says, for the maker to edit. No I/O.

Goal first, the steps announced, each with a title, and a review at the end (van der
Meij and van der Meij 2013; Swarts 2012). Nothing is made up: each text is put together
from tags and readings, and says from which. Who the lesson is for only the maker knows.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from annotate.lesson.told.choosing import tag_title
from annotate.lesson.told.compared import measured
from annotate.lesson.told.material import Material, Step
from annotate.lesson.told.summary import all_numbers
from annotate.model import MAX_NOTE, Lesson, Tag
from annotate.timecode import clock

MOST_STEPS = 12  # more are counted, not named: nobody would read them
MOST_NAMED = 4  # of what a text was drafted from, likewise


@dataclass(frozen=True)
class Draft:
    """A drafted text, and what it was drafted from; an empty text says what there was nothing of."""

    text: str
    source: str


@dataclass(frozen=True)
class Drafted:
    """What can be drafted for a lesson; ``titles`` has one for each clip, in order."""

    goal: Draft
    steps: Draft
    titles: tuple[Draft, ...]
    tools: Draft
    review: Draft


def draft(material: Material) -> Drafted:
    """All drafts for a lesson, whatever the maker has written already."""
    titles = tuple(_title(step) for step in material.steps)
    announced = _announced(material.steps, titles)
    return Drafted(_goal(material.steps), announced, titles, _tools(material), _review(material))


def filled(lesson: Lesson, drafted: Drafted, numbers: Sequence[int] = ()) -> Lesson:
    """The lesson with the drafts in its empty fields; what the maker wrote stays.

    ``numbers`` says which clips (from 1) the titles belong to, where not all could be read.
    """
    titles = dict(zip(numbers or range(1, len(lesson.clips) + 1), drafted.titles, strict=True))
    clips = tuple(
        clip if clip.title.strip() or number not in titles else replace(clip, title=titles[number].text)
        for number, clip in enumerate(lesson.clips, 1)
    )
    return replace(
        lesson,
        clips=clips,
        goal=lesson.goal if lesson.goal.strip() else drafted.goal.text,
        review=lesson.review if lesson.review.strip() else drafted.review.text,
        tools=lesson.tools or tuple(tool for tool in drafted.tools.text.split(", ") if tool),
    )


def _goal(steps: Sequence[Step]) -> Draft:
    """What was wrong with each reed, by the symptoms of its tags: that is what the work was for."""
    found: dict[str, dict[str, None]] = {}
    tags: list[str] = []
    for step in steps:
        for tag in step.tags:
            labels = [step.words.label("symptoms", symptom).lower() for symptom in tag.symptoms]
            if labels:
                reed = f"reed {step.reed.name}" if step.reed else "the reed"
                found.setdefault(reed, {}).update(dict.fromkeys(labels))
                tags.append(_named_tag(step, tag))
    if not found:
        return Draft("", "no tag of these clips names a symptom")
    sentences = [f"Mend what was found on {reed}: {', '.join(labels)}." for reed, labels in found.items()]
    return Draft(_short(" ".join(sentences)), f"the symptoms of {_listed(tags)}")


def _title(step: Step) -> Draft:
    """What was done where, from the step's first tag."""
    if not step.tags:
        return Draft("", "no tag lies in this clip")
    tag = step.tags[0]
    return Draft(tag_title(tag, step.words), f"the tag {_named_tag(step, tag)}")


def _announced(steps: Sequence[Step], titles: Sequence[Draft]) -> Draft:
    """What will be shown, in order."""
    if not steps:
        return Draft("", "there are no clips")
    named = [step.clip.title.strip() or title.text or step.title for step, title in zip(steps, titles, strict=True)]
    more = len(named) - MOST_STEPS
    count = "One step" if len(named) == 1 else f"{len(named)} steps"
    listed = "; ".join(named[:MOST_STEPS]) + (f"; and {more} more" if more > 0 else "")
    return Draft(f"{count}: {listed}.", "the titles of the clips")


def _tools(material: Material) -> Draft:
    """The measuring instruments that the readings name; which knife it was, no tag says."""
    readings = [(step, one) for step in material.steps for one in step.readings if one.tool.strip()]
    names = dict.fromkeys(one.tool.strip() for _, one in readings)
    if not names:
        return Draft("", "no reading of these clips names its instrument")
    told = [_named(measured(step, one, names_reed=False), step, one.at_ms or 0) for step, one in readings]
    return Draft(", ".join(names), f"the instruments of {_listed(told)}")


def _review(material: Material) -> Draft:
    """The numbers before and after."""
    rows = [row for row in all_numbers(material) if "–" not in row[1:]]
    if not rows:
        return Draft("", "nothing in these clips was measured twice")
    text = " ".join(f"{what}: {before} before, {after} after." for what, before, after in rows)
    heard = any(step.heard for step in material.steps)
    return Draft(_short(text), "the readings" + (" and the sounds" if heard else "") + " before and after")


def _short(text: str) -> str:
    """A text that fits into its field; whole sentences only."""
    return text if len(text) <= MAX_NOTE else text[:MAX_NOTE].rsplit(". ", 1)[0] + "."


def _named_tag(step: Step, tag: Tag) -> str:
    return _named(tag_title(tag, step.words), step, tag.start_ms)


def _named(what: str, step: Step, at_ms: int) -> str:
    """Something of a clip so that its maker knows it again: what it is, when, and on which day."""
    return f"“{what}” at {clock(at_ms)} ({step.session.date})"


def _listed(names: Iterable[str]) -> str:
    known = list(dict.fromkeys(names))
    kept, more = known[:MOST_NAMED], len(known) - MOST_NAMED
    if more > 0:
        return f"{', '.join(kept)} and {more} more"
    return kept[0] if len(kept) == 1 else f"{', '.join(kept[:-1])} and {kept[-1]}"
