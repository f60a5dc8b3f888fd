"""A lesson out of the library: film, chapters, captions, summary, zip; whole or not at all."""

import subprocess
import sys
import zipfile
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import av
import html5lib
import pypdf
import pytest

from annotate.errors import BadInput, Cancelled, Missing
from annotate.formats import webvtt
from annotate.lesson.cutting.pieces import FilmOptions
from annotate.lesson.export import export_lesson, folder_name
from annotate.library import Library
from annotate.model import Clip, Correction, Lesson, Line, Reading, Recording, Reed, Session, Tag, Word
from annotate.work.adding import Adding, add_file
from annotate.work.exporting import export, gather, put_export
from annotate.work.report import Silent
from tests import media

TITLE = 'Rails & wings: <how much?> "3/16" — 面取り 🎵'


def recorded(library: Library) -> Recording:
    """A recording of six seconds with a line, two tags, readings before and after, and a correction."""
    reed = library.reeds.add(Reed("B-14"))
    session = library.sessions.add(Session("2026-03-14", place="A place that must not leave", sharing="free"))
    recording = add_file(library, media.base(), session.id, Adding(reed_id=reed.id))
    words = [Word(500, 900, "Take"), Word(900, 1300, "the"), Word(1300, 1800, "rails"), Word(1800, 2300, "<down>.")]
    library.lines.hear(recording.id, [Line(recording.id, 500, 2300, "Take the rails <down>.", tuple(words))])
    library.tags.add(Tag(recording.id, 0, 2000, "scrape", ("rails",), symptoms=("resistant",)))
    library.tags.add(Tag(recording.id, 3000, 5000, "crow"))
    for at_ms, value in ((500, "1.6"), (4000, "1.4")):
        at = Reading("tip_opening", Decimal(value), "mm", recording_id=recording.id, at_ms=at_ms, zone="opening")
        library.readings.add(at)
    library.corrections.add(Correction(recording.id, 1000, 1800, "the wings", "the rails"))
    return recording


def a_lesson(library: Library, recording: Recording) -> Lesson:
    clips = (Clip(recording.id, 3000, 5000, "Listen first"), Clip(recording.id, 0, 2000, "", "Eight strokes"))
    return library.lessons.add(Lesson(TITLE, "An easier reed", tools=("knife",), clips=clips))


def test_everything_comes_out_and_agrees(library: Library, tmp_path: Path) -> None:
    lesson = a_lesson(library, recorded(library))
    made = export_lesson(gather(library, lesson), tmp_path / "out", FilmOptions(preset="ultrafast"))
    with av.open(str(made.film)) as film:
        chapters = film.chapters()
        names = [chapter["metadata"]["title"] for chapter in chapters]
        kinds = sorted(stream.type for stream in film.streams)
        length_ms = round(film.duration / 1000)
        tags = {**film.metadata, **{k: v for stream in film.streams for k, v in stream.metadata.items()}}
    assert names == ["Goal", "1. Listen first", "2. Scrape: rails", "Review"]
    assert chapters[0]["start"] == 0
    assert "video" in kinds and "audio" in kinds and "subtitle" in kinds
    # Cards of 4 s, twice 2.4 s and 6 s; clips of twice 2 s; the correction takes 1.15 s to read and ends 0.2 s before
    # its clip, whose last picture is held for the rest: exact to one picture of 1/30 s.
    assert abs(length_ms - (4000 + 2 * 2400 + 6000 + 2 * 2000 + 950)) <= 34
    assert not {key for key in tags if "location" in key.lower() or key.lower() in ("make", "model", "artist")}
    texts = [cue.text for cue in webvtt.read(made.vtt.read_text("utf-8"))]
    assert "Take the rails" in texts[0].replace("\n", " ")
    assert "[Correction: the rails]" in " ".join(texts).replace("\n", " ")
    assert made.chapters.read_text("utf-8").splitlines()[:2] == ["0:00 Goal", "0:04 1. Listen first"]
    with zipfile.ZipFile(made.zip) as archive:
        assert archive.testzip() is None
        assert {"lesson.mp4", "summary.html", "stills/step-01.jpg"} <= set(archive.namelist())


def test_the_captions_lie_on_the_words_in_the_film(library: Library, tmp_path: Path) -> None:
    lesson = a_lesson(library, recorded(library))
    made = export_lesson(gather(library, lesson), tmp_path / "out", FilmOptions(preset="ultrafast"))
    (first, *_) = webvtt.read(made.vtt.read_text("utf-8"))
    # Opening card 4 s, step card 2.4 s, clip 2 s, step card 2.4 s, then the word at 0.5 s.
    assert abs(first.start_ms - (4000 + 2400 + 2000 + 2400 + 500)) <= 34


def test_the_summary_is_valid_html_and_says_it_all(library: Library, tmp_path: Path) -> None:
    lesson = a_lesson(library, recorded(library))
    made = export_lesson(gather(library, lesson), tmp_path / "out", FilmOptions(preset="ultrafast"))
    html = made.summary_html.read_text("utf-8")
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    page = parser.parse(html)
    text = " ".join("".join(page.itertext()).split())
    for expected in (TITLE, "An easier reed", "1.6 mm (0.063 in)", "1.4 mm (0.055 in)", "Right: the rails"):
        assert expected in text
    assert "A teacher's supervision and local rules come first" in text
    assert "must not leave" not in html
    assert len(page.findall(".//img")) == 2
    assert not [node for node in page.iter() if (node.get("src") or node.get("href") or "").startswith("http")]


def test_the_pdf_opens_elsewhere(library: Library, tmp_path: Path) -> None:
    lesson = a_lesson(library, recorded(library))
    made = export_lesson(gather(library, lesson), tmp_path / "out", FilmOptions(preset="ultrafast"))
    reader = pypdf.PdfReader(made.summary_pdf)
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    assert "2. Scrape: rails" in text
    assert "1.6 mm (0.063 in)" in text
    assert sum(len(page.images) for page in reader.pages) == 2


def test_a_lesson_without_clips_is_refused(library: Library, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="has no clips"):
        export_lesson(gather(library, library.lessons.add(Lesson("x"))), tmp_path / "out")


def test_a_clip_whose_recording_has_gone_is_named(library: Library) -> None:
    recording = recorded(library)
    lesson = a_lesson(library, recording)
    library.recordings.file(recording).unlink()
    with pytest.raises(Missing, match=r"Put the file of recording 1 \(base.mp4\) back"):
        gather(library, lesson)


def test_cancelling_leaves_the_earlier_export_and_nothing_else(library: Library, tmp_path: Path) -> None:
    lesson = a_lesson(library, recorded(library))
    first = export_lesson(gather(library, lesson), tmp_path / "out", FilmOptions(preset="ultrafast"))
    before = first.film.read_bytes()
    asked = iter([False, False, True])
    with pytest.raises(Cancelled):
        export_lesson(gather(library, lesson), first.folder, cancelled=lambda: next(asked, True))
    assert first.film.read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["library", "out"]


def test_exporting_again_replaces(library: Library, tmp_path: Path) -> None:
    lesson = a_lesson(library, recorded(library))
    export_lesson(gather(library, lesson), tmp_path / "out", FilmOptions(preset="ultrafast"))
    shorter = replace(lesson, clips=lesson.clips[:1])
    made = export_lesson(gather(library, shorter), tmp_path / "out", FilmOptions(preset="ultrafast"))
    assert not (made.folder / "stills" / "step-02.jpg").exists()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["library", "out"]


def test_sound_alone_and_no_sound_go_together(library: Library, tmp_path: Path) -> None:
    session = library.sessions.add(Session("2026-03-14"))
    heard = add_file(library, media.only_sound(), session.id)
    seen = add_file(library, media.no_sound(), session.id)
    lesson = library.lessons.add(Lesson("x", clips=(Clip(heard.id, 0, 1500), Clip(seen.id, 0, 1500))))
    made = export_lesson(gather(library, lesson), tmp_path / "out", FilmOptions(preset="ultrafast"))
    with av.open(str(made.film)) as film:
        assert (film.streams.video[0].width, film.streams.video[0].height) == (320, 240)
        assert film.streams.audio[0].rate == 48000


LONG = "007-a-steady-e-in-the-first-two-sittings-of-the"


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Rails & wings", "007-rails-wings"),
        ("面取り", "007"),
        ("../..\\x", "007-x"),
        ("Übung №1", "007-ubung-no1"),
        ("A steady E in the first two sittings of the autumn term", LONG),
    ],
)
def test_folder_names_are_plain(title: str, name: str) -> None:
    assert folder_name(7, title) == name


@pytest.mark.skipif(sys.platform == "win32", reason="limits file size the POSIX way")
def test_a_full_disk_is_said_and_leaves_nothing(library: Library) -> None:
    lesson = a_lesson(library, recorded(library))
    program = (
        "import resource, sys; resource.setrlimit(resource.RLIMIT_FSIZE, (40_000, 40_000));"
        "from annotate.library import Library; from annotate.work.exporting import gather;"
        "from annotate.lesson.export import export_lesson; from pathlib import Path;"
        "library = Library.open(Path(sys.argv[1]));"
        "export_lesson(gather(library, library.lessons.get(1)), Path(sys.argv[1]) / 'lessons' / 'x')"
    )
    done = subprocess.run([sys.executable, "-c", program, str(library.folder)], capture_output=True, text=True)
    assert "annotate.errors.NoSpace" in done.stderr
    assert "The disk is full" in done.stderr
    assert list((library.folder / "lessons").iterdir()) == []
    assert library.lessons.get(lesson.id) == lesson
    assert library.check() == []


def test_a_private_clip_added_after_the_question_does_not_leave(library: Library) -> None:
    recording = recorded(library)
    lesson = a_lesson(library, recording)
    job = put_export(library, lesson)
    session = library.sessions.get(recording.session_id)
    library.sessions.change(replace(session, sharing="private"))
    with pytest.raises(BadInput, match="which was not asked about"):
        export(library, job, Silent())
    asked = put_export(library, lesson)
    assert asked.id != job.id
    assert asked.subject["agreed"] == f"{session.id}:private"


@pytest.mark.parametrize(
    ("before", "since", "why"),
    [
        ("free", "private", "which was not asked about"),
        ("undecided", "private", "which has been marked as not to share since"),
        ("undecided", "people", "which has been marked as showing people since"),
        ("people", "private", "which has been marked as not to share since"),
    ],
)
def test_a_session_marked_anew_does_not_leave_with_an_export_that_waits(
    library: Library, before: str, since: str, why: str
) -> None:
    recording = recorded(library)
    lesson = a_lesson(library, recording)
    session = library.sessions.change(replace(library.sessions.get(recording.session_id), sharing=before))
    jobs = [put_export(library, lesson), put_export(library, lesson, 1)]
    library.sessions.change(replace(session, sharing=since))
    for job in jobs:
        with pytest.raises(BadInput, match=f"holds a clip of the session of 2026-03-14, {why}. Nothing was exported."):
            export(library, job, Silent())
    assert list((library.folder / "lessons").rglob("*.mp4")) == []
