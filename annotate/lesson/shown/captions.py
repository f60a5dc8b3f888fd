"""The lesson's captions: what is said, what is set right, and what is heard, timed in the film."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from annotate.formats.captions import cut
from annotate.formats.cues import GAP_MS, Cue, tidy
from annotate.lesson.shown.film import LaidOut
from annotate.lesson.shown.held import caption_of, reading_ms
from annotate.lesson.told.material import Material, Step
from annotate.lesson.told.passage import Passage
from annotate.lesson.told.spoken import text_inside, words_inside
from annotate.model import Line

SOUND_WORDS = {"crow": "[crow]", "play": "[plays]", "scrape": "[scraping]"}
SOUND_SHORTEST_MS = 1_000  # shorter sounds are not worth a caption
SOUND_LONGEST_MS = 4_000  # a caption of a long sound goes away again
CORRECTION_MS = 3_000
WORDS_SHORTEST_MS = 800  # as short as a caption of what is said may become


def lesson_cues(material: Material, laid: LaidOut) -> list[Cue]:
    """All captions of the film, in order, none overlapping."""
    return cues_of(list(_shown(material, laid)), laid.plan.duration_ms)


def cues_of(shown: Sequence[tuple[Step, Passage]], duration_ms: int) -> list[Cue]:
    """All captions of what is shown, in order, none overlapping; ``duration_ms`` is where it all ends."""
    # What is said in one clip is no caption of the next; it may be held over a card, to be read.
    ends = [*(passage.start_ms for _, passage in shown[1:]), duration_ms]
    spoken = [cue for (step, passage), end_ms in zip(shown, ends, strict=True) for cue in _words(step, passage, end_ms)]
    heard = [cue for step, passage in shown for cue in _heard(step, passage)]
    return tidy([*spoken, *_in_gaps(heard, spoken)])


def _words(step: Step, passage: Passage, end_ms: int) -> list[Cue]:
    """The captions of what is said and set right in a clip; ``end_ms`` is where the next one begins."""
    corrected = list(_corrected(step, passage))
    cues = _in_their_clip(cut([*_spoken(step, passage), *corrected], end_ms), [one.text for one in corrected], passage)
    # What the time does not hold is pulled forward, but never into the clip before.
    inside = [replace(cue, start_ms=max(cue.start_ms, passage.start_ms)) for cue in cues]
    return [cue for cue in inside if cue.end_ms > cue.start_ms]


def _shown(material: Material, laid: LaidOut) -> Iterable[tuple[Step, Passage]]:
    """What is shown in the film, in order: each clip, and first what it is set against."""
    for step, shown in zip(material.steps, laid.shown, strict=True):
        if step.before is not None and shown.before is not None:
            yield step.before, shown.before
        yield step, shown.clip


def _spoken(step: Step, passage: Passage) -> Iterable[Line]:
    """The lines of a clip in film time; of a line cut by the clip's ends, the words that are mostly inside."""
    for line in step.lines:
        kept = words_inside(line, step.clip)
        timed = [
            replace(word, start_ms=passage.film_ms(word.start_ms), end_ms=passage.film_ms(word.end_ms)) for word in kept
        ]
        timed = [word for word in timed if word.end_ms > word.start_ms]
        if not timed:
            continue
        text = text_inside(line, step.clip)
        yield Line(line.recording_id, timed[0].start_ms, timed[-1].end_ms, text, tuple(timed))


def _corrected(step: Step, passage: Passage) -> Iterable[Line]:
    """A caption for each correction, right after what was said."""
    for correction in step.corrections:
        start = max(passage.start_ms, min(passage.film_ms(correction.end_ms), passage.end_ms - 1))
        text = caption_of(correction)
        end = min(start + max(CORRECTION_MS, reading_ms(text)), passage.end_ms)
        if end > start:
            yield Line(correction.recording_id, start, end, text)


def _in_their_clip(cues: Sequence[Cue], corrected: Sequence[str], passage: Passage) -> list[Cue]:
    """The captions of a clip, its corrections ending with it: over the next card they would be of that step.

    A late correction begins earlier, so that it can be read, and what is said before it makes room.
    """
    made: list[Cue] = []
    limit_ms = max((cue.end_ms for cue in cues), default=0)
    for number, cue in reversed(list(enumerate(cues))):
        text, shortest_ms = cue.text.replace("\n", " "), WORDS_SHORTEST_MS
        if any(text in one for one in corrected):
            limit_ms = min(limit_ms, passage.end_ms)
            shortest_ms = max(shortest_ms, reading_ms(text))
        start_ms = cue.start_ms
        if cue.end_ms > limit_ms:  # earlier, but what comes before keeps its shortest time
            room_ms = passage.start_ms + number * (WORDS_SHORTEST_MS + GAP_MS)
            start_ms = min(start_ms, max(limit_ms - shortest_ms, min(room_ms, limit_ms - 1)))
        made.append(replace(cue, start_ms=start_ms, end_ms=min(cue.end_ms, limit_ms)))
        limit_ms = start_ms - GAP_MS
    return made[::-1]


def _heard(step: Step, passage: Passage) -> Iterable[Cue]:
    """Captions for sounds that are not speech, so that deaf students are served; and for what runs faster."""
    fast = passage.fast()
    for start, end, speed in fast:
        if end - start >= SOUND_SHORTEST_MS:
            yield Cue(start, min(end, start + SOUND_LONGEST_MS), f"[scraping, {speed} times as fast]")
    for sound in step.sounds:
        if sound.kind not in SOUND_WORDS:
            continue
        start = passage.film_ms(max(sound.start_ms, step.clip.start_ms))
        end = passage.film_ms(min(sound.end_ms, step.clip.end_ms))
        # Only up to where it runs faster: there it is said how fast.
        end = min((begin for begin, stop, _ in fast if stop > start and begin < end), default=end)
        if end - start >= SOUND_SHORTEST_MS:
            yield Cue(start, min(end, start + SOUND_LONGEST_MS), SOUND_WORDS[sound.kind])


def _in_gaps(heard: Iterable[Cue], spoken: Sequence[Cue]) -> Iterable[Cue]:
    """Sound captions cut back to where nobody's words stand."""
    for cue in heard:
        start, end = cue.start_ms, cue.end_ms
        for other in spoken:
            if other.start_ms <= start < other.end_ms:
                start = other.end_ms + GAP_MS
            elif start < other.start_ms < end:
                end = other.start_ms - GAP_MS
        if end - start >= SOUND_SHORTEST_MS:
            yield replace(cue, start_ms=start, end_ms=end)
