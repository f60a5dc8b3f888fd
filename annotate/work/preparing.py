"""Makes what the pages need of a recording: a playable copy, the waveform, a contact sheet."""

from __future__ import annotations

from pathlib import Path

from annotate.intake.cards_seen import find_cards
from annotate.intake.peaks import measure_peaks, write_peaks
from annotate.intake.playable import make_playable, own_name, playable_path
from annotate.intake.sheet import write_sheet
from annotate.library import Library
from annotate.model import CardShown, Job, Recording
from annotate.work.files import original
from annotate.work.report import Report, part
from annotate.work.suggesting import suggest


def prepare(library: Library, job: Job, report: Report) -> dict[str, str]:
    """The task "prepare": subject ``recording_id``."""
    recording = library.recordings.get(int(job.subject["recording_id"]))
    path, probed, mark = original(library, recording), recording.probe, recording.fingerprint
    made: dict[str, str] = {}
    if probed.sound_stream is not None:
        made["peaks_path"] = f"peaks/{own_name(mark, probed)}.peaks"
        progress = part(report, 0.0, 0.1, "drawing the waveform")
        write_peaks(measure_peaks(path, probed, progress, report.cancelled), library.path(made["peaks_path"]))
        library.recordings.note_made(recording.id, **made)
    if probed.picture_stream is not None:
        made["sheet_path"] = f"sheets/{mark[:16]}.jpg"
        progress = part(report, 0.1, 0.3, "taking stills")
        write_sheet(path, probed, library.path(made["sheet_path"]), progress, report.cancelled)
        library.recordings.note_made(recording.id, **made)
    if probed.needs_playable:
        made["playable_path"] = playable_path(mark, probed)
        progress = part(report, 0.3, 0.9, "making a copy that browsers play")
        make_playable(path, probed, library.path(made["playable_path"]), progress, report.cancelled)
        library.recordings.note_made(recording.id, **made)
    if probed.picture_stream is not None:
        _see_cards(library, recording, path, report)
    return made


def _see_cards(library: Library, recording: Recording, path: Path, report: Report) -> None:
    """Find the reed cards shown, and propose anew where they say which reed was in hand."""
    progress = part(report, 0.9, 1.0, "looking for reed cards")
    seen = find_cards(path, recording.probe, progress, report.cancelled)
    library.recordings.see_cards(recording.id, [CardShown(one.at_ms, one.until_ms, one.name) for one in seen])
    if seen and library.lines.of_recording(recording.id):
        suggest(library, recording)
