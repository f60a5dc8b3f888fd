"""Another sound track of a recording: chosen later, and all that follows from it made anew."""

from __future__ import annotations

import pytest

from annotate.errors import BadInput
from annotate.library import Library
from annotate.model import Session
from annotate.work.adding import add_file
from annotate.work.tracks import track_told, tracks_of, use_track
from tests import media


def test_another_track_is_used_and_heard_anew(library: Library) -> None:
    recording = add_file(library, media.two_tracks(), library.sessions.add(Session("2026-03-14")).id)
    assert [track_told(one, number) for number, one in enumerate(tracks_of(recording), 1)] == [
        "1, deu",
        "2, Lapel, eng",
    ]
    assert recording.probe.sound_stream == 2  # the one that the file names as the usual one
    made = use_track(library, recording, 1)
    assert made.probe.sound_stream == 1
    assert [(job.kind, job.subject) for job in library.jobs.all()] == [
        ("listen", {"recording_id": 1}), ("prepare", {"recording_id": 1})
    ]  # fmt: skip
    assert use_track(library, made, 1) == made
    with pytest.raises(BadInput, match="has no sound track 7"):
        use_track(library, made, 7)
    library.journal.undo()
    assert library.recordings.get(1).probe.sound_stream == 2
