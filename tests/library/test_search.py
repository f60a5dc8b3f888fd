"""Finding: words are literal, the index never drifts, filters go by the tag of the moment."""

from dataclasses import replace

import pytest

from annotate.find.question import Question
from annotate.library import Library, index
from annotate.model import Reed, Session, Tag
from tests.making import a_line, a_recording, a_tag

SENTENCE = "don't over-tighten the M3\" screw at 20.04 x:y NOT (a * 面取りを Größe"


@pytest.mark.parametrize(
    "words",
    ["don't", "over-tighten", 'M3"', "20.04", "x:y", "NOT", "(a", "screw", "取り", "größe", "Grosse at", "tight"],
)
def test_every_word_is_taken_literally(library: Library, words: str) -> None:
    recording = a_recording(library)
    library.lines.hear(recording.id, [a_line(recording, 0, SENTENCE.replace("Größe", "Größe Grosse"))])
    assert [hit.kind for hit in library.find(Question(words))] == ["line"]


@pytest.mark.parametrize(
    "words", ["screw -m3", "screw OR absent", "absent", "' OR 1=1 --", "moment_text:screw", "scr*w"]
)
def test_operators_are_words_that_are_not_there(library: Library, words: str) -> None:
    recording = a_recording(library)
    library.lines.hear(recording.id, [a_line(recording, 0, "the screw sits")])
    assert library.find(Question(words)) == []


def test_marks_alone_ask_nothing() -> None:
    assert Question('" * ( -').is_empty


def test_the_last_word_may_be_a_beginning_and_is_marked(library: Library) -> None:
    recording = a_recording(library)
    library.lines.hear(recording.id, [a_line(recording, 0, "the channels are thick")])
    (hit,) = library.find(Question("chan"))
    assert hit.snippet == "the \x02channels\x03 are thick"
    assert (hit.session_id, hit.recording_id, hit.start_ms) == (recording.session_id, recording.id, 0)


def test_filters_find_tags_and_what_was_said_during_them(library: Library) -> None:
    reed = library.reeds.add(Reed("B-14"))
    recording = a_recording(library, reed=reed)
    tag = a_tag(library, recording, zones=("rails", "channels"), blade="both", symptoms=("flat",))
    library.lines.hear(recording.id, [a_line(recording, 2000, "a little off here"), a_line(recording, 9000, "a rest")])
    for question in (Question(zone="rails"), Question(step="scrape"), Question(symptom="flat"), Question(blade="up")):
        hits = library.find(question)
        assert [(hit.kind, hit.row_id) for hit in hits] == [("tag", tag.id), ("line", 1)]
    assert [hit.kind for hit in library.find(Question("off", zone="rails"))] == ["line"]
    assert library.find(Question(zone="heart")) == []
    assert {hit.kind for hit in library.find(Question(reed_id=reed.id))} == {"reed", "tag", "line"}


def test_a_tag_is_found_by_the_words_of_the_trade(library: Library) -> None:
    a_tag(library, a_recording(library), symptoms=("resistant",), note="again")
    assert [hit.kind for hit in library.find(Question("too resistant"))] == ["tag"]


def test_the_index_stays_in_step_through_every_kind_of_change(library: Library) -> None:
    recording = a_recording(library)
    tag = a_tag(library, recording, note="alpha")
    library.tags.change(replace(tag, note="beta"))
    assert library.find(Question("alpha")) == []
    assert len(library.find(Question("beta"))) == 1
    library.tags.remove(tag.id)
    assert library.find(Question("beta")) == []
    library.journal.undo()
    assert len(library.find(Question("beta"))) == 1
    library.lines.hear(recording.id, [a_line(recording, 0, "gamma")])
    library.lines.hear(recording.id, [a_line(recording, 0, "delta")])
    assert library.find(Question("gamma")) == []
    assert library.check() == []


def test_a_reed_renamed_is_found_by_its_new_name_on_its_tags(library: Library) -> None:
    reed = library.reeds.add(Reed("Old7"))
    a_tag(library, a_recording(library, reed=reed))
    library.reeds.change(replace(reed, name="New7"))
    assert {hit.kind for hit in library.find(Question("New7"))} == {"reed", "tag"}
    assert library.find(Question("Old7")) == []


def test_drift_is_seen_and_mended(library: Library) -> None:
    recording = a_recording(library)
    library.tags.add_all([Tag(recording.id, 0, 500, "scrape"), Tag(recording.id, 500, 900, "sand")])
    with library.writing() as connection:
        connection.exec_driver_sql("DELETE FROM moment_text WHERE rowid = 1")
        connection.exec_driver_sql("DELETE FROM moment WHERE kind = 'tag' AND row_id = 1")
    assert "tag 1 is not in the search index" in library.check()
    with library.writing() as connection:
        assert index.rebuild(connection) == 3
    assert library.check() == []


def test_the_newest_session_comes_first_without_words(library: Library) -> None:
    first = a_recording(library, "a")
    second = a_recording(library, "b")
    session = library.sessions.get(second.session_id)
    library.sessions.change(replace(session, date="2026-04-01"))
    a_tag(library, first)
    a_tag(library, second)
    assert [hit.recording_id for hit in library.find(Question(step="scrape"))] == [second.id, first.id]
    assert [hit.recording_id for hit in library.find(Question(step="scrape", until="2026-03-31"))] == [first.id]


def test_a_character_that_ends_a_text_early_is_a_blank(library: Library) -> None:
    library.sessions.add(Session("2026-03-14", note="wet cane"))
    assert [hit.kind for hit in library.find(Question("wet\x00cane"))] == ["session"]
