"""Commands for lessons: choose, order, title, export."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from annotate.cli import lesson_texts
from annotate.cli.common import TIME, command, opened, show, watch_jobs
from annotate.cli.lesson_choices import (
    chosen_clip,
    chosen_showing,
    clip_options,
    clip_text,
    showing_options,
    showing_text,
)
from annotate.cli.lesson_texts import ask_first, draft_text
from annotate.errors import BadInput, ToolFailed
from annotate.lesson.told.choosing import apart, clip_of_tag, has_still_inside, with_cover, with_stills_inside
from annotate.model import Clip, Lesson
from annotate.timecode import clock_tenths
from annotate.vocabulary.counted import counted
from annotate.work.drafting import drafted, with_drafts
from annotate.work.exporting import put_export, single


def register(cli: click.Group) -> None:
    """Add the commands."""

    @cli.group()
    def lesson() -> None:
        """Lessons: chosen clips with titles, captions, cautions and a summary."""

    _making(lesson)
    _clips(lesson)
    _export(lesson)
    lesson_texts.register(lesson)


def lesson_text(lesson: Lesson) -> list[str]:
    """A lesson in a few lines."""
    lines = [f"Lesson {lesson.id}: {lesson.title}", *showing_text(lesson)]
    for number, clip in enumerate(lesson.clips, 1):
        span = f"{clock_tenths(clip.start_ms)} to {clock_tenths(clip.end_ms)}"
        lines.append(f"{number:>4}  recording {clip.recording_id}, {span}  {clip.title}")
        lines += clip_text(clip)
    return lines


def _making(lesson: click.Group) -> None:
    @command(lesson, "new")
    @click.argument("title")
    @click.option("--tag", "tag_ids", type=int, multiple=True, help="A tag to show; may be given several times.")
    @click.option("--session", "session_id", type=int, help="Show all tags of this session.")
    @click.option("--goal", default="")
    @click.option("--for", "audience", default="", help="Who it is for.")
    @click.option("--tool", "tools", multiple=True)
    def new(
        folder: Path, as_json: bool, title: str, tag_ids: tuple[int, ...], session_id: int | None, **about: Any
    ) -> None:
        """Start a lesson from tags, or from all tags of a session; what you leave out is drafted from them."""
        with opened(folder) as library:
            tags = [library.tags.get(tag_id) for tag_id in tag_ids]
            if session_id is not None:
                tags += library.tags.in_time(library.tags.of_session(library.sessions.get(session_id).id))
            clips, _ = apart(clip_of_tag(tag, library.reeds.words(tag.reed_id)) for tag in tags)
            bare = Lesson(title, clips=tuple(clips), **about)
            made = library.lessons.add(with_drafts(library, bare))
            drafts = draft_text(drafted(library, bare)) if clips else []
        show(as_json, made, [*lesson_text(made), *(f"  {line}" for line in drafts)])

    @command(lesson, "list")
    def list_(folder: Path, as_json: bool) -> None:
        """All lessons."""
        with opened(folder) as library:
            found = library.lessons.all()
        lines = [f"{one.id:>4}  {one.title} ({counted(len(one.clips), 'clip')})" for one in found]
        show(as_json, found, lines or "No lessons yet.")

    @command(lesson, "show")
    @click.argument("lesson_id", type=int)
    def show_(folder: Path, as_json: bool, lesson_id: int) -> None:
        """A lesson and its clips."""
        with opened(folder) as library:
            one = library.lessons.get(lesson_id)
        show(as_json, one, lesson_text(one))

    @command(lesson, "change")
    @click.argument("lesson_id", type=int)
    @click.option("--title")
    @click.option("--goal")
    @click.option("--for", "audience")
    @click.option("--tool", "tools", multiple=True, help="Replaces the list of tools.")
    @click.option("--review")
    @click.option("--note")
    @click.option("--title-cards/--no-title-cards", "has_title_cards", default=None)
    @showing_options
    def change(folder: Path, as_json: bool, lesson_id: int, **told: Any) -> None:
        """Change what frames a lesson, and how its clips are shown."""
        with opened(folder) as library:
            one = library.lessons.get(lesson_id)
            showing = chosen_showing(one.showing, told)
            given = {key: value for key, value in told.items() if value not in (None, ())}
            made = library.lessons.change(replace(one, showing=showing, **given))
        show(as_json, made, lesson_text(made))

    @command(lesson, "remove")
    @click.argument("lesson_id", type=int)
    def remove(folder: Path, as_json: bool, lesson_id: int) -> None:
        """Remove a lesson; undo brings it back. What was exported stays."""
        with opened(folder) as library:
            library.lessons.remove(lesson_id)
        show(as_json, {"removed": lesson_id}, f"Lesson {lesson_id} is removed; benchreel undo brings it back.")


def _clips(lesson: click.Group) -> None:
    @command(lesson, "add-clip")
    @click.argument("lesson_id", type=int)
    @click.argument("recording_id", type=int)
    @click.argument("start", type=TIME)
    @click.argument("end", type=TIME)
    @click.option("--title", default="")
    @click.option("--note", default="")
    @click.option("--place", type=int, help="Before which clip (1 is the first); else at the end.")
    def add_clip(
        folder: Path,
        as_json: bool,
        lesson_id: int,
        recording_id: int,
        start: int,
        end: int,
        place: int | None,
        **told: Any,
    ) -> None:
        """Add a stretch of a recording to a lesson."""
        with opened(folder) as library:
            one = library.lessons.get(lesson_id)
            clips = list(one.clips)
            clips.insert(len(clips) if place is None else max(place - 1, 0), Clip(recording_id, start, end, **told))
            made = library.lessons.change(replace(one, clips=tuple(clips)))
        show(as_json, made, lesson_text(made))

    @command(lesson, "change-clip")
    @click.argument("lesson_id", type=int)
    @click.argument("number", type=int)
    @click.option("--start", "start_ms", type=TIME)
    @click.option("--end", "end_ms", type=TIME)
    @click.option("--still", "still_ms", type=TIME, help="The moment whose picture stands in the summary.")
    @click.option("--cover/--no-cover", "is_cover", default=None, help="Its picture is the cover of the lesson.")
    @click.option("--title")
    @click.option("--note")
    @clip_options
    def change_clip(
        folder: Path, as_json: bool, lesson_id: int, number: int, is_cover: bool | None, **told: Any
    ) -> None:
        """Trim or title a clip, or say how it is shown (the first is number 1)."""
        with opened(folder) as library:
            one = library.lessons.get(lesson_id)
            clips = list(one.clips)
            clip = chosen_clip(clips[_index(one, number)], told)
            given = {key: value for key, value in told.items() if value is not None}
            clips[_index(one, number)] = replace(clip, **given)
            if "still_ms" in given and not has_still_inside(clips[number - 1]):
                raise BadInput("The picture lies outside the clip", f"clip {number}", "Choose a moment inside it.")
            kept, anew = with_stills_inside(clips)
            if is_cover:
                kept = with_cover(kept, number)
            elif is_cover is False and kept[number - 1].is_cover:
                kept = with_cover(kept, None)
            made = library.lessons.change(replace(one, clips=kept))
        show(as_json, made, [*lesson_text(made), *([anew.strip()] if anew else [])])

    @command(lesson, "move-clip")
    @click.argument("lesson_id", type=int)
    @click.argument("number", type=int)
    @click.argument("to", type=int)
    def move_clip(folder: Path, as_json: bool, lesson_id: int, number: int, to: int) -> None:
        """Put clip NUMBER in the place of clip TO."""
        with opened(folder) as library:
            one = library.lessons.get(lesson_id)
            clips = list(one.clips)
            clips.insert(_index(one, to), clips.pop(_index(one, number)))
            made = library.lessons.change(replace(one, clips=tuple(clips)))
        show(as_json, made, lesson_text(made))

    @command(lesson, "remove-clip")
    @click.argument("lesson_id", type=int)
    @click.argument("number", type=int)
    def remove_clip(folder: Path, as_json: bool, lesson_id: int, number: int) -> None:
        """Take a clip out of a lesson."""
        with opened(folder) as library:
            one = library.lessons.get(lesson_id)
            clips = list(one.clips)
            del clips[_index(one, number)]
            made = library.lessons.change(replace(one, clips=tuple(clips)))
        show(as_json, made, lesson_text(made))


def _index(lesson: Lesson, number: int) -> int:
    if not 1 <= number <= len(lesson.clips):
        raise BadInput(f"has no clip {number}", lesson.title, f"It has {len(lesson.clips)}.")
    return number - 1


def _export(lesson: click.Group) -> None:
    @command(lesson, "export")
    @click.argument("lesson_id", type=int)
    @click.option("--clip", "number", type=int, help="Export this clip alone (the first is 1).")
    @click.option("--yes", is_flag=True, help="Export although a session is not marked free to share.")
    def export(folder: Path, as_json: bool, lesson_id: int, number: int | None, yes: bool) -> None:
        """Make the film with chapters and captions, the summary, and a zip of all; or all that for one clip."""
        with opened(folder) as library:
            one = library.lessons.get(lesson_id)
            if not one.clips:
                raise BadInput("has no clips", one.title, "Add one with: benchreel lesson add-clip.")
            shown = one if number is None else single(library, one, number)
            if not yes:
                ask_first(library, shown)
            job = put_export(library, one, number)
            (ended,) = watch_jobs(library, [job], {job.id: f"Exporting {shown.title}"})
            files = {key: str(library.folder / value) for key, value in ended.result.items()}
        if ended.state != "done":
            raise ToolFailed(ended.error or "was cancelled", shown.title)
        show(as_json, {"lesson": one.id, "files": files}, [f"{key:<13} {value}" for key, value in files.items()])
