"""What the diary shows, gathered from the library: chapters, cards, work under way, the reed drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from annotate.library.store import Library
from annotate.measure.units import QUANTITIES
from annotate.model import Correction, Job, Reading, Recording, Reed, Session, Sound, Suggestion, Tag
from annotate.vocabulary import vocabulary
from annotate.vocabulary.words import GROUPS, Word
from annotate.work.deciding import Made, would_be
from annotate.work.recalling import Earlier, Past, retold
from annotate.work.suggesting import open_ones
from web.diary_rows import Row, RowSound, chunks, place_cards, place_sounds, rows
from web.diary_suggestions import shown
from web.in_hand import SeenCard, cards_seen
from web.languages import told_language
from web.plain import plain, plain_recording
from web.reed_drawing import Drawing, blade_name, drawing, work_of
from web.sound_words import summary, warnings

Standing = Tag | Reading | Correction | Suggestion
WORK_NAMES = {"prepare": "Preparing", "listen": "Listening"}


@dataclass(frozen=True)
class Card:
    """Something that stands beside the lines: ``kind`` says what, ``instrument`` whose words it is in."""

    kind: str
    value: Standing
    instrument: str
    reed: Reed | None = None
    earlier: Earlier | None = None  # what a recap tells again
    told_again: tuple[Earlier, ...] = ()  # where a tag is told again

    @property
    def data(self) -> dict[str, Any]:
        """The value as the page's scripts read it."""
        return shown(self.value) if isinstance(self.value, Suggestion) else plain(self.value)

    @property
    def would_be(self) -> Made | None:
        """What a suggestion would become."""
        return would_be(self.value) if isinstance(self.value, Suggestion) else None


@dataclass(frozen=True)
class Chapter:
    """One recording of the session as a stretch of the page."""

    recording: Recording
    reed: Reed | None
    instrument: str
    chunks: list[Sequence[Row]]
    lines: int
    works: list[dict[str, Any]]
    cards_seen: list[SeenCard]
    is_unheard: bool = False

    @property
    def words_told(self) -> str:
        """What is known of the words: their language and number, or why there are none."""
        language = told_language(self.recording)
        if self.lines:
            return ", ".join(filter(None, (language, f"{self.lines} line{'' if self.lines == 1 else 's'}")))
        if not self.recording.has_sound:
            return "none, there is no sound"
        is_listening = any(work["kind"] == "listen" and work["state"] in ("waiting", "running") for work in self.works)
        return "not heard yet" if self.is_unheard or is_listening else "none were heard"


class Diary:
    """One session with its recordings, read once for one answer."""

    def __init__(self, store: Library, session_id: int) -> None:
        self.store = store
        self.session: Session = store.sessions.get(session_id)
        self.recordings = store.recordings.of_session(session_id)
        self.reeds = {reed.id: reed for reed in store.reeds.all()}

    def reed_of(self, recording_id: int | None, reed_id: int | None = None) -> Reed | None:
        """The reed named, else the reed of the recording."""
        if reed_id is None:
            reed_id = next((r.reed_id for r in self.recordings if r.id == recording_id), None)
        return self.reeds.get(reed_id) if reed_id else None

    def card(self, kind: str, value: Standing) -> Card:
        """A value as a card."""
        said = value.content.get("reed_id") if isinstance(value, Suggestion) else getattr(value, "reed_id", None)
        reed = self.reed_of(value.recording_id, said)
        instrument = reed.instrument if reed else self.instruments()[0]
        if isinstance(value, Suggestion) and value.kind == "recap":
            return Card(kind, value, instrument, reed, earlier=self.past.linked(value))
        retold = tuple(self.retold.get(value.id, ())) if isinstance(value, Tag) else ()
        return Card(kind, value, instrument, reed, told_again=retold)

    @cached_property
    def past(self) -> Past:
        """The earlier work that recaps may tell again."""
        return Past(self.store)

    @cached_property
    def retold(self) -> dict[int, list[Earlier]]:
        """Where which tag is told again."""
        return retold(self.store)

    @cached_property
    def recaps(self) -> list[Suggestion]:
        """The accepted recaps of this session."""
        here = {recording.id for recording in self.recordings}
        return [one for one in self.store.suggestions.accepted_recaps() if one.recording_id in here]

    def instruments(self) -> list[str]:
        """The instruments whose reeds were in hand, or of the library's reeds, or the bassoon."""
        here = [reed.instrument for recording in self.recordings for reed in self.in_hand[recording.id]]
        found = here or [reed.instrument for reed in self.reeds.values()]
        return list(dict.fromkeys(found)) or ["bassoon"]

    def chapter(self, recording: Recording) -> Chapter:
        """A recording with its rows and cards."""
        lines = self.store.lines.of_recording(recording.id)
        heard = self.store.recordings.measures(recording.id)
        sounds = [Sound(one["start_ms"], one["end_ms"], one["kind"], one["confidence"]) for one in heard]
        found = rows(lines, sounds, recording.duration_ms)
        is_unheard = recording.has_sound and not lines and not heard
        if is_unheard:
            found = [replace(row, is_heard=False) for row in found]
        place_sounds(found, measured_sounds(heard))
        place_cards(found, self._moments(recording))
        works = works_of(self.store, [recording.id])
        reed, seen = self.reed_of(recording.id), cards_seen(self.store, recording)
        instrument = self.instrument_of(recording)
        return Chapter(recording, reed, instrument, chunks(found), len(lines), works, seen, is_unheard)

    def instrument_of(self, recording: Recording) -> str:
        """The instrument of the reed in hand, else the session's first."""
        in_hand = self.in_hand[recording.id]
        return in_hand[0].instrument if in_hand else self.instruments()[0]

    @cached_property
    def in_hand(self) -> dict[int, list[Reed]]:
        """For each recording its own reed, then those whose cards were seen."""
        found = {}
        for recording in self.recordings:
            shown = [reed_id for _, reed_id in self.store.recordings.reeds_shown(recording.id)]
            found[recording.id] = [self.reeds[one] for one in (recording.reed_id, *shown) if one]
        return found

    def suggestions(self, recording_id: int) -> list[Suggestion]:
        """What is proposed for a recording and not decided on."""
        return open_ones(self.store, recording_id)

    def _moments(self, recording: Recording) -> list[tuple[int, int, object]]:
        """What stands beside the lines: where it starts, where it ends, its card."""
        stretches: list[tuple[str, Tag | Correction | Suggestion]] = [
            *(("tag", tag) for tag in self.store.tags.of_recording(recording.id)),
            *(("correction", one) for one in self.store.corrections.of_recording(recording.id)),
            *(("recap", one) for one in self.recaps if one.recording_id == recording.id),
            *(("suggestion", one) for one in self.suggestions(recording.id)),
        ]
        moments = [(reading.at_ms or 0, reading) for reading in self.store.readings.of_recording(recording.id)]
        return [
            *((one.start_ms, one.end_ms, self.card(kind, one)) for kind, one in stretches),
            *((at_ms, at_ms + 1, self.card("reading", reading)) for at_ms, reading in moments),
        ]

    def drawings(self) -> list[Drawing]:
        """The drawing of each instrument, with the work of this session."""
        tags = self.store.tags.of_session(self.session.id)
        names = self.instruments()
        of_each = {name: [tag for tag in tags if self.card("tag", tag).instrument == name] for name in names}
        return [drawing(name, work_of(of_each[name])) for name in names]

    def heats(self) -> dict[str, list[dict[str, Any]]]:
        """How warm each place is, for a page that is open already."""
        return {
            found.instrument: [{"key": s.part.key, "level": s.level, "name": s.name} for s in found.spots]
            for found in self.drawings()
        }

    def page_data(self) -> dict[str, Any]:
        """What the page's scripts need besides what stands on the page."""
        last = self.store.readings.last_units()
        return {
            "session": self.session.id,
            "recordings": [plain_recording(recording) for recording in self.recordings],
            "reeds": [{"id": r.id, "name": r.name, "instrument": r.instrument} for r in self.reeds.values()],
            "instruments": self.instruments(),
            "words": {name: words_of(name) for name in self.instruments()},
            "quantities": {
                q.id: {"label": q.label, "units": q.units, "last_unit": last.get(q.id)} for q in QUANTITIES.values()
            },
        }


def measured_sounds(heard: list[dict[str, Any]]) -> list[tuple[int, RowSound]]:
    """Playing and crows in which something was measured, each with its middle."""
    found = []
    for one in heard:
        measures = one["measures"] or {}
        if text := summary(one["kind"], measures):
            marks = tuple(warning.partition(":")[0].lower() for warning in warnings(measures))
            sound = RowSound(one["id"], one["start_ms"], one["kind"], text, marks)
            found.append(((one["start_ms"] + one["end_ms"]) // 2, sound))
    return found


def words_of(instrument: str) -> dict[str, list[dict[str, Any]]]:
    """The trade words of an instrument for the fields that complete what is typed."""
    words = vocabulary(instrument)
    return {
        group: [
            {"id": w.id, "label": _label(group, w, instrument), "meaning": w.meaning, "aliases": list(w.aliases)}
            for w in words.group(group).values()
        ]
        for group in GROUPS
    }


def _label(group: str, word: Word, instrument: str) -> str:
    return blade_name(word.id, instrument) if group == "blades" else word.label


def works_of(store: Library, recording_ids: list[int]) -> list[dict[str, Any]]:
    """The newest work of each kind on these recordings, unless it is done."""
    found = [store.jobs.of(kind, recording_id=one)[:1] for one in recording_ids for kind in WORK_NAMES]
    return [_work(job) for jobs in found for job in jobs]


def _work(job: Job) -> dict[str, Any]:
    told = {
        "waiting": "waiting for its turn",
        "running": f"{round(job.progress * 100)} %{', ' + job.message if job.message else ''}",
        "failed": job.error,
        "cancelled": "cancelled",
        "done": "done",
    }[job.state]
    return {
        "job": job.id,
        "recording_id": job.subject["recording_id"],
        "kind": job.kind,
        "state": job.state,
        "progress": job.progress,
        "name": WORK_NAMES[job.kind],
        "told": f"{WORK_NAMES[job.kind]}: {told}",
    }
