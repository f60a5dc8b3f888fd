"""Values for tests: an invented reed, session and recording, without a media file."""

from __future__ import annotations

from fractions import Fraction

from annotate.library import Library
from annotate.model import Line, Probe, Recording, Reed, Session, Stream, Tag, Word

PICTURE = Stream(0, "picture", "h264", rate=Fraction(30), pixel_format="yuv420p")
SOUND = Stream(1, "sound", "aac", rate=Fraction(48000), channels=1)
PROBE = Probe("mp4", 60_000, Fraction(0), (PICTURE, SOUND), 0, 1, 640, 360, rate=Fraction(30))


def a_recording(library: Library, mark: str = "a", reed: Reed | None = None) -> Recording:
    """A stored recording of one minute, in a session of its own; its file does not exist."""
    session = library.sessions.add(Session("2026-03-14", "Evening at the bench"))
    name = f"{mark}.mp4"
    return library.recordings.add(
        Recording(session.id, name, f"recordings/{name}", True, mark * 64, 10, PROBE, reed_id=reed.id if reed else None)
    )


def a_tag(library: Library, recording: Recording, **told: object) -> Tag:
    """A stored tag of five seconds."""
    values = {"start_ms": 1000, "end_ms": 6000, "step": "scrape", "zones": ("channels",), **told}
    return library.tags.add(Tag(recording.id, **values))  # type: ignore[arg-type]


def a_line(recording: Recording, start_ms: int, text: str) -> Line:
    """A line whose words last 300 ms each."""
    words = tuple(Word(start_ms + 300 * n, start_ms + 300 * (n + 1), word) for n, word in enumerate(text.split()))
    return Line(recording.id, start_ms, words[-1].end_ms, text, words)
