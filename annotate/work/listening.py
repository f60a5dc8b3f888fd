"""Listens to a recording: sounds first, then words, stored part by part so that a stopped run goes on."""

from __future__ import annotations

from annotate.library import Library
from annotate.listen.audio import RATE_HZ
from annotate.listen.line_cut import Utterance
from annotate.listen.marks import Tops
from annotate.listen.recognise import Watch, Wishes
from annotate.listen.sounds import hear
from annotate.listen.stored import Whole
from annotate.listen.trade_words import hint_words
from annotate.model import Job, Line, Recording, Sound
from annotate.work.files import original
from annotate.work.hearing import DECODED, MEASURED, TOLD_APART, decoded, measured, words
from annotate.work.report import Report, part
from annotate.work.suggesting import suggest

DONE_UNTIL = "done_until_ms"  # what a stopped run remembers


def listen(library: Library, job: Job, report: Report) -> dict[str, str]:
    """The task "listen": subject ``recording_id``. A recording without sound is done at once."""
    recording = library.recordings.get(int(job.subject["recording_id"]))
    path = original(library, recording)
    if not recording.has_sound:
        return {"note": "This recording has no sound."}
    progress = part(report, 0.0, DECODED, "decoding the sound")
    tops = Tops()
    with decoded(path, recording.probe, library.path("cache"), progress, tops) as samples:
        progress = part(report, DECODED, TOLD_APART, "telling speech, playing, crow and scraping apart")
        sounds = hear(samples, RATE_HZ, progress=progress, cancelled=report.cancelled)
        progress = part(report, TOLD_APART, MEASURED, "measuring notes and crows")
        measures = measured(samples, sounds, library.settings.get().a4_hz, progress, tops)
        library.recordings.hear(recording.id, zip(sounds, measures, strict=True))
        _write_down(library, recording, samples, sounds, job, report)
    suggest(library, library.recordings.get(recording.id))
    return {}


def _write_down(
    library: Library, recording: Recording, samples: Whole, sounds: tuple[Sound, ...], job: Job, report: Report
) -> None:
    start_ms = int(job.result.get(DONE_UNTIL, 0))
    watch = Watch(lambda done: report.progress(MEASURED + (1 - MEASURED) * done), report.cancelled)
    wishes = _wishes(library, recording, is_going_on=start_ms > 0)
    for done in words(samples, sounds, wishes, start_ms, watch, lambda text: report.progress(MEASURED, text)):
        lines = [_line(recording.id, one) for one in done.utterances]
        library.lines.hear(recording.id, lines, from_ms=done.start_ms, until_ms=done.end_ms)
        report.remember({DONE_UNTIL: str(done.end_ms)})
        if done.language and not wishes.language:
            library.recordings.note_made(
                recording.id, heard_language=done.language, heard_language_score=done.language_score
            )


def _wishes(library: Library, recording: Recording, *, is_going_on: bool) -> Wishes:
    """The language chosen for this recording or for all, and the words to expect.

    A run that goes on from a part keeps the language in which it began.
    """
    choices = library.settings.get()
    reed_id = library.recordings.first_reed(recording)
    reed = library.reeds.get(reed_id) if reed_id else None
    names = [one.name for one in library.reeds.all() if one.state != "retired"]
    hints = hint_words(reed.instrument if reed else "bassoon", names, choices.own_words)
    begun = recording.heard_language if is_going_on else ""
    return Wishes(recording.language or choices.language or begun or None, hints)


def _line(recording_id: int, heard: Utterance) -> Line:
    return Line(recording_id, heard.start_ms, heard.end_ms, heard.text, heard.words)
