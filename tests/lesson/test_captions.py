"""Captions of a lesson: words cut with the clip, corrections by themselves, sounds where nobody speaks."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from annotate.lesson.cutting.pieces import FilmPlan, Placed
from annotate.lesson.shown.captions import lesson_cues
from annotate.lesson.shown.clip_pieces import panels
from annotate.lesson.shown.film import LaidOut, Shown
from annotate.lesson.told.material import Material, Step
from annotate.lesson.told.passage import Part, Passage
from annotate.model import Clip, Correction, Lesson, Line, Recording, Session, Sound, Word
from tests.making import PROBE


def one_step(lines: list[Line], corrections: list[Correction], sounds: list[Sound]) -> tuple[Material, LaidOut]:
    """A lesson of one clip, 10 s to 20 s of a recording, shown from 5 s of the film on."""
    recording = Recording(1, "a.mp4", "a.mp4", True, "a" * 64, 1, PROBE, id=1)
    clip = Clip(1, 10_000, 20_000)
    step = Step(
        1,
        clip,
        Path("a.mp4"),
        recording,
        Session("2026-03-14"),
        lines=tuple(lines),
        corrections=tuple(corrections),
        sounds=tuple(sounds),
    )
    card = Placed(0, 150, Fraction(30))
    placed = Placed(150, 300, Fraction(30), source_start=Fraction(10))
    passage = Passage((Part(10_000, 20_000),), (placed,))
    plan = FilmPlan(640, 360, Fraction(30), (card, placed))
    return Material(Lesson("x", clips=(clip,)), (step,)), LaidOut((), plan, (Shown(passage, (1,)),), (5000,), ())


def said(start_ms: int, text: str, each_ms: int = 400) -> Line:
    words = [Word(start_ms + n * each_ms, start_ms + (n + 1) * each_ms, word) for n, word in enumerate(text.split())]
    return Line(1, start_ms, words[-1].end_ms, text, tuple(words))


def test_words_outside_the_clip_are_left_out_and_blanks_stay_as_written() -> None:
    words = (
        Word(9000, 9400, "Tip"),
        Word(10_400, 10_800, "is"),
        Word(10_800, 11_000, "1"),
        Word(11_000, 11_800, ".6mm."),
    )
    line = Line(1, 9000, 11_800, "Tip is 1.6mm.", words)
    (cue,) = lesson_cues(*one_step([line], [], []))
    assert (cue.text, cue.start_ms) == ("is 1.6mm.", 5400)


def test_a_correction_stands_by_itself_after_what_was_said() -> None:
    lines = [said(11_000, "The wire sits three sixteenths back."), said(16_000, "Now the next one.")]
    fix = Correction(1, 12_000, 13_400, "three sixteenths", "one eighth")
    cues = lesson_cues(*one_step(lines, [fix], []))
    assert [cue.text for cue in cues] == [
        "The wire sits three sixteenths back.",
        "[Correction: one eighth]",
        "Now the next one.",
    ]
    assert cues[1].start_ms >= cues[0].end_ms
    assert cues[1].end_ms - cues[1].start_ms >= 800


def test_sounds_are_told_where_nobody_speaks() -> None:
    sounds = [Sound(10_000, 14_000, "crow"), Sound(14_000, 14_500, "scrape"), Sound(15_000, 20_000, "quiet")]
    cues = lesson_cues(*one_step([said(12_000, "Listen to that rattle now.")], [], sounds))
    assert [cue.text for cue in cues] == ["[crow]", "Listen to that rattle now."]
    assert (cues[0].start_ms, cues[0].end_ms) == (5000, 6999)


def test_a_late_correction_ends_with_its_clip_and_can_be_read() -> None:
    """Said in the last 1.5 s: it begins earlier, after what it sets right, and does not stand over the next card."""
    lines = [said(14_000, "Now the wire."), said(18_500, "It sits three sixteenths")]
    fix = Correction(1, 18_900, 20_000, "three sixteenths", "one eighth of an inch")
    material, laid = one_step(lines, [fix], [])
    card_after = Placed(450, 120, Fraction(30))
    laid = replace(laid, plan=replace(laid.plan, placed=(*laid.plan.placed, card_after)))
    cues = lesson_cues(material, laid)
    assert [cue.text for cue in cues] == [
        "Now the wire.",
        "It sits three sixteenths",
        "[Correction: one eighth of an inch]",
    ]
    # The clip ends at 15 s of the film; 35 characters take 1.75 s to read.
    assert (cues[2].start_ms, cues[2].end_ms) == (13_250, 15_000)
    assert (cues[1].start_ms, cues[1].end_ms) == (12_449, 13_249)


def test_words_said_to_the_very_end_are_held_over_the_card() -> None:
    material, laid = one_step([said(19_600, "Look")], [], [])
    card_after = Placed(450, 120, Fraction(30))
    laid = replace(laid, plan=replace(laid.plan, placed=(*laid.plan.placed, card_after)))
    (cue,) = lesson_cues(material, laid)
    assert (cue.start_ms, cue.end_ms) == (14_600, 15_400)


def test_the_notes_of_late_corrections_are_all_seen_and_end_with_the_clip() -> None:
    fixes = [Correction(1, 19_000, 19_500, "", "one"), Correction(1, 19_400, 20_000, "", "two")]
    material, laid = one_step([], fixes, [])
    first, second = panels(material, material.steps[0], laid.shown[0].clip, None, (640, 360))
    assert [(one.start_ms, one.end_ms) for one in (first, second)] == [(14_000, 15_000), (14_000, 15_000)]
    assert second.y > first.y
