"""An invented library for the browser tests: two sessions of reed B14, one of an oboe reed, and a lesson."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from annotate.intake.fingerprint import fingerprint
from annotate.intake.probe import probe
from annotate.library.store import Library
from annotate.model import Clip, Correction, Lesson, Line, Reading, Recording, Reed, Session, Sound, Tag, Word
from tests import media


@dataclass(frozen=True)
class Seeded:
    """What lies in the library."""

    bassoon: Reed
    oboe: Reed
    first: Session
    second: Session
    recording: Recording
    later: Recording
    lesson: Lesson


def store(library: Library, path: Path, session: Session, name: str, reed: Reed | None = None) -> Recording:
    """A recording of a file, as adding would store it, without the jobs."""
    mark = fingerprint(path)
    kept = f"recordings/{mark[:16]}{path.suffix}"
    shutil.copyfile(path, library.path(kept))
    return library.recordings.add(
        Recording(
            session_id=session.id,
            name=name,
            path=kept,
            is_kept=True,
            fingerprint=mark,
            size_bytes=path.stat().st_size,
            probe=probe(path),
            position=len(library.recordings.of_session(session.id)),
            reed_id=reed.id if reed else None,
        )
    )


def line(recording: Recording, start_ms: int, text: str) -> Line:
    """A line whose words take 250 ms each."""
    words = tuple(Word(start_ms + 250 * n, start_ms + 250 * n + 240, word) for n, word in enumerate(text.split()))
    return Line(recording.id, start_ms, words[-1].end_ms, text, words, text)


def seed(library: Library) -> Seeded:
    """Fill an empty library."""
    bassoon = library.reeds.add(
        Reed("B14", "bassoon", "breaking_in", "2026-02-20", "Dense cane from the winter batch.")
    )
    oboe = library.reeds.add(Reed("O3", "oboe", "in_progress"))
    library.reeds.add(Reed("B09", "bassoon", "resting"))
    first = library.sessions.add(
        Session("2026-03-02", "First scrape", "Attic", Decimal("19.5"), Decimal(41), "Rain since the morning.", "free")
    )
    second = library.sessions.add(Session("2026-03-09", "", "Attic", Decimal(21), Decimal(55), sharing="people"))
    third = library.sessions.add(Session("2026-03-11", "Oboe reed", "Kitchen table", sharing="free"))
    recording = store(library, media.base(), first, "bench 1.mp4", bassoon)
    later = store(library, media.click(), second, "bench 2.mp4", bassoon)
    store(library, media.only_sound("wav"), third, "crow.wav", oboe)
    lines = [
        line(recording, 200, "The low notes sound flat today."),
        line(recording, 2200, "So I take a little off the rails."),
        line(recording, 4300, "Tip opening one point six millimetres."),
        line(later, 300, "A week later it is stable but flat."),
    ]
    library.lines.hear(recording.id, lines[:3])
    library.lines.hear(later.id, lines[3:])
    sounds = [Sound(0, 2000, "speech", 0.98), Sound(2000, 4200, "scrape", 0.94), Sound(4200, 6000, "crow", 0.9)]
    library.recordings.hear(recording.id, [(sound, None) for sound in sounds])
    tags = library.tags.add_all(
        [
            Tag(recording.id, 0, 1900, "play", (), reed_id=bassoon.id, symptoms=("flat",)),
            Tag(
                recording.id, 2000, 4200, "scrape", ("rails",), "up", "left", bassoon.id, (), "A few strokes each side."
            ),
            Tag(recording.id, 4200, 5800, "measure", ("tip",), reed_id=bassoon.id),
            Tag(later.id, 500, 3000, "scrape", ("back", "channels"), "both", None, bassoon.id, ("flat", "stuffy")),
        ]
    )
    readings = [
        Reading("tip_opening", Decimal("1.6"), "mm", tag_id=tags[2].id, moisture="wet", tool="taper gauge"),
        Reading("tip_opening", Decimal("1.4"), "mm", recording_id=later.id, at_ms=3500, moisture="wet"),
        Reading("tip_opening", Decimal("1.5"), "mm", reed_id=bassoon.id, taken_on="2026-03-14", moisture="wet"),
        Reading("length", Decimal("2.25"), "in", reed_id=bassoon.id, taken_on="2026-03-02"),
    ]
    library.readings.add_all(readings)
    library.corrections.add(Correction(recording.id, 2300, 3500, "off the rails", "off the channels, not the rails"))
    lesson = library.lessons.add(
        Lesson(
            "Bringing a flat reed up",
            "Know where to take cane when a new reed is flat.",
            "second-year students",
            ("knife", "plaque"),
            "Less is more.",
            clips=(
                Clip(recording.id, 2000, 4200, "Scrape: rails", "", tags[1].id),
                Clip(later.id, 500, 3000, "Scrape: back, channels", "", tags[3].id),
            ),
        )
    )
    return Seeded(bassoon, oboe, first, second, recording, later, lesson)
