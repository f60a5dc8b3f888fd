"""Which of several sound tracks of a recording is heard and played; a lapel microphone is often the second one."""

from __future__ import annotations

from dataclasses import replace

from annotate.intake.probe import probe
from annotate.library import Library
from annotate.model import Recording, Stream
from annotate.work.adding import jobs_for
from annotate.work.files import original


def tracks_of(recording: Recording) -> list[Stream]:
    """The sound tracks of a recording's file."""
    return [one for one in recording.probe.streams if one.kind == "sound"]


def track_told(track: Stream, number: int) -> str:
    """A sound track in words: its number among them, its title and language as far as the file says them."""
    return ", ".join(filter(None, (str(number), track.title, track.language, "stereo" if track.channels == 2 else "")))


def use_track(library: Library, recording: Recording, index: int) -> Recording:
    """Use another sound track, as a step of undo; all that follows from the sound is made anew.

    Raises
    ------
    BadInput
        If the file has no such sound track.
    Missing
        If the file is not there.
    """
    probed = probe(original(library, recording), index)
    if probed == recording.probe:
        return recording
    changed = replace(recording, probe=probed, playable_path=None, peaks_path=None)
    made = library.recordings.change_all([changed], f"chose a sound track of {recording.name[:60]}")[0]
    jobs_for(library, made)
    return made
