"""What the program proposes, and what was decided on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from sqlalchemy import delete, insert, select

from annotate.library import codec, schema
from annotate.library.in_hand import Hand, hand_of
from annotate.library.shelves.shelf import OfRecording
from annotate.model import Suggestion

OF_HAND = "is_of_hand"  # marks, in the content, a suggestion whose reed is whichever was in hand at its end
# What a suggestion says of the work; which reed it was may become known later.
_SAID = ("step", "zones", "blade", "side", "symptoms", "quantity", "value", "unit", "zone")


def _said(kind: str, content: dict[str, Any]) -> tuple[Any, ...]:
    """What was proposed: where the maker accepted another step, the first one."""
    proposed = {**content, "step": content.get("changed_from", content.get("step"))}
    return kind, *(proposed.get(name) for name in _SAID)


def _follows(one: Suggestion) -> bool:
    return one.state == "open" and OF_HAND in one.content


def _of_hand(one: Suggestion, hand: Hand, names: Mapping[int, str]) -> Suggestion:
    reed_id = hand.at(one.end_ms)
    return replace(one, content={**one.content, "reed_id": reed_id, "reed": names.get(reed_id or 0)})


class Suggestions(OfRecording[Suggestion]):
    table = schema.suggestion
    from_row = staticmethod(codec.suggestion_from)

    def where(self, *conditions: Any) -> list[Suggestion]:
        """The suggestions that meet the conditions; open ones are of the reed in hand as it is known now."""
        found = super().where(*conditions)
        following = {one.recording_id for one in found if _follows(one)}
        if not following:
            return found
        with self.library.reading() as connection:
            hands = {recording_id: hand_of(connection, recording_id) for recording_id in following}
            names = {row.id: row.name for row in connection.execute(select(schema.reed.c.id, schema.reed.c.name))}
        return [_of_hand(one, hands[one.recording_id], names) if _follows(one) else one for one in found]

    def propose(self, recording_id: int, suggestions: Iterable[Suggestion]) -> None:
        """Replace the open suggestions of a recording; what is decided stays, and is not proposed again."""
        table = schema.suggestion
        with self.library.writing() as connection:
            of_it = table.c.recording_id == recording_id
            connection.execute(delete(table).where(of_it, table.c.state == "open"))
            decided = connection.execute(
                select(table.c.kind, table.c.start_ms, table.c.end_ms, table.c.content).where(of_it)
            ).all()
            seen = [(row.start_ms, row.end_ms, _said(row.kind, row.content)) for row in decided]
            for one in suggestions:
                said = _said(one.kind, one.content)
                if any(one.start_ms < end and start < one.end_ms and said == other for start, end, other in seen):
                    continue
                row = {**codec.row_of(one), "recording_id": recording_id, "version": 1}
                row.pop("id")
                connection.execute(insert(table).values(row))

    def open_of(self, recording_id: int) -> list[Suggestion]:
        """What is proposed for a recording and not decided on, in order of time."""
        table = schema.suggestion
        return self.where(table.c.recording_id == recording_id, table.c.state == "open")

    def accepted_readings(self, recording_id: int) -> list[Suggestion]:
        """The readings of a recording that the maker has taken over, each at the moment it was said."""
        table = schema.suggestion
        of_it = table.c.recording_id == recording_id
        return self.where(of_it, table.c.kind == "reading", table.c.state == "accepted")

    def accepted_recaps(self) -> list[Suggestion]:
        """The recaps that are linked to earlier work, of all recordings; their content names its ``tag_id``."""
        table = schema.suggestion
        found = self.where(table.c.kind == "recap", table.c.state == "accepted")
        return [one for one in found if "tag_id" in one.content]

    def answers(self) -> dict[str, dict[str, Any]]:
        """For each rule, how often it was ``accepted``, ``dismissed``, and ``changed_to`` another step."""
        table = schema.suggestion
        query = select(table.c.rule, table.c.state, table.c.content).where(table.c.state != "open")
        found: dict[str, dict[str, Any]] = {}
        with self.library.reading() as connection:
            for rule, state, content in connection.execute(query):
                counts = found.setdefault(rule, {"accepted": 0, "dismissed": 0, "changed_to": {}})
                if "changed_from" in content:
                    changed = counts["changed_to"]
                    changed[content["step"]] = changed.get(content["step"], 0) + 1
                else:
                    counts[state] += 1
        return found
