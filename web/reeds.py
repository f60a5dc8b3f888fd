"""The pages of all reeds and of one reed's history."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import date

from flask import Blueprint, Response, render_template

from annotate.errors import BadInput
from annotate.formats import card_sheet
from annotate.measure.tuning import shown
from annotate.measure.units import QUANTITIES, convert, quantity
from annotate.model import REED_STATES, Correction, Reading, Recording, Reed, Session, Tag
from annotate.timecode import clock
from annotate.vocabulary import vocabulary
from annotate.vocabulary.words import INSTRUMENTS
from annotate.work.reed_sounds import sounds_of_reed
from annotate.work.suggesting import open_ones
from web import sound_words
from web.chart import Chart, Point, chart
from web.context import library
from web.fields import asked
from web.in_hand import SeenCard, cards_seen, reeds_in_hand
from web.reed_drawing import drawing, work_of
from web.reed_sounds import expected_range, sound_story
from web.words import quantity_label, value_of

blueprint = Blueprint("reeds", __name__)
blueprint.add_app_template_filter(expected_range)
blueprint.add_app_template_filter(shown, "shown_note")


@dataclass(frozen=True)
class Entry:
    """A reed as the list shows it."""

    reed: Reed
    tags: int
    sessions: int
    last_date: str | None
    last_symptoms: tuple[str, ...]


@blueprint.get("/reeds")
def index() -> str:
    """All reeds, or those of a state or instrument."""
    fields = asked()
    state, instrument = fields.choice("state"), fields.choice("instrument")
    if state is not None and state not in REED_STATES:
        raise BadInput("is not a state of a reed", state, f"Use one of {', '.join(REED_STATES)}.")
    every = library().reeds.all()
    reeds = [reed for reed in every if state in (None, reed.state) and instrument in (None, reed.instrument)]
    return render_template(
        "reeds.html",
        entries=entries(reeds),
        every=every,
        count=len(every),
        plans=[plan for plan in library().plans.all() if plan.reed_id is None and not plan.is_done],
        recordings={one.id: one for one in library().recordings.all()},
        states=Counter(reed.state for reed in every),
        state=state,
        instrument=instrument,
        instruments=INSTRUMENTS,
        today=date.today().isoformat(),
    )


def entries(reeds: list[Reed]) -> list[Entry]:
    """The reeds with what was last done on each, the one worked on last first."""
    store = library()
    places = store.recordings.in_time()
    by_reed: dict[int, list[Tag]] = defaultdict(list)
    for tag in store.tags.in_time(store.tags.all()):
        if tag.reed_id:
            by_reed[tag.reed_id].append(tag)
    sessions: dict[int, set[tuple[str, int]]] = defaultdict(set)
    for recording_id, reed_ids in reeds_in_hand(store).items():
        for reed_id in reed_ids:
            sessions[reed_id].add(places[recording_id][:2])
    made = [_entry(reed, by_reed[reed.id], [day for day, _ in sessions[reed.id]]) for reed in reeds]
    return sorted(made, key=lambda entry: entry.last_date or "", reverse=True)


def _entry(reed: Reed, tags: list[Tag], days: list[str]) -> Entry:
    """``tags`` in order of time; ``days`` of the sessions it was in hand."""
    symptoms = next((tag.symptoms for tag in reversed(tags) if tag.symptoms), ())
    return Entry(reed, len(tags), len(days), max(days, default=None), symptoms)


@dataclass(frozen=True)
class InHand:
    """A recording that has the reed in hand; ``card`` is its card where the recording's own reed is not this one."""

    recording: Recording
    card: SeenCard | None
    waiting: int  # suggestions not decided on, where nothing else is told

    @property
    def address(self) -> str:
        """The moment from which it is in hand, on the page of its session."""
        at_ms = self.card.at_ms if self.card else 0
        return f"/sessions/{self.recording.session_id}?recording={self.recording.id}&at={at_ms}"


@dataclass
class Sitting:
    """What one session did to the reed."""

    session: Session
    tags: list[Tag] = field(default_factory=list)
    corrections: list[Correction] = field(default_factory=list)
    readings: list[Reading] = field(default_factory=list)
    in_hand: list[InHand] = field(default_factory=list)

    @property
    def is_bare(self) -> bool:
        """Whether nothing has been noted yet on the reed in this session."""
        return not (self.tags or self.corrections or self.readings)

    @property
    def duration_ms(self) -> int:
        return sum(tag.end_ms - tag.start_ms for tag in self.tags)


@dataclass(frozen=True)
class Series:
    """Readings of one kind at one place, over time."""

    label: str
    readings: list[Reading]
    chart: Chart | None


@blueprint.get("/reeds/cards.pdf")
def cards() -> Response:
    """A sheet of cards of all reeds that are not retired, to be printed and shown to the camera."""
    paper: card_sheet.Paper = "letter" if asked().text("paper") == "letter" else "a4"
    reeds = [reed for reed in library().reeds.all() if reed.state != "retired"]
    sheet = card_sheet.write([card_sheet.Card(reed.name, reed.instrument) for reed in reeds], paper)
    return Response(sheet, mimetype="application/pdf")


@blueprint.get("/reeds/<int:reed_id>")
def page(reed_id: int) -> str:
    """Everything known about one reed."""
    store = library()
    reed = store.reeds.get(reed_id)
    recordings = {recording.id: recording for recording in store.recordings.all()}
    tags, readings = store.tags.of_reed(reed_id), store.readings.of_reed(reed_id)
    return render_template(
        "reed.html",
        reed=reed,
        recordings=recordings,
        sittings=sittings(reed, tags, readings, recordings),
        series=series(readings, reed.instrument),
        drawing=drawing(reed.instrument, work_of(tags)),
        zone_work=zone_work(tags, reed.instrument),
        plans=sorted(store.plans.of_reed(reed_id), key=lambda plan: plan.is_done),
        story=sound_story(sounds_of_reed(store, reed_id), reed.instrument),
        w=sound_words,
        quantities=QUANTITIES,
        zones=vocabulary(reed.instrument).zones,
        instruments=INSTRUMENTS,
        today=date.today().isoformat(),
    )


def sittings(reed: Reed, tags: list[Tag], readings: list[Reading], recordings: dict[int, Recording]) -> list[Sitting]:
    """The sessions in which the reed was in hand, newest first."""
    store = library()
    found: dict[int, Sitting] = {}

    def of(recording_id: int) -> Sitting:
        session_id = recordings[recording_id].session_id
        if session_id not in found:
            found[session_id] = Sitting(store.sessions.get(session_id))
        return found[session_id]

    for tag in tags:
        of(tag.recording_id).tags.append(tag)
    for reading in readings:
        if reading.recording_id:
            of(reading.recording_id).readings.append(reading)
    for correction in store.corrections.all():
        if _is_about(correction, recordings[correction.recording_id], reed, tags):
            of(correction.recording_id).corrections.append(correction)
    for recording_id, reed_ids in reeds_in_hand(store).items():
        if reed.id in reed_ids:
            sitting = of(recording_id)
            sitting.in_hand.append(_in_hand(recordings[recording_id], reed, is_bare=sitting.is_bare))
    return sorted(found.values(), key=lambda one: (one.session.date, one.session.id), reverse=True)


def _in_hand(recording: Recording, reed: Reed, *, is_bare: bool) -> InHand:
    seen = cards_seen(library(), recording)
    card = next((one for one in seen if one.reed and one.reed.id == reed.id), None)
    return InHand(recording, card, len(open_ones(library(), recording.id)) if is_bare else 0)


def _is_about(correction: Correction, recording: Recording, reed: Reed, tags: list[Tag]) -> bool:
    """Whether a correction is about the reed: it lies in one of its tags, or the reed is the one in hand."""
    in_tag = any(
        tag.recording_id == correction.recording_id
        and tag.start_ms < correction.end_ms
        and correction.start_ms < tag.end_ms
        for tag in tags
    )
    return in_tag or library().recordings.reed_at(recording, correction.end_ms) == reed.id


def series(readings: list[Reading], instrument: str) -> list[Series]:
    """The readings in groups that can be compared: same quantity, zone, blade, side, place and moisture."""
    groups: dict[tuple[str | None, ...], list[Reading]] = defaultdict(list)
    for reading in readings:
        key = (reading.quantity, reading.zone, reading.blade, reading.side, reading.place_note, reading.moisture)
        groups[key].append(reading)
    return [Series(_series_label(group[0], instrument), group, _series_chart(group)) for group in groups.values()]


def _series_label(reading: Reading, instrument: str) -> str:
    words = vocabulary(instrument)
    parts = [quantity_label(reading.quantity)]
    for group, value in (("zones", reading.zone), ("blades", reading.blade), ("sides", reading.side)):
        if value and not (value == "opening" and reading.quantity == "tip_opening"):
            parts.append(words.label(group, value).lower())
    parts += [text for text in (reading.place_note, reading.moisture) if text]
    return ", ".join(parts)


def _series_chart(readings: list[Reading]) -> Chart | None:
    unit = quantity(readings[0].quantity).units[0]
    points = [
        Point(
            date.fromisoformat(reading.taken_on),
            float(convert(reading.value, reading.unit, unit)),
            value_of(reading),
        )
        for reading in readings
        if reading.taken_on
    ]
    return chart(points, f"{quantity_label(readings[0].quantity)}, {unit}")


def zone_work(tags: list[Tag], instrument: str) -> list[tuple[str, str, int, str, float]]:
    """Per zone: id, label, how many tags, time in tags, and its share of the busiest zone; busiest first."""
    times: Counter[str] = Counter()
    counts: Counter[str] = Counter()
    for tag in tags:
        for zone in tag.zones:
            times[zone] += tag.end_ms - tag.start_ms
            counts[zone] += 1
    most = max(times.values(), default=1)
    words = vocabulary(instrument)
    return [
        (zone, words.label("zones", zone), counts[zone], clock(time_ms), time_ms / most)
        for zone, time_ms in times.most_common()
    ]
