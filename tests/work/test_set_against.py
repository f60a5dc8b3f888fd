"""A clip set against an earlier range of another session: gathered with numbers, asked about, told in the summary."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from annotate.lesson.cutting.pieces import FilmOptions
from annotate.lesson.export import export_lesson
from annotate.lesson.shown.captions import lesson_cues
from annotate.lesson.shown.film import lay_out_lesson
from annotate.lesson.told.material import Compared
from annotate.library import Library
from annotate.measure.tuning import note_hz
from annotate.model import Before, Clip, Lesson, Line, Reading, Reed, Session, Sound, Word
from annotate.work.adding import Adding, add_file
from annotate.work.exporting import ask_about, gather
from tests import media


def at_hz(name: str, cents: float) -> float:
    return float(note_hz(name) * 2 ** (cents / 1200))


def crow(note: str, cents: float, depth: float, rate_hz: float) -> dict[str, object]:
    lowest = {"hz": at_hz(note, cents), "note": note, "cents": cents, "level_db": 0.0}
    told = {
        "start_ms": 0,
        "end_ms": 900,
        "lowest": lowest,
        "partials": [lowest],
        "roughness_depth": depth,
        "roughness_rate_hz": rate_hz,
    }
    return {"crow": told}


def note(name: str, cents: float, sag: float) -> dict[str, object]:
    return {"start_ms": 1000, "end_ms": 1900, "hz": at_hz(name, cents), "note": name, "cents": cents, "sag_cents": sag}


def a_lesson(library: Library, *, is_beside: bool) -> Lesson:
    """Two sessions with a crow and a note each; the clip of the second is set against the first."""
    reed = library.reeds.add(Reed("B-14"))
    recordings = []
    for day, sharing, path in (("2026-03-03", "private", media.base()), ("2026-03-07", "free", media.rotated(90))):
        session = library.sessions.add(Session(day, sharing=sharing))
        recordings.append(add_file(library, path, session.id, Adding(reed_id=reed.id)))
    old, new = recordings
    library.recordings.hear(
        old.id,
        [
            (Sound(0, 900, "crow"), crow("A4", 45.0, 0.18, 92.0)),
            (Sound(1000, 1900, "play"), {"notes": [note("C#3", -34.0, -12.0), note("E3", -3.0, 0.2)]}),
        ],
    )
    library.recordings.hear(
        new.id,
        [
            (Sound(0, 900, "crow"), crow("F4", -4.0, 0.7, 44.0)),
            (Sound(1000, 1900, "play"), {"notes": [note("C#3", -8.0, 0.0)]}),
        ],
    )
    for recording, value in ((old, "0.12"), (new, "0.08")):
        at = Reading(
            "thickness", Decimal(value), "mm", recording_id=recording.id, at_ms=500, zone="tip", moisture="wet"
        )
        library.readings.add(at)
    library.readings.add(Reading("thickness", Decimal("0.09"), "mm", recording_id=new.id, at_ms=600, moisture="dry"))
    words = (Word(200, 600, "Too"), Word(600, 900, "tight."))
    library.lines.hear(old.id, [Line(old.id, 200, 900, "Too tight.", words)])
    clip = Clip(new.id, 0, 1900, "After", before=Before(old.id, 0, 2000, is_beside))
    return library.lessons.add(Lesson("Before and after", clips=(clip,)))


ROWS = (
    ("Thickness, tip, wet", "0.12 mm (0.005 in)", "0.08 mm (0.003 in)"),
    ("Crow, lowest pitch", "A4 +45 cents", "F4 −4 cents"),
    ("Crow, roughness", "18 % at 92 Hz", "70 % at 44 Hz"),
    ("Pitch of C♯3", "−34 cents, sag −12 cents", "−8 cents"),
)


def test_the_sessions_of_both_are_asked_about(library: Library) -> None:
    lesson = a_lesson(library, is_beside=True)
    assert [session.date for session in ask_about(library, lesson)] == ["2026-03-03"]


def test_numbers_of_both_stand_side_by_side(library: Library) -> None:
    material = gather(library, a_lesson(library, is_beside=True))
    (step,) = material.steps
    assert step.before is not None
    assert (step.before.where, step.where) == ("Reed B-14, 2026-03-03", "Reed B-14, 2026-03-07")
    assert material.dates == ("2026-03-03", "2026-03-07")
    assert step.heard == tuple(Compared(*row) for row in ROWS[1:])


def test_pitches_of_both_are_named_from_one_a4(library: Library) -> None:
    lesson = a_lesson(library, is_beside=True)
    library.settings.put(replace(library.settings.get(), a4_hz=442.0))  # 7.85 cents higher
    (step,) = gather(library, lesson).steps
    assert step.heard[0] == Compared("Crow, lowest pitch", "A4 +37 cents", "F4 −12 cents")


@pytest.mark.parametrize("is_beside", [True, False])
def test_what_was_said_before_has_its_caption_at_its_time(library: Library, is_beside: bool) -> None:
    material = gather(library, a_lesson(library, is_beside=is_beside))
    laid = lay_out_lesson(material, FilmOptions())
    before = laid.shown[0].before
    # A card of 4 s for the lesson and one of 2.4 s for the step come first.
    assert before is not None and (before.start_ms, before.end_ms) == (6400, 8400)
    assert [(cue.start_ms, cue.text) for cue in lesson_cues(material, laid)][:1] == [(6600, "Too tight.")]
    assert [(one.start_ms, one.title) for one in laid.chapters] == [(0, "Before and after"), (4000, "1. After")]


def test_the_summary_holds_the_numbers(library: Library, tmp_path: Path) -> None:
    material = gather(library, a_lesson(library, is_beside=False))
    made = export_lesson(material, tmp_path / "out", FilmOptions(preset="ultrafast"))
    text = made.summary_md.read_text("utf-8")
    for what, before, after in ROWS:
        assert f"| Step 1: {what} | {before} | {after} |" in text
    assert "| Step 1: Thickness, dry | – | 0.09 mm (0.004 in) |" in text
    assert "Before it is shown how it was: Reed B-14, 2026-03-03." in text
    assert "Recorded: 2026-03-03, 2026-03-07." in text
