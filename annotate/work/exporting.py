"""Gathers what a lesson is made from out of the library, and exports it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from annotate.errors import BadInput, NotFound
from annotate.lesson.cutting.pieces import FilmOptions
from annotate.lesson.export import Exported, export_lesson, folder_name
from annotate.lesson.told.material import Material, Step
from annotate.library import Library
from annotate.model import Clip, Job, Lesson, Session, Tag
from annotate.vocabulary.counted import counted
from annotate.work.files import check_files, check_unchanged
from annotate.work.report import Report
from annotate.work.set_against import heard

KEYS = ("film", "vtt", "srt", "chapters", "summary_html", "summary_md", "summary_pdf", "cover", "zip")
MARKED = {"private": "not to share", "people": "showing people", "undecided": "not decided"}
TITLE_LENGTH = 150  # of a clip's title, so that the reed and the day have room after it
CHECKED = 0.02  # of the progress: reading the files of recordings that are not in the library's folder


def gather(library: Library, lesson: Lesson, *, needs_files: bool = True) -> Material:
    """The lesson with everything that lies in the time of its clips.

    Raises
    ------
    Missing
        If the file of a recording is gone or is not the same any more; not unless ``needs_files``.
    """
    if needs_files:
        check_files(library, lesson)
    return Material(lesson, tuple(_with_before(library, number, clip) for number, clip in enumerate(lesson.clips, 1)))


def _with_before(library: Library, number: int, clip: Clip) -> Step:
    """A clip as a step, and what it is set against as another."""
    step, before = step_of(library, number, clip), clip.before
    if before is None:
        return step
    other = step_of(library, number, Clip(before.recording_id, before.start_ms, before.end_ms))
    return replace(step, before=other, heard=heard(library, before, clip))


def step_of(library: Library, number: int, clip: Clip) -> Step:
    """A clip with everything that lies in its time."""
    recording = library.recordings.get(clip.recording_id)
    start, end = clip.start_ms, clip.end_ms
    tags = tags_of(clip, library.tags.of_recording(recording.id))
    reed_id = tags[0].reed_id if tags else library.recordings.reed_at(recording, start)
    readings = [one for one in library.readings.of_session(recording.session_id) if one.recording_id == recording.id]
    return Step(
        number=number,
        clip=clip,
        path=library.recordings.file(recording),
        recording=recording,
        session=library.sessions.get(recording.session_id),
        reed=library.reeds.get(reed_id) if reed_id else None,
        tags=tags,
        lines=tuple(x for x in library.lines.of_recording(recording.id) if x.start_ms < end and x.end_ms > start),
        readings=tuple(x for x in readings if x.at_ms is not None and start <= x.at_ms < end),
        corrections=tuple(
            x for x in library.corrections.of_recording(recording.id) if x.start_ms < end and x.end_ms > start
        ),
        sounds=tuple(x for x in library.recordings.sounds(recording.id) if x.start_ms < end and x.end_ms > start),
    )


def tags_of(clip: Clip, tags: Sequence[Tag]) -> tuple[Tag, ...]:
    """The tags a clip shows: its own first, then those that lie in it for more than half of their length."""
    own = [tag for tag in tags if tag.id == clip.tag_id]
    inside = [
        tag
        for tag in tags
        if tag.id != clip.tag_id
        and 2 * (min(tag.end_ms, clip.end_ms) - max(tag.start_ms, clip.start_ms)) > tag.end_ms - tag.start_ms
    ]
    return (*own, *inside)


def ask_about(library: Library, lesson: Lesson) -> list[Session]:
    """The sessions of a lesson that are not free to share: they are asked about before anything leaves.

    A removed recording has nothing that could leave; the export refuses it by itself.
    """
    found: dict[int, Session] = {}
    for recording_id in lesson.recording_ids:
        try:
            session = library.sessions.get(library.recordings.get(recording_id).session_id)
        except NotFound:
            continue
        if session.sharing != "free":
            found[session.id] = session
    return list(found.values())


def put_export(library: Library, lesson: Lesson, clip: int | None = None) -> Job:
    """Queue the export of a lesson as it is now, or of one clip of it alone (the first is 1).

    The sessions asked about by then may leave, as they are marked now; later ones, and those marked anew, may not.
    """
    subject: dict[str, int | str] = {"lesson_id": lesson.id, "version": lesson.version}
    if clip is not None:
        lesson = single(library, lesson, clip)
        subject |= {"clip": clip, **stretch(lesson.clips[0])}
    subject["agreed"] = ",".join(_as_marked(session) for session in ask_about(library, lesson))
    return library.jobs.put("export", subject)


def _as_marked(session: Session) -> str:
    """A session and how it was marked when it was asked about."""
    return f"{session.id}:{session.sharing}"


def _check_agreed(library: Library, lesson: Lesson, agreed: str) -> None:
    """Raise unless every session that is not free was asked about, as it is marked now."""
    known = agreed.split(",")
    for session in ask_about(library, lesson):
        if _as_marked(session) in known:
            continue
        was_asked = any(one.partition(":")[0] == str(session.id) for one in known)
        why = f"which has been marked as {MARKED[session.sharing]} since" if was_asked else "which was not asked about"
        raise BadInput(
            f"holds a clip of the session of {session.date}, {why}",
            lesson.title,
            "Nothing was exported. Export it again from the lesson's page, or take the clip out.",
        )


def stretch(clip: Clip) -> dict[str, int]:
    """By what the export of one clip is known again when the clips have changed places."""
    return {"of_recording": clip.recording_id, "from_ms": clip.start_ms, "to_ms": clip.end_ms}


def single(library: Library, lesson: Lesson, number: int) -> Lesson:
    """One clip of a lesson as a lesson of its own: no cards, and nothing that is said of the whole.

    Raises
    ------
    BadInput
        If there is no such clip.
    """
    if not 1 <= number <= len(lesson.clips):
        raise BadInput(f"has no clip {number}", lesson.title, f"It has {counted(len(lesson.clips), 'clip')}.")
    alone = replace(lesson, clips=(lesson.clips[number - 1],))
    step = gather(library, alone, needs_files=False).steps[0]
    title = f"{step.title[:TITLE_LENGTH]} ({step.where})"  # without cards, the title alone says which reed and day
    return replace(alone, title=title, goal="", review="", note="", tools=(), has_title_cards=False)


def export(library: Library, job: Job, report: Report) -> dict[str, str]:
    """The task "export": subject ``lesson_id``, and ``clip`` for one clip alone.

    The results are paths relative to the library's folder.
    """
    lesson = library.lessons.get(int(job.subject["lesson_id"]))
    if not lesson.clips:
        raise BadInput("has no clips", lesson.title, "Add a clip first.")
    folder = library.path("lessons") / folder_name(lesson.id, lesson.title)
    if "clip" in job.subject:
        number = _number(job, lesson)
        lesson = single(library, lesson, number)
        folder = library.path("lessons") / "clips" / folder_name(lesson.id, f"{number:03d} {lesson.title}")
    _check_agreed(library, lesson, str(job.subject.get("agreed", "")))
    report.progress(0.0, "looking at the recordings")
    check_unchanged(library, lesson, lambda done: report.progress(done * CHECKED), report.cancelled)
    report.progress(CHECKED, "making the film")
    options = FilmOptions(cache_folder=library.path("cache"))

    def told(done: float) -> None:
        report.progress(CHECKED + done * (1 - CHECKED))

    made = export_lesson(gather(library, lesson), folder, options, told, report.cancelled)
    return _relative(library, made)


def _number(job: Job, lesson: Lesson) -> int:
    """Which clip is asked for: the one of that stretch, wherever it was moved to since."""
    for number, clip in enumerate(lesson.clips, 1):
        if stretch(clip).items() <= job.subject.items():
            return number
    if "of_recording" in job.subject:
        raise BadInput("The clip was trimmed or taken out since", lesson.title, "Export it again.")
    return int(job.subject["clip"])


def _relative(library: Library, made: Exported) -> dict[str, str]:
    found = {key: getattr(made, key) for key in ("folder", *KEYS)}
    return {key: path.relative_to(library.folder).as_posix() for key, path in found.items()}
