"""Fills a library with the demo's invented scenario: what its maker would add and enter.

Lines and sounds are not entered: they come from listening, like anyone's.
Running it again adds nothing twice.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from annotate.errors import AlreadyThere
from annotate.library import Library
from annotate.model import Clip, Correction, Job, Lesson, Reading, Recording, Reed, Session, Tag
from annotate.work.adding import Adding, add_file, jobs_for
from annotate.work.drafting import with_drafts


@dataclass(frozen=True)
class DemoResult:
    """Ids of what the demo holds, and the files of each exported lesson."""

    sessions: tuple[int, ...]
    reeds: tuple[int, ...]
    lessons: tuple[int, ...]
    exports: tuple[dict[str, str], ...] = ()

    def with_exports(self, exports: list[dict[str, str]]) -> DemoResult:
        """The same with the exported files."""
        return replace(self, exports=tuple(exports))


def fill_demo(library: Library, progress: Callable[[float], None]) -> tuple[DemoResult, list[Job]]:
    """Add the scenario; gives what is there, and the work that waits."""
    from demo_media import scenario  # the product does not need the demo

    story = scenario()
    reeds = {one["name"]: _reed(library, one) for one in story["reeds"]}
    recordings: dict[str, Recording] = {}
    jobs: list[Job] = []
    for number, told in enumerate(story["sessions"]):
        jobs += _session(library, told, reeds, recordings)
        progress((number + 1) / len(story["sessions"]))
    lessons = [_lesson(library, told, recordings) for told in story["lessons"]]
    sessions = dict.fromkeys(recording.session_id for recording in recordings.values())
    result = DemoResult(
        tuple(sessions), tuple(reed.id for reed in reeds.values()), tuple(lesson.id for lesson in lessons)
    )
    return result, jobs


def _reed(library: Library, told: dict[str, Any]) -> Reed:
    try:
        return library.reeds.add(Reed(**told))
    except AlreadyThere as error:
        return library.reeds.get(error.existing_id)


def _session(
    library: Library, told: dict[str, Any], reeds: dict[str, Reed], recordings: dict[str, Recording]
) -> list[Job]:
    from demo_media import media_path

    about = {key: _exact(value) for key, value in told.items() if key != "recordings"}
    made: list[int] = []

    def session(_: str | None) -> int:
        if not made:
            made.append(library.sessions.add(Session(**{"sharing": "free", **about})).id)
        return made[0]

    jobs = []
    for one in told["recordings"]:
        reed_id = reeds[one["reed"]].id
        try:
            recording = add_file(library, media_path(one["file"]), session, Adding(reed_id=reed_id))
        except AlreadyThere as error:
            recording = library.recordings.get(error.existing_id)
        recordings[one["file"]] = recording
        if not library.tags.of_recording(recording.id):
            _entries(library, recording, one, reeds)
        if not library.lines.of_recording(recording.id):
            jobs += jobs_for(library, recording)
    return jobs


def _exact(value: Any) -> Any:
    """A whole number as a Decimal; TOML gives the others as Decimal already."""
    return Decimal(value) if isinstance(value, int) else value


def _entries(library: Library, recording: Recording, told: dict[str, Any], reeds: dict[str, Reed]) -> None:
    """Tags, readings and corrections of a recording."""

    def values(one: dict[str, Any]) -> dict[str, Any]:
        known = {key: tuple(value) if isinstance(value, list) else value for key, value in one.items() if key != "reed"}
        if "value" in known:
            known["value"] = _exact(known["value"])
        if "reed" in one:
            known["reed_id"] = reeds[one["reed"]].id
        return known

    library.tags.add_all([Tag(recording.id, **values(one)) for one in told.get("tags", ())])
    library.readings.add_all([Reading(recording_id=recording.id, **values(one)) for one in told.get("readings", ())])
    library.corrections.add_all([Correction(recording.id, **values(one)) for one in told.get("corrections", ())])


def _lesson(library: Library, told: dict[str, Any], recordings: dict[str, Recording]) -> Lesson:
    same = [lesson for lesson in library.lessons.all() if lesson.title == told["title"]]
    if same:
        return same[0]
    clips = []
    for one in told["clips"]:
        about = {key: value for key, value in one.items() if key != "file"}
        clips.append(Clip(recordings[one["file"]].id, **about))
    about = {key: tuple(v) if isinstance(v, list) else v for key, v in told.items() if key != "clips"}
    # What the scenario leaves out is drafted, as it would be for a maker.
    return library.lessons.add(with_drafts(library, Lesson(clips=tuple(clips), **about)))
