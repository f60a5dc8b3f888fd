"""A seen card stays with the reed that had its name then."""

import json
import sqlite3
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from annotate.library import Library
from annotate.library.removing import remove_reed
from annotate.model import CardShown, Plan, Reading, Reed
from tests.library.turning_back import turn_back
from tests.making import a_recording, a_tag


def test_a_name_given_to_a_new_reed_leaves_the_old_ones_history(library: Library) -> None:
    old = library.reeds.add(Reed("B-14"))
    recording = a_recording(library)
    library.recordings.see_cards(recording.id, [CardShown(0, 1000, "B-14")])
    library.reeds.change(replace(old, name="B-14 of 2026", state="retired"))
    new = library.reeds.add(Reed("B-14"))
    assert library.recordings.reeds_shown(recording.id) == [(0, old.id)]
    assert library.recordings.card_reeds() == [(recording.id, old.id)]
    assert a_tag(library, recording).reed_id == old.id
    library.recordings.see_cards(recording.id, [CardShown(0, 900, "B-14")])  # prepared again
    assert library.recordings.reeds_shown(recording.id) == [(0, old.id)]
    other = a_recording(library, "b")
    library.recordings.see_cards(other.id, [CardShown(0, 1000, "B-14")])
    assert library.recordings.reeds_shown(other.id) == [(0, new.id)]


def test_a_card_of_no_reed_waits_for_the_one_that_gets_its_name(library: Library) -> None:
    recording = a_recording(library)
    library.recordings.see_cards(recording.id, [CardShown(0, 1000, "B-14")])
    assert library.recordings.cards(recording.id) == [CardShown(0, 1000, "B-14")]
    wrong = library.reeds.add(Reed("B-41"))
    reed = library.reeds.change(replace(wrong, name="B-14"))
    assert library.recordings.cards(recording.id) == [CardShown(0, 1000, "B-14", reed.id)]
    library.reeds.change(replace(reed, name="B-14 of 2026"))
    library.reeds.add(Reed("B-14"))
    assert library.recordings.reeds_shown(recording.id) == [(0, reed.id)]
    for _ in range(3):
        library.journal.undo()
    assert library.recordings.reeds_shown(recording.id) == []
    assert [one.name for one in library.reeds.all()] == ["B-41"]


def test_the_cards_of_a_reed_that_is_taken_out_wait_again(library: Library) -> None:
    reed = library.reeds.add(Reed("B-14"))
    recording = a_recording(library)
    library.recordings.see_cards(recording.id, [CardShown(0, 1000, "B-14")])
    remove_reed(library, reed.id)
    assert library.recordings.reeds_shown(recording.id) == []
    again = library.reeds.add(Reed("B-14"))
    assert library.recordings.reeds_shown(recording.id) == [(0, again.id)]
    library.journal.undo()
    library.journal.undo()
    assert library.recordings.reeds_shown(recording.id) == [(0, reed.id)]


def test_a_library_of_before_is_brought_up_to_date(tmp_path: Path) -> None:
    with Library.open(tmp_path, create=True) as library:
        own, shown = library.reeds.add(Reed("B-14")), library.reeds.add(Reed("B-15"))
        recording = a_recording(library)
        first, second = a_tag(library, recording), a_tag(library, recording, start_ms=20_000, end_ms=25_000)
        reading = library.readings.add(Reading("tip_opening", Decimal("1.6"), "mm", tag_id=second.id))
        plan = library.plans.add(Plan("Clip the tip", recording_id=recording.id, at_ms=500))
        gone = library.plans.add(Plan("Not at all"))
        library.plans.remove(gone.id)
    turn_back(tmp_path, "0004")
    with sqlite3.connect(tmp_path / "library.sqlite") as connection:
        connection.execute("UPDATE recording SET reed_id = ?", (own.id,))
        row = (recording.id, 10_000, 11_000)
        connection.executemany(
            "INSERT INTO card (recording_id, start_ms, end_ms, name) VALUES (?, ?, ?, ?)",
            [(*row, "B-15"), (*row, "Z-9")],
        )
    connection.close()
    with Library.open(tmp_path) as library:
        assert [(one.name, one.reed_id) for one in library.recordings.cards(recording.id)] == [
            ("B-15", shown.id),
            ("Z-9", None),
        ]
        assert [library.tags.get(one.id).reed_id for one in (first, second)] == [own.id, shown.id]
        assert library.readings.get(reading.id).reed_id == shown.id
        assert library.plans.get(plan.id) == replace(plan, reed_id=own.id)
        assert library.check() == []
        with library.reading() as read:
            rows = read.exec_driver_sql("SELECT rows FROM edit WHERE what = 'added a tag'").scalars().all()
        assert [[one["after"]["reed_id"] for one in json.loads(text)] for text in rows] == [[own.id], [shown.id]]
        assert library.plans.add(Plan("Another")).id == gone.id + 1
        steps = [library.journal.undo() for _ in range(7)]
        assert steps[0] == "added a plan"
        assert library.tags.all() == []
