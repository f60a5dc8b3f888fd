"""Proposes tags, readings and plans for a recording. A suggestion stays apart until the maker decides on it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from annotate.library import Library
from annotate.model import Recording, Suggestion
from annotate.tagging.feedback import Answers, key_of, with_feedback
from annotate.tagging.lexicon import lexicon
from annotate.tagging.marks import DEFAULT_SIGNAL
from annotate.tagging.session import CardShown, suggest_session
from annotate.tagging.session import Suggestion as Proposal

SHORTEST_MS = 100  # a suggestion lasts at least this long, so that it can be seen and played


def suggest(library: Library, recording: Recording) -> list[Suggestion]:
    """Make the suggestions of a recording anew; what was decided before stays as it was. Gives the open ones."""
    reeds = library.reeds.all()
    own = library.reeds.get(recording.reed_id) if recording.reed_id else None
    seen = [CardShown(card.start_ms, card.name) for card in library.recordings.cards(recording.id)]
    cards = [*([CardShown(0, own.name)] if own else []), *seen]
    proposals = suggest_session(
        library.lines.of_recording(recording.id),
        library.recordings.sounds(recording.id),
        cards,
        [reed.name for reed in reeds],
        lexicon(own.instrument if own else "bassoon"),
        library.settings.get().signal_word or DEFAULT_SIGNAL,
    )
    answers = {rule: Answers(**counts) for rule, counts in library.suggestions.answers().items()}
    ids = {reed.name: reed.id for reed in reeds}
    made = [_stored(recording, one, ids) for one in with_feedback(proposals, answers)]
    library.suggestions.propose(recording.id, [one for one in made if one is not None])
    return open_ones(library, recording.id)


def open_ones(library: Library, recording_id: int) -> list[Suggestion]:
    """The suggestions of a recording that wait for the maker."""
    return [one for one in library.suggestions.of_recording(recording_id) if one.state == "open"]


def _stored(recording: Recording, one: Proposal, reeds: Mapping[str, int]) -> Suggestion | None:
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
    if one.reading is not None:
        content |= {
            "quantity": one.reading.quantity,
            "value": str(one.reading.value),
            "unit": one.reading.unit,
            "zone": one.reading.zone,
        }
    evidence = one.evidence + (f" [{one.sound}]" if one.sound else "")
    return Suggestion(recording.id, start, end, one.kind, content, evidence, key_of(one), one.confidence)
