"""Model values as plain data for JSON."""

from __future__ import annotations

from typing import Any

from annotate.library.codec import row_of
from annotate.model import Job, Recording


def plain(value: Any) -> dict[str, Any]:
    """Any model value as JSON can hold it; numbers that must stay exact are text."""
    return row_of(value)


def plain_recording(recording: Recording) -> dict[str, Any]:
    """A recording with the addresses of its files; where it lies on the disk stays out."""
    data = plain(recording)
    for name in ("path", "playable_path", "peaks_path", "sheet_path"):
        data.pop(name)
    base = f"/media/recordings/{recording.id}"
    return {
        **data,
        "duration_ms": recording.duration_ms,
        "media": f"{base}/play",
        "peaks": f"{base}/peaks" if recording.peaks_path else None,
        "sheet": f"{base}/sheet" if recording.sheet_path else None,
        "is_playable": bool(recording.playable_path) or not recording.probe.needs_playable,
    }


def plain_job(job: Job) -> dict[str, Any]:
    """A job as the work page shows it."""
    return plain(job)
