"""Undo, redo, and two windows writing."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from annotate.errors import AlreadyThere, BadInput, BadTime, BadUnit, BadWord, ChangedElsewhere, NotFound, StepStays
from annotate.library import Library
from annotate.library.shelves import Shelf
from annotate.model import (
    Clip,
    Correction,
    LeftWord,
    Lesson,
    Line,
    Mark,
    Plan,
    Reading,
    Recording,
    Reed,
    Session,
    Suggestion,
    Tag,
)
from tests.making import PROBE, a_line, a_recording, a_tag


def test_undo_and_redo_walk_back_and_forth(library: Library) -> None:
    recording = a_recording(library)
    tag = a_tag(library, recording)
    library.tags.change(replace(tag, note="second"))
    library.tags.remove(tag.id)
    steps = [library.journal.undo(recording.session_id) for _ in range(2)]
    assert steps == ["removed a tag", "changed a tag"]
    assert library.tags.get(tag.id).note == ""
    assert library.journal.redo(recording.session_id) == "changed a tag"
    assert library.tags.get(tag.id).note == "second"


def test_undo_keeps_to_its_session(library: Library) -> None:
    one, two = a_recording(library, "a"), a_recording(library, "b")
    a_tag(library, one)
    kept = a_tag(library, two)
    library.journal.undo(one.session_id)
    assert library.tags.of_recording(one.id) == []
    assert library.tags.all() == [kept]


def test_nothing_to_undo_is_said(library: Library) -> None:
    with pytest.raises(NotFound, match="nothing to undo"):
        library.journal.undo()


def test_a_new_change_closes_the_way_forward(library: Library) -> None:
    recording = a_recording(library)
    a_tag(library, recording)
    library.journal.undo(recording.session_id)
    a_tag(library, recording, step="sand")
    with pytest.raises(NotFound):
        library.journal.redo(recording.session_id)


def test_the_second_of_two_windows_is_told_and_sees_both(library: Library) -> None:
    tag = a_tag(library, a_recording(library))
    library.tags.change(replace(tag, note="first window"))
    with pytest.raises(ChangedElsewhere) as caught:
        library.tags.change(replace(tag, note="second window"))
    assert caught.value.theirs["note"] == "first window"
    assert caught.value.yours["note"] == "second window"
    assert library.tags.get(tag.id).note == "first window"


def test_several_changes_can_be_one_step(library: Library) -> None:
    recording = a_recording(library)
    tags = [Tag(recording.id, start, start + 500, "scrape") for start in (0, 1000, 2000)]
    library.tags.add_all(tags, "added three tags")
    assert library.journal.undo() == "added three tags"
    assert library.tags.all() == []


def test_half_a_step_never_stays(library: Library) -> None:
    recording = a_recording(library)
    with pytest.raises(BadTime):
        library.tags.add_all([Tag(recording.id, 0, 500, "scrape"), Tag(recording.id, 0, 99_000, "scrape")])
    assert library.tags.all() == []


def test_bad_tags_are_refused_with_sentences(library: Library) -> None:
    recording = a_recording(library)
    with pytest.raises(BadTime, match="ends before it starts"):
        Tag(recording.id, 5000, 1000, "scrape")
    with pytest.raises(BadTime, match="past the end of the recording, which is 1:00"):
        a_tag(library, recording, end_ms=60_001)
    with pytest.raises(BadWord, match="is not one of the steps"):
        a_tag(library, recording, step="whittle")
    with pytest.raises(BadWord, match="zones of the bassoon"):
        a_tag(library, recording, zones=("windows",))
    with pytest.raises(NotFound, match="no recording 99"):
        library.tags.add(Tag(99, 0, 1, "scrape"))


def test_an_oboe_reed_has_its_own_zones(library: Library) -> None:
    reed = library.reeds.add(Reed("O-3", "oboe"))
    tag = a_tag(library, a_recording(library, reed=reed), zones=("windows",))
    assert tag.zones == ("windows",)
    with pytest.raises(BadWord, match="zones of the oboe"):
        a_tag(library, library.recordings.all()[0], zones=("channels",))


def test_readings_take_moment_reed_and_day_from_their_tag(library: Library) -> None:
    reed = library.reeds.add(Reed("B-14"))
    tag = a_tag(library, a_recording(library, reed=reed))
    reading = library.readings.add(Reading("tip_opening", Decimal("1.6"), "mm", tag_id=tag.id))
    assert (reading.reed_id, reading.at_ms, reading.taken_on) == (reed.id, 1000, "2026-03-14")
    assert reading.value == Decimal("1.6")


def test_a_unit_that_does_not_fit_is_refused(library: Library) -> None:
    with pytest.raises(BadUnit, match="is not a unit of tip opening"):
        library.readings.add(Reading("tip_opening", Decimal("1.6"), "Hz"))
    with pytest.raises(BadInput, match="cannot be a tip opening"):
        library.readings.add(Reading("tip_opening", Decimal("160"), "mm"))


def test_a_lesson_refuses_overlapping_clips(library: Library) -> None:
    recording = a_recording(library)
    with pytest.raises(BadInput, match="clips 1 and 3 show the same stretch"):
        Lesson("x", clips=(Clip(recording.id, 0, 2000), Clip(recording.id, 5000, 6000), Clip(recording.id, 1999, 3000)))
    lesson = library.lessons.add(Lesson("x", clips=(Clip(recording.id, 0, 2000), Clip(recording.id, 2000, 3000))))
    assert library.lessons.get(lesson.id) == lesson


def test_two_reeds_cannot_share_an_id(library: Library) -> None:
    first = library.reeds.add(Reed("B-14"))
    with pytest.raises(AlreadyThere) as caught:
        library.reeds.add(Reed(" B-14 "))
    assert caught.value.existing_id == first.id


def test_listening_again_keeps_what_the_maker_changed(library: Library) -> None:
    recording = a_recording(library)
    library.lines.hear(recording.id, [a_line(recording, 0, "the read is flat"), a_line(recording, 3000, "two")])
    first = library.lines.of_recording(recording.id)[0]
    library.lines.change(replace(first, text="the reed is flat"))
    library.lines.hear(recording.id, [a_line(recording, 0, "the read is flat"), a_line(recording, 3000, "three")])
    lines = library.lines.of_recording(recording.id)
    assert [line.text for line in lines] == ["the reed is flat", "three"]
    assert lines[0].heard_text == "the read is flat"


def test_an_id_is_never_given_twice(library: Library) -> None:
    one, two = a_recording(library, "a"), a_recording(library, "b")
    tag = a_tag(library, one)
    reading = library.readings.add(Reading("tip_opening", Decimal("1.6"), "mm", tag_id=tag.id))
    library.tags.remove(tag.id)
    other = a_tag(library, two)
    assert other.id == tag.id + 1
    library.journal.undo(one.session_id)
    assert library.tags.get(tag.id).recording_id == one.id
    changed = library.readings.change(replace(reading, note="wet"))
    assert (changed.tag_id, changed.recording_id) == (tag.id, one.id)


def test_no_shelf_gives_an_id_twice(library: Library) -> None:
    recording = a_recording(library)
    session_id = recording.session_id
    made: list[tuple[Shelf[Any], Any]] = [
        (library.reeds, Reed("B-14")),
        (library.sessions, Session("2026-03-14")),
        (library.recordings, replace(recording, id=0, fingerprint="f" * 64)),
        (library.lines, Line(recording.id, 0, 1000, "Soft.")),
        (library.tags, Tag(recording.id, 0, 1000, "scrape")),
        (library.readings, Reading("tip_opening", Decimal("1.6"), "mm", recording_id=recording.id)),
        (library.corrections, Correction(recording.id, 0, 1000, "three", "four")),
        (library.left_words, LeftWord(recording.id, 0, 1000, "vocal", "bocal")),
        (library.suggestions, Suggestion(recording.id, 0, 1000, "tag", {"step": "scrape"})),
        (library.plans, Plan("Clip the tip", recording_id=recording.id)),
        (library.marks, Mark("2026-03-14T18:00:00.000+00:00", "scrape", session_id=session_id)),
        (library.lessons, Lesson("One")),
    ]
    shelves = {shelf for shelf in vars(library).values() if isinstance(shelf, Shelf)}
    assert {shelf for shelf, _ in made} == shelves
    for shelf, value in made:
        first = shelf.add(value).id
        shelf.remove(first)
        again = shelf.add(value).id
        assert again == first + 1, shelf.table.name
        shelf.remove(again)


def test_a_removed_lesson_leaves_no_work_to_a_new_one(library: Library) -> None:
    recording = a_recording(library)
    gone = library.lessons.add(Lesson("One", clips=(Clip(recording.id, 0, 1000),)))
    library.jobs.put("export", {"lesson_id": gone.id})
    library.lessons.remove(gone.id)
    fresh = library.lessons.add(Lesson("Two", clips=(Clip(recording.id, 0, 1000),)))
    assert [job for job in library.jobs.all() if job.subject == {"lesson_id": fresh.id}] == []


def test_undo_leaves_alone_what_the_program_noted_meanwhile(library: Library) -> None:
    recording, reed = a_recording(library), library.reeds.add(Reed("B-14"))
    library.recordings.change(replace(recording, reed_id=reed.id))
    library.recordings.note_made(recording.id, peaks_path="peaks/a.peaks", language="en")
    assert library.journal.undo(recording.session_id) == "changed recording a.mp4"
    after = library.recordings.get(recording.id)
    assert (after.reed_id, after.peaks_path, after.language) == (None, "peaks/a.peaks", "en")
    library.journal.redo(recording.session_id)
    assert library.recordings.get(recording.id).reed_id == reed.id


def test_an_undo_that_the_tables_forbid_is_said_and_changes_nothing(library: Library) -> None:
    recording, reed = a_recording(library), library.reeds.add(Reed("B-14"))
    tag = a_tag(library, recording, reed_id=reed.id)
    library.tags.remove(tag.id)
    library.reeds.remove(reed.id)
    with pytest.raises(StepStays, match="“removed a tag” cannot be taken back"):
        library.journal.undo(recording.session_id)
    assert library.tags.all() == []
    assert library.check() == []


def test_adding_a_recording_is_no_step_of_undo(library: Library) -> None:
    reed = library.reeds.add(Reed("B-14"))
    recording = a_recording(library)
    library.lines.hear(recording.id, [a_line(recording, 0, "Left channel")])
    assert (
        library.journal.undo()
        == "added reed B-14 (“added the session of 2026-03-14” stays, for later work rests on it)"
    )
    assert library.recordings.all() == [recording]
    assert library.reeds.all() == []
    with pytest.raises(NotFound, match="nothing to undo: “added the session of 2026-03-14” stays"):
        library.journal.undo()
    assert library.journal.redo() == "added reed B-14"
    assert [one.name for one in library.reeds.all()] == [reed.name]


def test_an_old_step_that_added_a_recording_is_passed_over(library: Library) -> None:
    session = library.sessions.get(a_recording(library, "a").session_id)
    library.sessions.change(replace(session, title="Morning"))
    with library.journal.edit("added a recording") as edit:  # as libraries have it from before
        made = Recording(session.id, "b.mp4", "recordings/b.mp4", True, "b" * 64, 10, PROBE)
        recording = library.recordings.add_in(edit, made)
    library.lines.hear(recording.id, [a_line(recording, 0, "Left channel")])
    told = "changed the session of 2026-03-14 (“added a recording” stays, for later work rests on it)"
    assert library.journal.undo(session.id) == told
    assert library.sessions.get(session.id).title == "Evening at the bench"
    assert library.recordings.get(recording.id) == recording
    assert library.journal.redo(session.id) == "changed the session of 2026-03-14"
    assert library.check() == []


@pytest.mark.parametrize("wanted", [{"reed_id": 99}, {"session_id": 99}])
def test_a_recording_with_an_unknown_reed_or_session_is_refused_in_its_own_words(
    library: Library, wanted: dict[str, int]
) -> None:
    recording = a_recording(library)
    name = next(iter(wanted)).removesuffix("_id")
    with pytest.raises(NotFound, match=f"There is no {name} 99 in the library"):
        library.recordings.change(replace(recording, **wanted))  # type: ignore[arg-type]


def test_the_same_file_twice_is_said_with_the_one_that_is_there(library: Library) -> None:
    recording = a_recording(library)
    with pytest.raises(AlreadyThere, match=f"It is recording {recording.id}"):
        library.recordings.add(replace(recording, id=0))


def test_what_is_not_heard_again_yet_stays(library: Library) -> None:
    recording = a_recording(library)
    library.lines.hear(recording.id, [a_line(recording, at, f"old {at}") for at in (0, 20_000, 40_000)])
    library.lines.hear(recording.id, [a_line(recording, 500, "new")], from_ms=0, until_ms=20_000)
    assert [line.text for line in library.lines.of_recording(recording.id)] == ["new", "old 20000", "old 40000"]


def test_a_reading_stays_editable_when_its_tag_is_gone(library: Library) -> None:
    tag = a_tag(library, a_recording(library))
    reading = library.readings.add(Reading("tip_opening", Decimal("1.6"), "mm", tag_id=tag.id))
    library.tags.remove(tag.id)
    assert library.readings.change(replace(reading, value=Decimal("1.5"))).value == Decimal("1.5")
    with pytest.raises(NotFound, match="no tag 99"):
        library.readings.add(Reading("tip_opening", Decimal("1.6"), "mm", tag_id=99))


def test_a_reed_is_found_whatever_its_capitals(library: Library) -> None:
    reed = library.reeds.add(Reed("Ä1"))
    assert library.reeds.by_name("ä1") == reed
