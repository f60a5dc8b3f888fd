"""Listens to a recording: sounds first, then words, stored part by part so that a stopped run goes on."""

from __future__ import annotations

import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from annotate.library import Library
from annotate.listen.audio import RATE_HZ, sound_blocks, sound_of
from annotate.listen.line_cut import Utterance
from annotate.listen.model_files import find_model
from annotate.listen.recognise import Recogniser, Watch, Wishes
from annotate.listen.sounds import hear
from annotate.listen.voiced import Samples
from annotate.model import Job, Line, Recording, Sound
from annotate.work.files import original
from annotate.work.report import Report, part
from annotate.work.suggesting import suggest

SCRATCH = "listen-"
STALE_S = 86_400  # a scratch folder this old belongs to no run
DONE_UNTIL = "done_until_ms"  # what a stopped run remembers
BLOCK = 30 * RATE_HZ


@contextmanager
def decoded(path: Path, recording: Recording, folder: Path, report: Report) -> Iterator[Samples]:
    """The sound on the recording's clock, decoded once into a file that is gone afterwards.

    An array mapped from disk keeps memory bounded, however long the recording.
    """
    progress = part(report, 0.0, 0.1, "decoding the sound")
    _clear(folder)
    # Windows keeps a mapped file until the process ends; what is left then is cleared another day.
    with tempfile.TemporaryDirectory(dir=folder, prefix=SCRATCH, ignore_cleanup_errors=True) as scratch:
        raw = Path(scratch) / "sound.f32"
        count = 0
        with raw.open("wb") as file:
            for block in sound_blocks(sound_of(path, recording.probe), RATE_HZ):
                file.write(block.astype("<f4", copy=False).tobytes())
                count += block.size
                progress(min(1.0, count * 1000 / RATE_HZ / max(recording.duration_ms, 1)))
        yield np.memmap(raw, dtype="<f4", mode="r") if count else np.zeros(0, np.float32)


def _clear(folder: Path) -> None:
    for left in folder.glob(f"{SCRATCH}*"):
        if time.time() - left.stat().st_mtime > STALE_S:
            shutil.rmtree(left, ignore_errors=True)


def listen(library: Library, job: Job, report: Report) -> dict[str, str]:
    """The task "listen": subject ``recording_id``. A recording without sound is done at once."""
    recording = library.recordings.get(int(job.subject["recording_id"]))
    path = original(library, recording)
    if not recording.has_sound:
        return {"note": "This recording has no sound."}
    with decoded(path, recording, library.path("cache"), report) as samples:
        progress = part(report, 0.1, 0.2, "telling speech, playing, crow and scraping apart")
        sounds = hear(samples, RATE_HZ, progress=progress)
        library.recordings.hear(recording.id, [(sound, {}) for sound in sounds])
        return _recognise(library, recording, samples, sounds, job, report)


def _recognise(
    library: Library, recording: Recording, samples: Samples, sounds: tuple[Sound, ...], job: Job, report: Report
) -> dict[str, str]:
    start_ms = int(job.result.get(DONE_UNTIL, 0))
    report.progress(0.2, "opening the speech model")
    model = find_model(may_fetch=True, say=lambda sentence: report.progress(0.2, sentence))
    recogniser = Recogniser(model.folder)
    wishes = Wishes(language=recording.language or None)
    report.progress(0.2, "writing down what is said")
    first = start_ms * RATE_HZ // 1000
    blocks = (np.asarray(samples[at : at + BLOCK]) for at in range(first, samples.size, BLOCK))
    total_ms = min(recording.duration_ms, samples.size * 1000 // RATE_HZ)
    watch = Watch(lambda done: report.progress(0.2 + 0.8 * done), report.cancelled)
    for done in recogniser.parts(blocks, wishes, start_ms=start_ms, total_ms=total_ms, watch=watch):
        library.lines.hear(recording.id, [_line(recording.id, one) for one in done.utterances], from_ms=done.start_ms)
        report.remember({DONE_UNTIL: str(done.end_ms)})
        if done.language:
            library.recordings.note_made(recording.id, language=done.language)
    suggest(library, library.recordings.get(recording.id))
    return {"note": recogniser.note} if recogniser.note else {}


def _line(recording_id: int, heard: Utterance) -> Line:
    return Line(recording_id, heard.start_ms, heard.end_ms, heard.text, heard.words)
