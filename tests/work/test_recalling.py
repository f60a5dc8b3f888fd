"""A recap is linked to the earlier work that it tells again; undo takes the link back."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from annotate.errors import BadInput
from annotate.library import Library
from annotate.model import Recording, Reed, Session, Sound, Suggestion, Tag
from annotate.work.deciding import ToldAgain, accept, accept_all
from annotate.work.recalling import Past, retold
from annotate.work.suggesting import open_ones, suggest
from tests.making import PROBE, a_line, a_recording

LONG = replace(PROBE, duration_ms=600_000)


def two_sittings(library: Library) -> tuple[Recording, Recording]:
    """A recording of 3 March and one of 7 March, both of reed B-12."""
    reed = library.reeds.add(Reed("B-12"))
    first = a_recording(library, reed=reed)
    library.sessions.change(replace(library.sessions.get(first.session_id), date="2026-03-03"))
    second = library.sessions.add(Session("2026-03-07"))
    later = library.recordings.add(
        replace(first, id=0, session_id=second.id, fingerprint="f" * 64, path="recordings/later.mp4")
    )
    return first, later


def recap(recording: Recording, start_ms: int, zones: tuple[str, ...] = (), step: str = "scrape") -> Suggestion:
    content: dict[str, Any] = {"step": step, "zones": list(zones), "blade": None, "side": None, "symptoms": []}
    content |= {"reed": "B-12", "reed_id": recording.reed_id}
    return Suggestion(recording.id, start_ms, start_ms + 2000, "recap", content, "Last time.", "told", 0.85)


def proposed(library: Library, *recaps: Suggestion) -> list[Suggestion]:
    library.suggestions.propose(recaps[0].recording_id, recaps)
    return open_ones(library, recaps[0].recording_id)


def test_the_latest_earlier_tag_of_the_step_at_the_place_is_meant(library: Library) -> None:
    first, later = two_sittings(library)
    other = library.reeds.add(Reed("B-9"))
    tags = library.tags.add_all(
        [
            Tag(first.id, 1000, 5000, "scrape", ("rails",)),
            Tag(first.id, 20_000, 25_000, "scrape", ("tip", "corners")),
            Tag(first.id, 30_000, 35_000, "sand", ("rails",)),
            Tag(first.id, 40_000, 45_000, "scrape", ("rails",), reed_id=other.id),
        ]
    )
    past = Past(library)
    assert past.tag_of(recap(later, 10_000, ("rails", "heart"))) == tags[0]
    assert past.tag_of(recap(later, 10_000, ("tip",))) == tags[1]
    assert past.tag_of(recap(later, 10_000)) == tags[1]  # without a place: the latest of the step
    assert past.tag_of(recap(later, 10_000, ("heart",))) is None
    assert past.tag_of(recap(first, 500, ("rails",))) is None  # nothing lies before it
    unknown = recap(later, 10_000)
    assert past.tag_of(replace(unknown, content={**unknown.content, "reed": "Z-1", "reed_id": None})) is None


def test_work_of_the_same_sitting_is_told_again_only_when_it_is_minutes_ago(library: Library) -> None:
    first, later = two_sittings(library)
    after = library.recordings.add(
        replace(later, id=0, fingerprint="e" * 64, path="recordings/after.mp4", position=1, probe=LONG)
    )
    before = library.tags.add(Tag(first.id, 1000, 5000, "scrape", ("rails",)))
    same = library.tags.add(Tag(later.id, 30_000, 34_000, "scrape", ("rails",)))
    past = Past(library)
    assert past.tag_of(recap(later, 50_000, ("rails",))) == before  # not what was done a moment ago
    assert past.tag_of(recap(after, 273_999, ("rails",))) == before  # 26 s of the first and these
    assert past.tag_of(recap(after, 274_000, ("rails",))) == same
    now = library.tags.add(Tag(after.id, 100_000, 110_000, "scrape", ("rails",)))
    assert Past(library).tag_of(recap(after, 409_999, ("rails",))) == same
    assert Past(library).tag_of(recap(after, 410_000, ("rails",))) == now


def test_what_is_told_of_this_day_is_of_no_other(library: Library) -> None:
    first, later = two_sittings(library)
    library.recordings.change(replace(later, probe=LONG))
    library.tags.add(Tag(first.id, 1000, 5000, "scrape", ("rails",)))
    evening = replace(recap(later, 400_000, ("rails",)), evidence="This evening it was the rails.")
    assert Past(library).tag_of(evening) is None
    same = library.tags.add(Tag(later.id, 2000, 4000, "scrape", ("rails",)))
    assert Past(library).tag_of(evening) == same
    assert Past(library).tag_of(replace(evening, start_ms=200_000)) is None


def test_an_accepted_recap_is_linked_and_undone(library: Library) -> None:
    first, later = two_sittings(library)
    tag = library.tags.add(Tag(first.id, 1000, 5000, "scrape", ("rails",)))
    (one,) = proposed(library, recap(later, 9000, ("rails",)))
    made = accept(library, one)
    assert isinstance(made, ToldAgain) and made.tag == tag
    assert library.suggestions.get(one.id).content["tag_id"] == tag.id
    assert [(told.address, told.session.date) for told in retold(library)[tag.id]] == [
        (f"/sessions/{later.session_id}?recording={later.id}&at=9000", "2026-03-07")
    ]
    assert library.tags.all() == [tag]
    proposed_again = proposed(library, recap(later, 9000, ("rails",)))
    assert proposed_again == []
    library.journal.undo(later.session_id)
    assert library.suggestions.get(one.id).state == "open"
    assert retold(library) == {}


def test_a_recap_without_earlier_work_stays_open_or_becomes_a_tag(library: Library) -> None:
    _, later = two_sittings(library)
    (one,) = proposed(library, recap(later, 9000, ("rails",)))
    with pytest.raises(BadInput, match="No earlier tag of this work was found"):
        accept(library, one)
    assert accept_all(library, [one]) == []
    assert library.suggestions.get(one.id).state == "open"
    tag = accept(library, one, Tag(later.id, 9000, 11_000, "scrape", ("rails",)))
    assert isinstance(tag, Tag)
    assert library.suggestions.get(one.id).state == "accepted"
    assert retold(library) == {}


def test_a_recap_may_tell_of_what_is_accepted_with_it(library: Library) -> None:
    _, later = two_sittings(library)
    library.recordings.change(replace(later, probe=LONG))
    work = replace(recap(later, 2000, ("rails",)), kind="tag")
    unknown = proposed(library, recap(later, 400_000, ("rails",)), work, recap(later, 1000, ("heart",)))
    told, done = sorted((one for one in unknown if one.start_ms != 1000), key=lambda one: one.kind)
    made = accept_all(library, unknown)
    (tag,) = library.tags.all()
    assert [one.tag for one in made if isinstance(one, ToldAgain)] == [tag]
    assert {one.state for one in map(library.suggestions.get, (told.id, done.id))} == {"accepted"}
    assert [one.start_ms for one in open_ones(library, later.id)] == [1000]
    assert library.journal.undo(later.session_id) == "accepted 2 suggestions"


def test_spoken_of_earlier_work_is_linked(library: Library) -> None:
    first, later = two_sittings(library)
    tag = library.tags.add(Tag(first.id, 1000, 5000, "scrape", ("tip", "corners")))
    library.lines.hear(later.id, [a_line(later, 1000, "Last time I scraped the tip and the corners.")])
    library.recordings.hear(later.id, [(Sound(0, 60_000, "speech"), {})])
    (one,) = suggest(library, later)
    assert one.kind == "recap"
    made = accept(library, one)
    assert isinstance(made, ToldAgain) and made.tag == tag
