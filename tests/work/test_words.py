"""Find and replace over a session, and transcripts from elsewhere; each is one step of undo."""

from __future__ import annotations

from dataclasses import replace

import pytest

from annotate.errors import BadInput
from annotate.formats.cues import Cue
from annotate.library.store import Library
from annotate.work.bringing import bring
from annotate.work.replacing import Search, changes, replace_all
from tests.browser.seed import Seeded, line, seed


@pytest.fixture
def seeded(library: Library) -> Seeded:
    """An invented library."""
    return seed(library)


def texts(library: Library, seeded: Seeded) -> list[str]:
    return [one.text for one in library.lines.of_recording(seeded.recording.id)]


def test_find_and_replace_keeps_word_times(library: Library, seeded: Seeded) -> None:
    before = library.lines.of_recording(seeded.recording.id)
    found = changes(library, seeded.first.id, Search("The", "Those"))
    assert [(one.text, one.count) for one in found] == [
        ("Those low notes sound flat today.", 1),
        ("So I take a little off Those rails.", 1),
    ]
    assert texts(library, seeded) == [one.text for one in before]
    replace_all(library, seeded.first.id, Search("low notes", "bottom notes"))
    after = library.lines.of_recording(seeded.recording.id)
    assert after[0].text == "The bottom notes sound flat today."
    assert [word.start_ms for word in after[0].words] == [word.start_ms for word in before[0].words]
    assert after[0].heard_text == before[0].text
    library.journal.undo(seeded.first.id)
    assert texts(library, seeded) == [one.text for one in before]


def test_what_is_looked_for(library: Library, seeded: Seeded) -> None:
    def count(search: Search) -> int:
        return sum(one.count for one in changes(library, seeded.first.id, search))

    assert count(Search("on", "off")) == 0
    assert count(Search("on", "off", whole_words=False)) == 1  # one
    assert count(Search("the", "a", same_capitals=True)) == 1
    assert count(Search("little  off", "bit off")) == 1
    assert count(Search("rails.", r"\1 rails.")) == 1  # signs stand for themselves
    assert changes(library, seeded.first.id, Search("rails.", r"\1"))[0].text.endswith(r"off the \1")
    with pytest.raises(BadInput):
        Search("  ", "x")


def test_a_transcript_replaces_unchanged_lines(library: Library, seeded: Seeded) -> None:
    lines = library.lines.of_recording(seeded.recording.id)
    library.lines.change(replace(lines[1], text="So I take a bit off the rails."))
    before = texts(library, seeded)
    cues = [
        *(Cue(0, 2400, "A new\nfirst line."), Cue(2500, 3500, "This would overlap.")),
        *(Cue(5000, 9000, "The last one."), Cue(60_000, 61_000, "Past the end.")),
    ]
    brought = bring(library, seeded.recording.id, cues)
    assert texts(library, seeded) == ["A new first line.", "So I take a bit off the rails.", "The last one."]
    assert (len(brought.lines), brought.kept, brought.left_out) == (2, 1, 2)
    assert brought.lines[0].end_ms == 2200  # where the maker's line begins
    assert brought.lines[1].end_ms == seeded.recording.duration_ms
    assert [word.text for word in brought.lines[0].words] == ["A", "new", "first", "line."]
    library.lines.hear(seeded.recording.id, [line(seeded.recording, 200, "Heard again.")])  # what was brought in stays
    assert texts(library, seeded)[0] == "A new first line."
    library.journal.undo(seeded.first.id)
    assert texts(library, seeded) == before


def test_a_transcript_of_another_recording(library: Library, seeded: Seeded) -> None:
    with pytest.raises(BadInput, match="past the end"):
        bring(library, seeded.recording.id, [Cue(600_000, 601_000, "Elsewhere.")])
    assert len(texts(library, seeded)) == 3
