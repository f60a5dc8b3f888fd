"""Which reeds were in hand in each recording, whoever says so: a tag, a card shown, or the recording itself."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Set

from annotate.library.store import Library


def reeds_in_hand(store: Library) -> Mapping[int, Set[int]]:
    """The ids of the reeds of each recording."""
    found: dict[int, set[int]] = defaultdict(set)
    named = {reed.name: reed.id for reed in store.reeds.all()}
    for recording in store.recordings.all():
        if recording.reed_id is not None:
            found[recording.id].add(recording.reed_id)
    for recording_id, name in store.recordings.card_names():
        if name in named:
            found[recording_id].add(named[name])
    for tag in store.tags.all():
        if tag.reed_id is not None:
            found[tag.recording_id].add(tag.reed_id)
    return found
