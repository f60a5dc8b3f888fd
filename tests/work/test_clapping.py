"""Marks laid by a clap that was pressed and is heard; by the clock where none is."""

from __future__ import annotations

import wave
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from annotate.errors import BadInput
from annotate.intake.probe import probe
from annotate.library import Library
from annotate.model import Mark, Recording
from annotate.work.clapping import begun_of
from annotate.work.laying import CLAP, lay, lay_down, open_marks
from tests.listen.test_clap import RATE, clap, noise, put
from tests.making import a_recording

SECONDS = 40


def filmed(library: Library, recorded_at: str | None, *claps_s: float, mark: str = "a") -> Recording:
    """A recording of 40 s of a quiet room, with claps."""
    chance = np.random.default_rng(11)
    sound = noise(chance, SECONDS, 0.0005)
    for at_s in claps_s:
        sound = put(sound, clap(chance), at_s)
    recording = a_recording(library, mark)
    path = Path(library.path(f"recordings/{mark}.wav"))
    with wave.open(str(path), "wb") as file:
        file.setparams((1, 2, RATE, 0, "NONE", ""))
        file.writeframes((np.clip(sound, -1, 1) * 32767).astype("<i2").tobytes())
    told = replace(probe(path), recorded_at=recorded_at)
    return library.recordings.change(replace(recording, path=f"recordings/{mark}.wav", probe=told))


def pressed(library: Library, at: str, step: str) -> Mark:
    return library.marks.add(Mark(f"2026-03-14T{at}+00:00", step))


def test_the_clap_tells_when_the_recording_began(library: Library) -> None:
    recording = filmed(library, "2026-03-14T18:02:00Z", 12.0)  # the camera's clock is two minutes ahead
    pressed(library, "18:00:12.000", CLAP)
    pressed(library, "18:00:20.000", "scrape")
    begun = begun_of(library, recording)
    assert abs((begun.at - datetime(2026, 3, 14, 18, 0, tzinfo=UTC)).total_seconds()) < 0.01
    assert begun.told == "Laid by the clap heard at 0:12.0, 120.0 s later than by the clock."
    (tag,) = lay_down(library, recording, 0, begun)
    assert tag.step == "scrape" and abs(tag.start_ms - 20_000) < 10
    assert open_marks(library) == []  # the clap is used
    library.journal.undo()
    assert [mark.step for mark in open_marks(library)] == [CLAP, "scrape"]


def test_a_time_of_the_end_is_no_hindrance(library: Library) -> None:
    recording = filmed(library, "2026-03-14T18:00:40Z", 5.0)  # this camera wrote the time at the end
    pressed(library, "18:00:05.000", CLAP)
    pressed(library, "18:00:10.000", "scrape")
    (laid,) = lay(open_marks(library), recording, 0, begun_of(library, recording))
    assert abs(laid.start_ms - 10_000) < 10


def test_a_recording_that_does_not_say_its_time_is_laid_by_the_clap(library: Library) -> None:
    recording = filmed(library, None, 30.0)
    with pytest.raises(BadInput, match="does not say when it was filmed"):
        begun_of(library, recording)
    pressed(library, "18:00:30.000", CLAP)
    begun = begun_of(library, recording)
    assert abs((begun.at - datetime(2026, 3, 14, 18, 0, tzinfo=UTC)).total_seconds()) < 0.01
    assert begun.told == "Laid by the clap heard at 0:30.0."


def test_two_pressed_claps_agree_against_a_door(library: Library) -> None:
    recording = filmed(library, "2026-03-14T18:00:03Z", 6.0, 15.0, 33.0)
    pressed(library, "18:00:15.200", CLAP)
    pressed(library, "18:00:33.000", CLAP)  # 6.0 was a door
    assert abs((begun_of(library, recording).at - datetime(2026, 3, 14, 18, 0, tzinfo=UTC)).total_seconds()) < 0.3


def test_no_clap_heard_or_none_near_is_laid_by_the_clock_and_said(library: Library) -> None:
    recording = filmed(library, "2026-03-14T18:00:00Z")
    pressed(library, "18:00:05.000", "scrape")
    assert begun_of(library, recording).told == "Laid by the clock of the camera."
    pressed(library, "18:00:02.000", CLAP)
    told = "No clap is heard within 5 minutes of where it was pressed: laid by the clock."
    assert begun_of(library, recording).told == told
    yesterday = filmed(library, "2026-03-13T18:00:00Z", 12.0, mark="b")
    assert begun_of(library, yesterday).told == "Laid by the clock of the camera."


def test_a_file_that_is_gone_is_laid_by_the_clock(library: Library) -> None:
    recording = a_recording(library)
    told = replace(recording.probe, recorded_at="2026-03-14T18:00:00Z")
    recording = library.recordings.change(replace(recording, probe=told))
    pressed(library, "18:00:02.000", CLAP)
    assert begun_of(library, recording).told == "The sound cannot be read to look for the clap: laid by the clock."
