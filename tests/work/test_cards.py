"""Cards shown to the camera say which reed is in hand."""

from dataclasses import replace
from decimal import Decimal

from annotate.find.question import Question
from annotate.library import Library
from annotate.model import CardShown, Mark, Reading, Reed, Session, Sound, Tag
from annotate.work.adding import Adding, add_file
from annotate.work.deciding import accept
from annotate.work.engine import run_jobs
from annotate.work.laying import Laid, tag_of
from annotate.work.reed_sounds import sounds_of_reed
from annotate.work.suggesting import open_ones, suggest
from demo_media import media_path
from tests.making import a_line, a_recording, a_tag


def test_a_tag_takes_the_reed_whose_card_was_shown_last(library: Library) -> None:
    first, second = library.reeds.add(Reed("B-14")), library.reeds.add(Reed("B-15"))
    recording = a_recording(library, reed=first)
    library.recordings.see_cards(recording.id, [CardShown(10_000, 12_000, "B-15"), CardShown(30_000, 31_000, "Z-9")])
    assert a_tag(library, recording, start_ms=1000, end_ms=6000).reed_id == first.id
    assert a_tag(library, recording, start_ms=14_000, end_ms=16_000).reed_id == second.id
    assert a_tag(library, recording, start_ms=40_000, end_ms=41_000).reed_id == second.id


def test_suggestions_take_the_card_too(library: Library) -> None:
    library.reeds.add(Reed("B-14"))
    second = library.reeds.add(Reed("B-15"))
    recording = a_recording(library)
    library.recordings.see_cards(recording.id, [CardShown(10_000, 12_000, "B-15")])
    library.lines.hear(recording.id, [a_line(recording, 15_000, "I scrape the left rail.")])
    (one,) = suggest(library, recording)
    assert one.content["reed_id"] == second.id


def test_open_suggestions_follow_the_reed_of_the_recording(library: Library) -> None:
    first, second = library.reeds.add(Reed("B-14")), library.reeds.add(Reed("B-15"))
    recording = a_recording(library)
    library.lines.hear(recording.id, [a_line(recording, 15_000, "I scrape the left rail.")])

    def told() -> list[tuple[int | None, str | None]]:
        return [(one.content["reed_id"], one.content["reed"]) for one in open_ones(library, recording.id)]

    suggest(library, recording)
    assert told() == [(None, None)]
    recording = library.recordings.change(replace(recording, reed_id=first.id))
    assert told() == [(first.id, "B-14")]
    suggest(library, recording)
    library.recordings.change(replace(recording, reed_id=second.id))
    assert told() == [(second.id, "B-15")]
    library.journal.undo(recording.session_id)
    assert told() == [(first.id, "B-14")]
    library.recordings.see_cards(recording.id, [CardShown(10_000, 12_000, "B-15")])
    assert told() == [(second.id, "B-15")]
    (one,) = open_ones(library, recording.id)
    tag = accept(library, one)
    assert isinstance(tag, Tag) and tag.reed_id == second.id


def test_a_suggestion_that_names_a_reed_stays_of_it(library: Library) -> None:
    first, second = library.reeds.add(Reed("B-14")), library.reeds.add(Reed("B-15"))
    recording = a_recording(library, reed=first)
    library.lines.hear(recording.id, [a_line(recording, 15_000, "This is reed B-15, I scrape the left rail.")])
    suggest(library, recording)
    library.recordings.change(replace(recording, reed_id=None))
    assert {one.content["reed_id"] for one in open_ones(library, recording.id)} == {second.id}


def test_the_demo_film_shows_its_card(library: Library) -> None:
    session = library.sessions.add(Session("2026-03-03"))
    recording = add_file(library, media_path("b12-first-sitting.mp4"), session.id, Adding())
    run_jobs(library, [library.jobs.put("prepare", {"recording_id": recording.id}).id], lambda _: None)
    (card,) = library.recordings.cards(recording.id)
    assert card.name == "B-12"
    assert card.start_ms < 5000


def test_readings_sounds_and_marks_take_the_card_too(library: Library) -> None:
    reed = library.reeds.add(Reed("B-15"))
    recording = a_recording(library)
    library.recordings.see_cards(recording.id, [CardShown(10_000, 12_000, "B-15")])
    library.recordings.hear(recording.id, [(Sound(2000, 4000, "crow"), {}), (Sound(20_000, 22_000, "crow"), {})])
    before, after = (
        Reading("cents", Decimal(-9), "cents", recording_id=recording.id, at_ms=at) for at in (500, 15_000)
    )
    assert library.readings.add(before).reed_id is None
    assert library.readings.add(after).reed_id == reed.id
    assert [sound.start_ms for sound in sounds_of_reed(library, reed.id)] == [20_000]
    laid = Laid(Mark("2026-03-14T18:00:20.000Z", "crow"), 20_000, 22_000)
    assert library.tags.add(tag_of(laid, recording)).reed_id == reed.id


def test_a_card_says_whose_words_are_heard(library: Library) -> None:
    library.reeds.add(Reed("H-5", "oboe"))
    recording = a_recording(library)
    library.recordings.see_cards(recording.id, [CardShown(10_000, 12_000, "H-5")])
    library.lines.hear(recording.id, [a_line(recording, 15_000, "Now I take a little off the left window.")])
    (one,) = suggest(library, recording)
    assert one.content["zones"] == ["windows"]


def test_lines_are_found_by_the_reed_that_is_set_later(library: Library) -> None:
    reed = library.reeds.add(Reed("B-15"))
    recording = a_recording(library)
    library.lines.hear(recording.id, [a_line(recording, 15_000, "It sounds flat.")])
    assert library.find(Question("flat", reed_id=reed.id)) == []
    library.recordings.change(replace(recording, reed_id=reed.id))
    assert [hit.shown for hit in library.find(Question("flat", reed_id=reed.id))] == ["It sounds flat."]
