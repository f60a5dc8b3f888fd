"""One step of undo and no other: taken back by its id, in its own place, and told truthfully when it cannot be."""

from dataclasses import replace

import pytest

from annotate.errors import BadInput, NotFound, StepStays
from annotate.library import Library
from annotate.library.journal import follow
from annotate.library.steps import Place
from annotate.model import Clip, Lesson, Plan, Reed
from tests.making import a_recording, a_tag


def test_one_step_is_taken_back_by_its_id_whatever_came_after(library: Library) -> None:
    recording = a_recording(library)
    lesson = library.lessons.add(Lesson("One", clips=(Clip(recording.id, 0, 1000), Clip(recording.id, 2000, 3000))))
    made = follow()
    library.lessons.change(replace(lesson, clips=lesson.clips[:1]))
    a_tag(library, recording)  # as from another window
    assert len(made) == 2
    assert library.journal.undo_step(made[0]) == "changed the lesson “One”"
    assert len(library.lessons.get(lesson.id).clips) == 2
    assert len(library.tags.all()) == 1
    with pytest.raises(BadInput, match="“changed the lesson “One”” is taken back already"):
        library.journal.undo_step(made[0])
    assert library.journal.redo_step(made[0]) == "changed the lesson “One”"
    assert len(library.lessons.get(lesson.id).clips) == 1


def test_a_step_whose_values_were_changed_since_is_refused_with_what_changed_them(library: Library) -> None:
    reed = library.reeds.add(Reed("B-14"))
    made = follow()
    changed = library.reeds.change(replace(reed, note="light"))
    other = library.reeds.change(replace(changed, state="retired"))
    library.journal.undo_step(made[0])  # the other change touched another value
    assert library.reeds.get(reed.id).note == ""
    library.journal.redo_step(made[0])
    with library.journal.edit("wrote the note anew") as edit:
        edit.change(library.reeds.table, {**_row(library, reed.id), "note": "dark"})
    with pytest.raises(StepStays, match="the note of reed 1 was changed since, by “wrote the note anew”") as caught:
        library.journal.undo_step(made[0])
    assert caught.value.step_id == made[0]
    assert library.reeds.get(reed.id) == replace(other, note="dark", version=6)


def _row(library: Library, reed_id: int) -> dict[str, object]:
    with library.reading() as connection:
        table = library.reeds.table
        return dict(connection.execute(table.select().where(table.c.id == reed_id)).one()._mapping)


def test_a_step_that_cannot_be_taken_back_is_told_and_can_be_left(library: Library) -> None:
    recording = a_recording(library)
    library.sessions.change(replace(library.sessions.get(recording.session_id), title="Morning"))
    library.recordings.change(replace(recording, language="de"))
    library.recordings.note_made(recording.id, language="nn")  # the program's own, no step of undo
    told = "the language of recording 1 was changed since, by work of the program or a step that was left"
    with pytest.raises(StepStays, match=told) as caught:
        library.journal.undo(recording.session_id)
    assert library.journal.leave(caught.value.step_id) == "changed recording a.mp4"
    assert library.recordings.get(recording.id).language == "nn"
    assert library.journal.undo(recording.session_id) == "changed the session of 2026-03-14"
    assert library.sessions.get(recording.session_id).title == "Evening at the bench"


def test_a_removal_whose_row_is_there_again_says_so(library: Library) -> None:
    plan = library.plans.add(Plan("Thin the heart"))
    library.plans.remove(plan.id)
    with library.writing() as connection:
        connection.exec_driver_sql(f"INSERT INTO plan (id, text, is_done, version) VALUES ({plan.id}, 'Other', 0, 1)")
    with pytest.raises(StepStays, match="“removed a plan” cannot be taken back: plan 1 is there again"):
        library.journal.undo()


def test_a_place_has_its_own_steps(library: Library) -> None:
    recording = a_recording(library)
    one, two = library.reeds.add(Reed("B-14")), library.reeds.add(Reed("B-15"))
    lesson = library.lessons.add(Lesson("One"))
    library.lessons.change(replace(lesson, goal="Less dark"))
    library.plans.add(Plan("Thin the heart", reed_id=one.id))
    a_tag(library, recording, reed_id=two.id)
    journal = library.journal
    assert journal.next(Place(), undo=True).what == "added a tag"
    assert journal.next(Place(session_id=recording.session_id), undo=True).what == "added a tag"
    assert journal.next(Place(lesson_id=lesson.id), undo=True).what == "changed the lesson “One”"
    assert journal.next(Place(reed_id=one.id), undo=True).what == "added a plan"
    assert journal.next(Place(reed_id=two.id), undo=True).what == "added a tag"
    with pytest.raises(NotFound, match="nothing to undo"):
        journal.next(Place(lesson_id=99), undo=True)
    assert journal.undo(place=Place(lesson_id=lesson.id)) == "changed the lesson “One”"
    assert journal.next(Place(lesson_id=lesson.id), undo=False).what == "changed the lesson “One”"


def test_a_change_closes_the_way_forward_in_its_own_place_only(library: Library) -> None:
    recording = a_recording(library)
    a_tag(library, recording)
    lesson = library.lessons.add(Lesson("One"))
    library.lessons.change(replace(lesson, goal="Less dark"))
    library.journal.undo(recording.session_id)
    library.journal.undo(place=Place(lesson_id=lesson.id))
    library.reeds.add(Reed("B-14"))  # in another window
    assert library.journal.redo(recording.session_id) == "added a tag"
    assert library.journal.redo(place=Place(lesson_id=lesson.id)) == "changed the lesson “One”"
    library.journal.undo(place=Place(lesson_id=lesson.id))
    library.lessons.change(replace(library.lessons.get(lesson.id), goal="Lighter"))
    with pytest.raises(NotFound, match="nothing to do again"):
        library.journal.redo(place=Place(lesson_id=lesson.id))


def test_a_step_names_the_lesson_that_it_changed(library: Library) -> None:
    lesson = library.lessons.add(Lesson("A long title " * 6))
    library.lessons.remove(lesson.id)
    told = "the lesson “A long title A long title A long title A long title A long …”"
    assert [library.journal.undo(), library.journal.undo()] == [f"removed {told}", f"added {told}"]
