"""Accepting and dismissing what the program proposes: each decision is one step of undo."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from decimal import Decimal
from typing import Any

from annotate.errors import BadInput
from annotate.library.codec import row_of
from annotate.library.journal import Edit
from annotate.library.store import Library
from annotate.model import Plan, Reading, Suggestion, Tag
from web.plain import plain

Made = Tag | Reading | Plan


def shown(suggestion: Suggestion) -> dict[str, Any]:
    """A suggestion as a page reads it, with the value it would become (None for a recap)."""
    made = made_from(suggestion)
    return {**plain(suggestion), "would_be": plain(made) if made else None}


def made_from(suggestion: Suggestion) -> Made | None:
    """What a suggestion would become, not stored; None for a recap, which only links to earlier work."""
    place: dict[str, Any] = {"recording_id": suggestion.recording_id}
    if suggestion.kind == "tag":
        place |= {"start_ms": suggestion.start_ms, "end_ms": suggestion.end_ms}
        return Tag(**(place | _told(suggestion, Tag)))
    if suggestion.kind == "reading":
        return Reading(**(place | {"at_ms": suggestion.start_ms} | _told(suggestion, Reading)))
    if suggestion.kind == "plan":
        return Plan(**(place | {"at_ms": suggestion.start_ms, "text": suggestion.evidence} | _told(suggestion, Plan)))
    return None


def _told(suggestion: Suggestion, kind: type) -> dict[str, Any]:
    """The fields that the content gives for a kind of value."""
    names = {field.name for field in fields(kind)} - {"id", "version"}
    found = {name: value for name, value in suggestion.content.items() if name in names and value is not None}
    for name in ("zones", "symptoms"):
        if name in found:
            found[name] = tuple(found[name])
    for name in ("value", "uncertainty"):
        if name in found:
            found[name] = Decimal(str(found[name]))
    return found


def accept(store: Library, suggestion: Suggestion, changed: Made | None = None) -> Made | None:
    """Take a suggestion, as it is or as the maker changed it; gives what was stored."""
    return accept_all(store, [suggestion], changed)[0]


def accept_all(store: Library, suggestions: Sequence[Suggestion], changed: Made | None = None) -> list[Made | None]:
    """Take several suggestions as one step of undo."""
    many = "" if len(suggestions) == 1 else f"{len(suggestions)} "
    with store.journal.edit(f"accepted {many or 'a '}suggestion{'s' if many else ''}") as edit:
        return [_accepted(store, edit, one, changed) for one in suggestions]


def _accepted(store: Library, edit: Edit, suggestion: Suggestion, changed: Made | None) -> Made | None:
    made = changed or made_from(suggestion)
    edit.change(store.suggestions.table, row_of(_decided(suggestion, "accepted")))
    if isinstance(made, Tag):
        tags = store.tags
        return tags.from_row(edit.add(tags.table, row_of(tags.check(edit.connection, made))))
    if isinstance(made, Reading):
        readings = store.readings
        return readings.from_row(edit.add(readings.table, row_of(readings.check(edit.connection, made))))
    if isinstance(made, Plan):
        return store.plans.from_row(edit.add(store.plans.table, row_of(store.plans.check(edit.connection, made))))
    return None


def dismiss(store: Library, suggestion: Suggestion) -> None:
    """Put a suggestion away; it is not proposed again."""
    with store.journal.edit("dismissed a suggestion") as edit:
        edit.change(store.suggestions.table, row_of(_decided(suggestion, "dismissed")))


def _decided(suggestion: Suggestion, state: str) -> Suggestion:
    if suggestion.state != "open":
        raise BadInput(f"is {suggestion.state} already", f"suggestion {suggestion.id}", "Load the page again.")
    return replace(suggestion, state=state)
