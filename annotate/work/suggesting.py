"""Proposes tags, readings and plans for a recording. A suggestion stays apart until the maker decides on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from annotate.errors import BenchreelError
from annotate.library import Library
from annotate.library.in_hand import Hand
from annotate.library.shelves.suggestions import OF_HAND
from annotate.measure.units import convert
from annotate.model import Correction, Reading, Recording, Suggestion, Tag
from annotate.tagging.feedback import Answers, key_of, with_feedback
from annotate.tagging.lexicon import lexicon
from annotate.tagging.marks import DEFAULT_SIGNAL
from annotate.tagging.session import CardShown, suggest_session
from annotate.tagging.session import Suggestion as Proposal

NEAR_MS = 15_000  # a reading is often set a few seconds beside the words that tell it
SHORTEST_MS = 100  # a suggestion lasts at least this long, so that it can be seen and played


def suggest(library: Library, recording: Recording) -> list[Suggestion]:
    """Make the suggestions of a recording anew; what was decided before stays as it was. Gives the open ones."""
    reeds = library.reeds.all()
    own = library.reeds.get(recording.reed_id) if recording.reed_id else None
    first = library.recordings.first_reed(recording)
    names = {reed.id: reed.name for reed in reeds}
    cards = library.recordings.cards(recording.id)
    seen = [CardShown(card.start_ms, names.get(card.reed_id or 0, card.name)) for card in cards]
    shown = [*([CardShown(0, own.name)] if own else []), *seen]
    proposals = suggest_session(
        library.lines.of_recording(recording.id),
        library.recordings.sounds(recording.id),
        shown,
        list(names.values()),
        lexicon(library.reeds.get(first).instrument if first else "bassoon"),
        library.settings.get().signal_word or DEFAULT_SIGNAL,
    )
    answers = {rule: Answers(**counts) for rule, counts in library.suggestions.answers().items()}
    ids = {reed.name: reed.id for reed in reeds}
    hand = Hand(recording.reed_id, tuple(library.recordings.reeds_shown(recording.id)))
    made = [_stored(recording, one, ids, hand) for one in with_feedback(proposals, answers)]
    library.suggestions.propose(recording.id, [one for one in made if one is not None])
    return open_ones(library, recording.id)


def open_ones(library: Library, recording_id: int) -> list[Suggestion]:
    """The suggestions of a recording that wait for the maker; not those that say what the maker has said already."""
    found = library.suggestions.open_of(recording_id)
    if not found:
        return []
    own_reed = library.recordings.get(recording_id).reed_id
    tags: dict[str, list[Tag]] = {}
    for tag in library.tags.of_recording(recording_id):
        tags.setdefault(tag.step, []).append(tag)
    wanted = any(one.kind == "reading" for one in found)
    readings = _own_readings(library, recording_id) if wanted else []
    set_right = library.corrections.of_recording(recording_id) if wanted else []
    gone = [(line.start_ms, line.end_ms) for line in library.lines.struck_out(recording_id)]
    return [
        one
        for one in found
        if not any(start <= one.start_ms < end for start, end in gone)
        and not _is_tagged(one, tags, own_reed)
        and not _is_read(one, readings, own_reed)
        and not _is_set_right(one, set_right)
    ]


def _own_readings(library: Library, recording_id: int) -> list[Reading]:
    """The readings entered by hand: one taken over from a suggestion stands for that one and for no other."""
    taken = {(one.start_ms, one.content["quantity"]) for one in library.suggestions.accepted_readings(recording_id)}
    return [one for one in library.readings.of_recording(recording_id) if (one.at_ms, one.quantity) not in taken]


def _is_set_right(one: Suggestion, corrections: Sequence[Correction]) -> bool:
    """Whether a reading comes from words that the maker has corrected: what is right stands in the correction."""
    return one.kind == "reading" and any(
        said.start_ms < one.end_ms and one.start_ms < said.end_ms for said in corrections
    )


def _is_tagged(one: Suggestion, tags: Mapping[str, Sequence[Tag]], own_reed: int | None) -> bool:
    """Whether a tag of the maker overlaps the suggestion and says all of it, of the same reed."""
    if one.kind != "tag":
        return False
    content = one.content
    zones, symptoms = set(content.get("zones") or ()), set(content.get("symptoms") or ())
    reed = content.get("reed_id") or own_reed
    return any(
        tag.start_ms < one.end_ms
        and one.start_ms < tag.end_ms
        and zones <= set(tag.zones)
        and symptoms <= set(tag.symptoms)
        and content.get("blade") in (None, "", tag.blade)
        and content.get("side") in (None, "", tag.side or "both")  # a tag without a side is of both
        and (tag.reed_id or own_reed) == reed
        for tag in tags.get(content["step"] or "", ())
    )


def _is_read(one: Suggestion, readings: Sequence[Reading], own_reed: int | None) -> bool:
    """Whether a reading of the maker near the suggestion has its quantity and value, at no other place or reed."""
    if one.kind != "reading":
        return False
    content = one.content
    value, reed = Decimal(content["value"]), content.get("reed_id") or own_reed
    return any(
        reading.quantity == content["quantity"]
        and _is_same_value((reading.value, reading.unit), (value, content["unit"]))
        and (not content.get("zone") or not reading.zone or content["zone"] == reading.zone)
        and (reading.reed_id or own_reed) == reed
        and reading.at_ms is not None
        and one.start_ms - NEAR_MS <= reading.at_ms <= one.end_ms + NEAR_MS
        for reading in readings
    )


def _is_same_value(one: tuple[Decimal, str], other: tuple[Decimal, str]) -> bool:
    """Whether two values are the same; in different units, when one rounded to the other's digits is the other."""
    if one[1] == other[1]:
        return one[0] == other[0]
    try:
        return _is_rounded_to(one, other) or _is_rounded_to(other, one)
    except BenchreelError:  # a length and a weight, or a number too large to round
        return False


def _is_rounded_to(one: tuple[Decimal, str], other: tuple[Decimal, str]) -> bool:
    value, unit = other
    in_its_unit = convert(one[0], one[1], unit)
    last_digit = Decimal(1).scaleb(int(value.as_tuple().exponent))
    return abs(in_its_unit - value) <= last_digit / 2


def _stored(recording: Recording, one: Proposal, reeds: Mapping[str, int], hand: Hand) -> Suggestion | None:
    start = max(0, min(one.start_ms, recording.duration_ms - SHORTEST_MS))
    end = min(max(one.end_ms, start + SHORTEST_MS), recording.duration_ms)
    if end <= start:
        return None
    content: dict[str, Any] = {
        "step": one.step,
        "zones": list(one.zones),
        "blade": one.blade,
        "side": one.side,
        "symptoms": list(one.symptoms),
        "reed": one.reed,
        "reed_id": reeds.get(one.reed or ""),
    }
    if content["reed_id"] == hand.at(end) and bool(one.reed) == bool(content["reed_id"]):
        content[OF_HAND] = True  # told by a card or the recording, or not at all: it follows them
    if one.reading is not None:
        content |= {
            "quantity": one.reading.quantity,
            "value": str(one.reading.value),
            "unit": one.reading.unit,
            "zone": one.reading.zone,
        }
    evidence = one.evidence + (f" [{one.sound}]" if one.sound else "")
    return Suggestion(recording.id, start, end, one.kind, content, evidence, key_of(one), one.confidence)
