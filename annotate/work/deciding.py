"""Turns what the maker accepts into statements, and puts away what is dismissed; each is one step of undo."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from typing import Any

from annotate.errors import BadInput
from annotate.library import Library, codec
from annotate.library.journal import Edit
from annotate.model import Plan, Reading, Suggestion, Tag
from annotate.vocabulary import vocabulary
from annotate.vocabulary.counted import counted
from annotate.work.recalling import LINK, Past

Made = Tag | Reading | Plan
NO_EARLIER = "No earlier tag of this work was found"


@dataclass(frozen=True)
class ToldAgain:
    """A recap as accepted, with the earlier work that it tells again; nothing is tagged anew."""

    recap: Suggestion
    tag: Tag


def would_be(suggestion: Suggestion) -> Made | None:
    """What a suggestion would become, not stored; None for a recap, which only links to earlier work."""
    place: dict[str, Any] = {"recording_id": suggestion.recording_id}
    if suggestion.kind == "tag":
        return as_work(suggestion)
    if suggestion.kind == "reading":
        return Reading(**(place | {"at_ms": suggestion.start_ms} | _told(suggestion, Reading)))
    if suggestion.kind == "plan":
        place |= {"at_ms": suggestion.start_ms, "text": _plan_text(suggestion)}
        return Plan(**(place | _told(suggestion, Plan)))
    return None


def as_work(suggestion: Suggestion) -> Tag:
    """The tag that a suggestion would be as work of this moment; the maker may say so of a recap too."""
    place = {"recording_id": suggestion.recording_id, "start_ms": suggestion.start_ms, "end_ms": suggestion.end_ms}
    return Tag(**(place | _told(suggestion, Tag)))


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


def _plan_text(suggestion: Suggestion) -> str:
    """The maker's own words, else the trade's."""
    if suggestion.evidence:
        return suggestion.evidence
    content, words = suggestion.content, vocabulary("bassoon")
    label = words.label("steps", content["step"]) if content.get("step") else "Plan"
    zones = ", ".join(words.label("zones", zone).lower() for zone in content.get("zones") or ())
    return f"{label}{': ' + zones if zones else ''}"


def accept(library: Library, suggestion: Suggestion, changed: Made | None = None) -> Made | ToldAgain:
    """Take a suggestion, as it is or as the maker changed it; gives what was stored.

    A recap is linked to the earlier work that it tells again; BadInput when there is none.
    """
    with library.journal.edit("accepted a suggestion") as edit:
        made = _accepted(library, edit, suggestion, changed)
        if made is None:
            name = f"suggestion {suggestion.id}"
            raise BadInput(NO_EARLIER, name, "Tag it as work if it was done now, or dismiss it.")
        return made


def accept_all(library: Library, suggestions: Sequence[Suggestion]) -> list[Made | ToldAgain]:
    """Take several suggestions as one step of undo; recaps of which no earlier work is found stay open."""
    made: list[Made | ToldAgain] = []
    past = Past(library)
    # A recap may tell of what is tagged in the same step.
    new = [tag for one in suggestions if isinstance(tag := would_be(one), Tag)]
    taken = [one for one in suggestions if one.kind != "recap" or past.tag_of(one, new)]
    with library.journal.edit(f"accepted {counted(len(taken), 'suggestion')}") as edit:
        for one in sorted(taken, key=lambda one: one.kind == "recap"):
            stored = _accepted(library, edit, one, None, past, [tag for tag in made if isinstance(tag, Tag)])
            made += [stored] if stored else []
    return made


def dismiss(library: Library, suggestion: Suggestion) -> Suggestion:
    """Put a suggestion away; it is not proposed again."""
    return library.suggestions.change(_decided(suggestion, "dismissed"))


def _accepted(
    library: Library,
    edit: Edit,
    suggestion: Suggestion,
    changed: Made | None,
    past: Past | None = None,
    made_now: Sequence[Tag] = (),
) -> Made | ToldAgain | None:
    """Store what a suggestion becomes; None, and it stays open, for a recap of which no earlier work is found."""
    decided = _decided(suggestion, "accepted")
    made = changed or would_be(suggestion)
    if made is None:
        tag = (past or Past(library)).tag_of(suggestion, made_now)
        if tag is None:
            return None
        decided = replace(decided, content={**suggestion.content, LINK: tag.id})
        row = edit.change(library.suggestions.table, codec.row_of(decided))
        return ToldAgain(codec.suggestion_from(row), tag)
    before = suggestion.content.get("step")
    if isinstance(made, Tag) and made.step != before:
        decided = replace(decided, content={**suggestion.content, "step": made.step, "changed_from": before})
    edit.change(library.suggestions.table, codec.row_of(decided))
    if isinstance(made, Tag):
        return library.tags.add_in(edit, made)
    if isinstance(made, Reading):
        return library.readings.add_in(edit, made)
    return library.plans.add_in(edit, made)


def _decided(suggestion: Suggestion, state: str) -> Suggestion:
    if suggestion.state != "open":
        raise BadInput(f"has been {suggestion.state} already", f"suggestion {suggestion.id}", "Undo that first.")
    return replace(suggestion, state=state)
