"""Proposes tags, readings and plans for a recording, and turns what the maker accepts into statements.

A suggestion stays apart until it is accepted. Accepting, changing and
dismissing are steps that can be undone, and are remembered for the next ones.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from annotate.errors import BadInput
from annotate.library import Library, codec, schema
from annotate.library.journal import Edit
from annotate.model import Plan, Reading, Recording, Suggestion, Tag
from annotate.tagging.feedback import Answers, key_of, with_feedback
from annotate.tagging.lexicon import lexicon
from annotate.tagging.session import CardShown, suggest_session
from annotate.tagging.session import Suggestion as Proposal
from annotate.vocabulary import vocabulary

SHORTEST_MS = 100  # a suggestion lasts at least this long, so that it can be seen and played


def suggest(library: Library, recording: Recording) -> list[Suggestion]:
    """Make the suggestions of a recording anew; what was decided before stays as it was. Gives the open ones."""
    reeds = library.reeds.all()
    own = library.reeds.get(recording.reed_id) if recording.reed_id else None
    cards = [CardShown(0, own.name)] if own else []
    proposals = suggest_session(
        library.lines.of_recording(recording.id),
        library.recordings.sounds(recording.id),
        cards,
        [reed.name for reed in reeds],
        lexicon(own.instrument if own else "bassoon"),
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


def accept(
    library: Library, suggestion_id: int, changes: Mapping[str, Any] | None = None
) -> Tag | Reading | Plan | None:
    """Make the maker's statement of a suggestion, with ``changes`` to its fields; a recap becomes nothing new."""
    one = library.suggestions.get(suggestion_id)
    with library.journal.edit(f"accepted a suggested {one.kind}") as edit:
        return _accept(library, edit, one, changes or {})


def accept_all(library: Library, recording_id: int, above: float) -> list[Suggestion]:
    """Accept every open suggestion of a recording whose confidence is at least ``above``, as one step of undo."""
    chosen = [one for one in open_ones(library, recording_id) if one.confidence >= above]
    if chosen:
        with library.journal.edit(f"accepted {len(chosen)} suggestions") as edit:
            for one in chosen:
                _accept(library, edit, one, {})
    return chosen


def dismiss(library: Library, suggestion_id: int) -> Suggestion:
    """Put a suggestion away; it is not proposed again."""
    one = library.suggestions.get(suggestion_id)
    _check_open(one)
    return library.suggestions.change(replace(one, state="dismissed"))


def _check_open(one: Suggestion) -> None:
    if one.state != "open":
        raise BadInput(f"has been {one.state} already", f"suggestion {one.id}", "Undo that first.")


def _accept(library: Library, edit: Edit, one: Suggestion, changes: Mapping[str, Any]) -> Tag | Reading | Plan | None:
    _check_open(one)
    content = {**one.content, **changes}
    made: Tag | Reading | Plan | None = None
    if one.kind == "tag":
        tag = library.tags.check(edit.connection, _tag(one, content))
        made = codec.tag_from(edit.add(schema.tag, codec.row_of(tag)))
    elif one.kind == "reading":
        reading = library.readings.check(edit.connection, _reading(one, content))
        made = codec.reading_from(edit.add(schema.reading, codec.row_of(reading)))
    elif one.kind == "plan":
        plan = Plan(_plan_text(one, content), content.get("reed_id"), one.recording_id, one.start_ms)
        made = codec.plan_from(edit.add(schema.plan, codec.row_of(plan)))
    if content.get("step") != one.content.get("step"):
        content["changed_from"] = one.content.get("step")
    edit.change(schema.suggestion, codec.row_of(replace(one, state="accepted", content=content)))
    return made


def _tag(one: Suggestion, content: Mapping[str, Any]) -> Tag:
    return Tag(
        recording_id=one.recording_id,
        start_ms=int(content.get("start_ms", one.start_ms)),
        end_ms=int(content.get("end_ms", one.end_ms)),
        step=content["step"] or "",
        zones=tuple(content["zones"]),
        blade=content["blade"],
        side=content["side"],
        reed_id=content["reed_id"],
        symptoms=tuple(content["symptoms"]),
        note=content.get("note", ""),
    )


def _reading(one: Suggestion, content: Mapping[str, Any]) -> Reading:
    return Reading(
        quantity=content["quantity"],
        value=Decimal(str(content["value"])),
        unit=content["unit"],
        reed_id=content["reed_id"],
        recording_id=one.recording_id,
        at_ms=one.start_ms,
        zone=content["zone"],
    )


def _plan_text(one: Suggestion, content: Mapping[str, Any]) -> str:
    if content.get("text"):
        return str(content["text"])
    words = vocabulary("bassoon")
    zones = ", ".join(words.label("zones", zone).lower() for zone in content["zones"])
    label = words.label("steps", content["step"]) if content["step"] else "Plan"
    said = f" (“{one.evidence}”)" if one.evidence else ""
    return f"{label}{': ' + zones if zones else ''}{said}"
