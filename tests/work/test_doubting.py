"""Doubtful words in a library: accepted, left, learned; each accepted one is one step of undo."""

from __future__ import annotations

import pytest

from annotate.errors import ChangedElsewhere
from annotate.library.store import Library
from annotate.listen.doubtful import Doubt
from annotate.model import Line
from annotate.work.doubting import (
    accept,
    accept_alike,
    corrected,
    doubts_of_session,
    learn,
    leave,
    offer_again,
    replaced,
)
from tests.browser.seed import line, seed

TEXTS = ("I put the vocal on the reed.", "The vocal is loose, so the wire is too.", "Vocal and reed crow well.")


def heard(library: Library) -> tuple[int, list[Line]]:
    """A session whose first recording has three lines with one word misheard."""
    seeded = seed(library)
    library.lines.hear(seeded.recording.id, [line(seeded.recording, 2000 * n, text) for n, text in enumerate(TEXTS)])
    return seeded.first.id, library.lines.of_recording(seeded.recording.id)


def test_accepting_keeps_what_was_heard_and_is_one_step_of_undo(library: Library) -> None:
    session, lines = heard(library)
    doubt = Doubt(3, 4, "vocal", "bocal", "", 0.8)
    changed = accept(library, lines[0].id, lines[0].version, doubt)
    assert (changed.text, changed.heard_text) == ("I put the bocal on the reed.", TEXTS[0])
    assert [word.start_ms for word in changed.words] == [word.start_ms for word in lines[0].words]
    with pytest.raises(ChangedElsewhere):
        accept(library, lines[0].id, lines[0].version, doubt)
    assert library.journal.undo(session) == "accepted “bocal” for “vocal”"
    assert library.lines.get(lines[0].id).text == TEXTS[0]


def test_all_alike_are_one_step(library: Library) -> None:
    session, lines = heard(library)
    learn(library, "the vocal", "the bocal")
    assert [(one.line.id, one.doubt.heard) for one in doubts_of_session(library, session)] == [
        *((lines[0].id, "vocal"), (lines[1].id, "vocal"), (lines[2].id, "Vocal")),
    ]
    assert len(accept_alike(library, session, "vocal", "bocal")) == 3
    texts = [one.text for one in library.lines.of_recording(lines[0].recording_id)]
    assert texts == [text.replace("vocal", "bocal").replace("Vocal", "Bocal") for text in TEXTS]
    library.journal.undo(session)
    assert [one.text for one in library.lines.of_recording(lines[0].recording_id)] == list(TEXTS)


def test_what_is_left_is_not_offered_again(library: Library) -> None:
    session, lines = heard(library)
    learn(library, "the vocal", "the bocal")
    leave(library, lines[0].id, "vocal", "bocal")
    assert [one.line.id for one in doubts_of_session(library, session)] == [lines[1].id, lines[2].id]
    offer_again(library, lines[0].id, "vocal", "bocal")
    assert [one.line.id for one in doubts_of_session(library, session)] == [one.id for one in lines]


def test_what_is_left_stays_left_when_the_recording_is_heard_again(library: Library) -> None:
    session, lines = heard(library)
    learn(library, "the vocal", "the bocal")
    leave(library, lines[1].id, "vocal", "bocal")
    recording = library.recordings.get(lines[0].recording_id)
    again = [line(recording, 2000 * n + 150, text) for n, text in enumerate(TEXTS)]
    library.lines.hear(recording.id, again)
    anew = library.lines.of_recording(recording.id)
    assert {one.id for one in anew}.isdisjoint(one.id for one in lines)
    assert [one.line.start_ms for one in doubts_of_session(library, session)] == [150, 4150]


def test_leaving_and_offering_again_are_steps_of_undo(library: Library) -> None:
    session, lines = heard(library)
    learn(library, "the vocal", "the bocal")
    leave(library, lines[0].id, "vocal", "bocal")
    assert library.journal.undo(session) == "left “vocal” as it is"
    assert len(doubts_of_session(library, session)) == 3
    library.journal.redo(session)
    assert len(doubts_of_session(library, session)) == 2
    offer_again(library, lines[0].id, "vocal", "bocal")
    assert library.journal.undo(session) == "offered “bocal” for “vocal” again"
    assert len(doubts_of_session(library, session)) == 2


def test_what_is_learned_from_a_correction() -> None:
    assert corrected("I take the bee twelve reed.", "I take the B-12 reed.") == [("bee twelve", "B-12")]
    assert corrected("Now the vocal.", "Now the bocal!") == [("vocal", "bocal")]
    assert corrected("I can do it", "I cane do it") == []  # a short word is usually meant
    assert corrected("Now, the reed", "Now the reed.") == []  # dots and commas
    assert corrected("one two three four five", "quite another sentence is here now") == []


def test_punctuation_and_capitals_stay() -> None:
    assert replaced("“Vocal,” she said", Doubt(0, 1, "Vocal", "bocal", "", 1)) == "“Bocal,” she said"
    assert replaced("take bee twelve.", Doubt(1, 3, "bee twelve", "B-12", "", 1)) == "take B-12."
