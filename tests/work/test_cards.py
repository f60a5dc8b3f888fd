"""Cards shown to the camera say which reed is in hand."""

from annotate.library import Library
from annotate.model import CardShown, Reed, Session
from annotate.work.adding import Adding, add_file
from annotate.work.engine import run_jobs
from annotate.work.suggesting import suggest
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


def test_the_demo_film_shows_its_card(library: Library) -> None:
    session = library.sessions.add(Session("2026-03-03"))
    recording = add_file(library, media_path("b12-first-sitting.mp4"), session.id, Adding())
    run_jobs(library, [library.jobs.put("prepare", {"recording_id": recording.id}).id], lambda _: None)
    (card,) = library.recordings.cards(recording.id)
    assert card.name == "B-12"
    assert card.start_ms < 5000
