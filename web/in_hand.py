"""Which reeds were in hand in each recording, whoever says so: a tag, a card shown, or the recording itself."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Set
from dataclasses import dataclass

from annotate.library.store import Library
from annotate.model import Recording, Reed


@dataclass(frozen=True)
class SeenCard:
    """A card as it was first seen in a recording; ``reed`` is None when the library has none of that name.

    ``is_offered`` says that its reed may become the recording's, which has none yet.
    """

    name: str
    at_ms: int
    reed: Reed | None
    is_offered: bool


def cards_seen(store: Library, recording: Recording) -> list[SeenCard]:
    """Each card seen in a recording, once, without that of the recording's own reed; of a reed by its name today."""
    reeds = {reed.id: reed for reed in store.reeds.all()}
    first: dict[tuple[str, int | None], int] = {}
    for card in store.recordings.cards(recording.id):
        first.setdefault((card.name, card.reed_id), card.start_ms)
    offered = store.recordings.first_reed(recording) if recording.reed_id is None else None
    found = [(name, at_ms, reeds[reed_id] if reed_id else None) for (name, reed_id), at_ms in first.items()]
    return [
        SeenCard(reed.name if reed else name, at_ms, reed, is_offered=reed is not None and reed.id == offered)
        for name, at_ms, reed in found
        if reed is None or reed.id != recording.reed_id
    ]


def reeds_in_hand(store: Library) -> Mapping[int, Set[int]]:
    """The ids of the reeds of each recording."""
    found: dict[int, set[int]] = defaultdict(set)
    for recording in store.recordings.all():
        if recording.reed_id is not None:
            found[recording.id].add(recording.reed_id)
    for recording_id, reed_id in store.recordings.card_reeds():
        found[recording_id].add(reed_id)
    for tag in store.tags.all():
        if tag.reed_id is not None:
            found[tag.recording_id].add(tag.reed_id)
    return found
