"""What leaves the library besides a whole lesson: drafts, one clip, a whole recording; and files found again."""

import shutil
import threading
import zipfile
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import av
import pytest

from annotate.errors import BadInput, Missing, NotFound
from annotate.formats import chapters, subrip, webvtt
from annotate.lesson.cutting.pieces import FilmOptions
from annotate.lesson.export import export_lesson
from annotate.lesson.told.choosing import tag_title
from annotate.library import Library
from annotate.model import Clip, Lesson, Line, Reading, Recording, Reed, Session, Tag, Word
from annotate.vocabulary import vocabulary
from annotate.work.adding import Adding, add_file
from annotate.work.drafting import drafted, with_drafts
from annotate.work.exporting import ask_about, export, gather, put_export, single
from annotate.work.files import check_unchanged
from annotate.work.finding import find_file
from annotate.work.report import Silent
from annotate.work.whole import whole_recording, write_whole
from tests import media
from tests.making import a_line, a_recording

SECRET = "48.2082"  # of the place a file was made at
FAST = FilmOptions(preset="ultrafast")


def placed(folder: Path) -> Path:
    """A recording whose file says where it was made, on what, and by whom."""
    made = folder / "placed.mp4"
    about = {"location": f"+{SECRET}+016.3738/", "make": "Lensmaker", "model": "Box 7", "artist": "A. Maker"}
    told = [word for key, value in about.items() for word in ("-metadata", f"{key}={value}")]
    media.ffmpeg("-i", media.base(), "-c", "copy", *told, "-movflags", "use_metadata_tags", made)
    return made


def recorded(library: Library, path: Path, **how: object) -> Recording:
    reed = library.reeds.add(Reed("B-14"))
    session = library.sessions.add(Session("2026-03-14", place="A place that must not leave", sharing="free"))
    recording = add_file(library, path, session.id, Adding(reed_id=reed.id, **how))  # type: ignore[arg-type]
    library.lines.hear(recording.id, [a_line(recording, 500, "Take the rails down.")])
    library.tags.add(Tag(recording.id, 0, 2000, "scrape", ("rails",), reed_id=reed.id, symptoms=("resistant",)))
    library.tags.add(Tag(recording.id, 3000, 5000, "crow", reed_id=reed.id))
    for at_ms, value in ((500, "1.6"), (4000, "1.4")):
        library.readings.add(
            Reading("tip_opening", Decimal(value), "mm", recording_id=recording.id, at_ms=at_ms, tool="feeler gauge")
        )
    return recording


def clips_of(recording: Recording) -> tuple[Clip, ...]:
    return Clip(recording.id, 0, 2000), Clip(recording.id, 3000, 5000, "Listen again")


def test_drafts_say_what_they_were_drafted_from(library: Library) -> None:
    recording = recorded(library, media.base())
    made = drafted(library, Lesson("x", clips=clips_of(recording)))
    assert made.goal.text == "Mend what was found on reed B-14: too resistant."
    assert made.goal.source == "the symptoms of “Scrape: rails” at 0:00 (2026-03-14)"
    assert [(one.text, one.source) for one in made.titles] == [
        ("Scrape: rails", "the tag “Scrape: rails” at 0:00 (2026-03-14)"),
        ("Crow", "the tag “Crow” at 0:03 (2026-03-14)"),
    ]
    assert made.steps.text == "2 steps: Scrape: rails; Listen again."
    assert made.tools.text == "feeler gauge"
    assert made.tools.source == (
        "the instruments of “Tip opening” at 0:00 (2026-03-14) and “Tip opening” at 0:04 (2026-03-14)"
    )
    assert made.review.text == "Tip opening: 1.6 mm (0.063 in) before, 1.4 mm (0.055 in) after."


def test_drafts_fill_only_what_is_empty(library: Library) -> None:
    recording = recorded(library, media.base())
    lesson = with_drafts(library, Lesson("x", goal="My own", clips=clips_of(recording)))
    assert (lesson.goal, lesson.audience) == ("My own", "")
    assert [clip.title for clip in lesson.clips] == ["Scrape: rails", "Listen again"]
    assert lesson.review.startswith("Tip opening: 1.6 mm")
    assert with_drafts(library, lesson) == lesson


def test_where_nothing_was_said_nothing_is_drafted(library: Library) -> None:
    recording = a_recording(library)  # its file does not exist, which drafts do not need
    made = drafted(library, Lesson("x", clips=(Clip(recording.id, 0, 2000), Clip(99, 0, 1000, "Gone"))))
    assert (made.goal.text, made.tools.text, made.review.text) == ("", "", "")
    assert made.goal.source == "no tag of these clips names a symptom"
    assert made.review.source == "nothing in these clips was measured twice"
    lesson = Lesson("x", clips=(Clip(99, 0, 1000), Clip(recording.id, 0, 2000)))
    assert with_drafts(library, lesson) == lesson
    assert drafted(library, Lesson("x")).steps.source == "there are no clips"


def test_one_clip_leaves_alone_with_all_that_belongs_to_it(library: Library, tmp_path: Path) -> None:
    recording = recorded(library, placed(tmp_path))
    lesson = library.lessons.add(Lesson("Both", "A goal", review="A review", clips=clips_of(recording)))
    made = export(library, put_export(library, lesson, 1), Silent())
    folder = library.path(made["folder"])
    assert folder == library.path("lessons/clips/001-001-scrape-rails-reed-b-14-2026-03-14")
    with av.open(str(library.path(made["film"]))) as film:
        names = [chapter["metadata"]["title"] for chapter in film.chapters()]
        tags = {**film.metadata, **{k: v for stream in film.streams for k, v in stream.metadata.items()}}
        title = film.metadata["title"]
        assert abs(round(film.duration / 1000) - 2000) <= 34
    assert names == ["1. Scrape: rails"]
    assert not {key for key in tags if "location" in key.lower() or key.lower() in ("make", "model", "artist")}
    assert library.path(made["chapters"]).read_text("utf-8") == "0:00 1. Scrape: rails\n"
    (cue,) = webvtt.read(library.path(made["vtt"]).read_text("utf-8"))
    assert (cue.text.replace("\n", " "), abs(cue.start_ms - 500) <= 34) == ("Take the rails down.", True)
    assert (folder / "stills" / "step-01.jpg").read_bytes() == library.path(made["cover"]).read_bytes()
    summary = library.path(made["summary_md"]).read_text("utf-8")
    assert title == "Scrape: rails (Reed B-14, 2026-03-14)"
    assert "Reed B-14, 2026-03-14" in summary and "A goal" not in summary and "A review" not in summary
    nothing_says_where(folder)


def nothing_says_where(folder: Path) -> None:
    """No file, and none in the zip, holds a word of place, device or owner."""
    found = [path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()]
    for path in folder.rglob("*.zip"):
        with zipfile.ZipFile(path) as archive:
            found += [archive.read(name) for name in archive.namelist()]
    assert found
    for word in (SECRET, "Lensmaker", "Box 7", "A. Maker", "A place that must not leave"):
        assert not any(word.encode() in data for data in found), word


def test_the_file_with_a_place_has_one(tmp_path: Path) -> None:
    assert SECRET.encode() in placed(tmp_path).read_bytes()  # else the tests above would show nothing


def test_a_clip_that_is_not_there_is_refused(library: Library) -> None:
    lesson = library.lessons.add(Lesson("Both", clips=clips_of(recorded(library, media.base()))))
    for number in (0, 3, -1):
        with pytest.raises(BadInput, match=f"has no clip {number}. It has 2 clips."):
            single(library, lesson, number)


def test_a_clip_alone_asks_only_about_its_own_session(library: Library) -> None:
    recording = recorded(library, media.base())
    private = a_recording(library)  # nobody has said whether it may be shared
    lesson = library.lessons.add(Lesson("x", clips=(*clips_of(recording), Clip(private.id, 0, 1000))))
    assert put_export(library, lesson, 1).subject["agreed"] == ""
    assert put_export(library, lesson, 3).subject["agreed"] == f"{private.session_id}:undecided"
    assert [one.id for one in ask_about(library, replace(lesson, clips=(Clip(99, 0, 9), *lesson.clips)))] == [2]


def test_a_whole_recording_has_chapters_and_captions(library: Library, tmp_path: Path) -> None:
    recording = recorded(library, placed(tmp_path))
    made = whole_recording(library, recording.id)
    assert made.chapters_text == "0:00 Reed B-14, 2026-03-14; Scrape: rails\n0:03 Crow\n"
    assert [cue.text for cue in made.captions] == ["Take the rails down."]
    files = write_whole(library, recording.id, tmp_path / "out")
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "2026-03-14-b-14-001.chapters.txt",
        "2026-03-14-b-14-001.srt",
        "2026-03-14-b-14-001.vtt",
    ]
    assert webvtt.read(files["vtt"].read_text("utf-8")) == list(made.captions)
    assert [cue.start_ms for cue in subrip.read(files["srt"].read_text("utf-8"))] == [500]
    assert len(chapters.read_text(files["chapters"].read_text("utf-8"), recording.duration_ms)) == 2
    nothing_says_where(tmp_path / "out")


def test_an_independent_reader_reads_the_captions_of_a_whole_recording(library: Library, tmp_path: Path) -> None:
    recording = recorded(library, media.base())
    files = write_whole(library, recording.id, tmp_path)
    for kind in ("vtt", "srt"):
        with av.open(str(files[kind])) as track:
            assert [packet.pts for packet in track.demux() if packet.size][:1] == [500]


def test_tags_of_one_second_share_a_chapter(library: Library) -> None:
    recording = a_recording(library)
    for start, step in ((10_100, "crow"), (10_900, "measure"), (20_000, "clip")):
        library.tags.add(Tag(recording.id, start, start + 500, step))
    assert whole_recording(library, recording.id).chapters_text == (
        "0:00 2026-03-14\n0:10 Crow; Measure\n0:20 Clip the tip\n"
    )


def test_a_file_is_found_by_its_content_and_undo_takes_it_back(library: Library, tmp_path: Path) -> None:
    here = Path(shutil.copy(media.base(), tmp_path / "here.mp4"))
    recording = recorded(library, here, keep=False)
    other = tmp_path / "elsewhere" / "deep"
    other.mkdir(parents=True)
    (other / "a.mp4").write_bytes(bytes(here.stat().st_size))  # the size fits, the content does not
    here.rename(other / "面取り & new name.mov")
    lesson = library.lessons.add(Lesson("x", clips=clips_of(recording)))
    with pytest.raises(Missing, match="look for it: benchreel recording find-file 1 FOLDER"):
        gather(library, lesson)
    assert find_file(library, recording.id, tmp_path).path == str(other / "面取り & new name.mov")
    assert len(gather(library, lesson).steps) == 2
    library.journal.undo()
    assert library.recordings.get(recording.id).path == str(here)


def test_a_lost_copy_of_the_library_is_written_anew(library: Library, tmp_path: Path) -> None:
    recording = recorded(library, media.base())
    library.recordings.file(recording).unlink()
    assert find_file(library, recording.id, media.base().parent) == recording
    assert library.recordings.file(recording).read_bytes() == media.base().read_bytes()


def test_where_the_file_is_not_it_says_so(library: Library, tmp_path: Path) -> None:
    recording = recorded(library, media.base())
    with pytest.raises(NotFound, match=r"recording 1 \(base.mp4\) is not in .*: no file there has its size"):
        find_file(library, recording.id, tmp_path / "library" / "lessons")
    with pytest.raises(BadInput, match="is not a folder"):
        find_file(library, recording.id, tmp_path / "nowhere")


def test_a_source_that_was_edited_since_is_said(library: Library, tmp_path: Path) -> None:
    here = Path(shutil.copy(media.base(), tmp_path / "here.mp4"))
    recording = recorded(library, here, keep=False)
    lesson = library.lessons.add(Lesson("x", clips=clips_of(recording)))
    check_unchanged(library, lesson)
    data = bytearray(here.read_bytes())
    data[len(data) // 2] ^= 1
    here.write_bytes(data)
    with pytest.raises(Missing, match="is not the file any more that was added"):
        export(library, put_export(library, lesson), Silent())
    here.write_bytes(data + b"more")
    with pytest.raises(Missing, match="it was edited since"):
        gather(library, lesson)


def test_two_exports_to_one_name_at_once_leave_one_whole(library: Library, tmp_path: Path) -> None:
    recording = recorded(library, media.base())
    material = gather(library, Lesson("x", clips=clips_of(recording)[:1], has_title_cards=False))
    wrong: list[BaseException] = []

    def run() -> None:
        try:
            export_lesson(material, tmp_path / "out", FAST)
        except BaseException as error:
            wrong.append(error)

    threads = [threading.Thread(target=run) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
    assert sorted(path.name for path in tmp_path.iterdir()) == ["library", "out"]
    with zipfile.ZipFile(tmp_path / "out" / "lesson.zip") as archive:
        assert archive.testzip() is None


def test_a_line_over_a_joint_is_no_trouble_for_a_whole_recording(library: Library) -> None:
    recording = a_recording(library)
    late = Line(recording.id, 59_000, 61_000, "Past the end", (Word(59_000, 61_000, "Past"),))
    library.lines.hear(recording.id, [late])
    assert all(cue.end_ms <= 60_000 for cue in whole_recording(library, recording.id).captions)


def test_a_title_does_not_say_the_place_twice() -> None:
    words = vocabulary("bassoon")
    assert tag_title(Tag(1, 0, 9, "clip", ("tip", "corners")), words) == "Clip the tip: corners"
    assert tag_title(Tag(1, 0, 9, "clip", ("tip",)), words) == "Clip the tip"
    assert tag_title(Tag(1, 0, 9, "wires", ("wire_2",)), words) == "Wires: second wire"
