"""What follows from a change of a session, a recording or a reed, in the same step of undo."""

from dataclasses import replace
from decimal import Decimal

from annotate.library import Library
from annotate.model import Reading
from tests.making import a_recording


def a_reading(**told: object) -> Reading:
    return Reading("tip_opening", Decimal("1.6"), "mm", **told)  # type: ignore[arg-type]


def test_readings_follow_the_day_of_their_session(library: Library) -> None:
    recording, other = a_recording(library), a_recording(library, "b")
    own, set_by_hand, elsewhere = library.readings.add_all(
        [
            a_reading(recording_id=recording.id, at_ms=0),
            a_reading(recording_id=recording.id, at_ms=0, taken_on="2026-03-10"),
            a_reading(recording_id=other.id, at_ms=0),
        ]
    )
    library.sessions.change(replace(library.sessions.get(recording.session_id), date="2026-03-13"))
    days = [library.readings.get(one.id).taken_on for one in (own, set_by_hand, elsewhere)]
    assert days == ["2026-03-13", "2026-03-10", "2026-03-14"]
    assert library.journal.undo(recording.session_id) == "changed a session"
    assert library.readings.get(own.id).taken_on == "2026-03-14"
    assert library.sessions.get(recording.session_id).date == "2026-03-14"
