"""Work told again: finds the earlier tag that a recap most likely means.

The maker says "last time I took the rails down": that is no work of today, and is
linked to the tag of that work: of the same reed and step, at a place that meets
the told one, the latest before the moment it is told. What was done only just
now is still the work in hand, and no memory of it; what is told of this day
("this evening it was the rails") is of no other.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import cached_property

from annotate.library import Library
from annotate.model import Recording, Session, Suggestion, Tag

LINK = "tag_id"  # where an accepted recap keeps the tag that it tells again, in its content

# Milliseconds between the end of work and words that may tell it again, in one session. A round of scraping, crowing,
# playing and judging takes some minutes; words in it speak of the work in hand. Common practice, no source.
LEAST_AGO_MS = 5 * 60_000
_THIS_DAY = re.compile(r"\b(today|tonight|this (morning|afternoon|evening)|just now)\b", re.IGNORECASE)

Moment = tuple[str, int, int, int, int]  # day, session, place in the session, recording, ms


@dataclass(frozen=True)
class ToldAgain:
    """A recap as the maker accepted it, with the earlier work that it tells again."""

    suggestion: Suggestion
    tag: Tag


@dataclass(frozen=True)
class Earlier:
    """The earlier work with its session, so that a page can name the day and lead there."""

    tag: Tag
    session: Session

    @property
    def address(self) -> str:
        """Its moment on the page of its session."""
        return f"/sessions/{self.session.id}?recording={self.tag.recording_id}&at={self.tag.start_ms}"


class Past:
    """The work in the library as it was when first asked, read once for one answer."""

    def __init__(self, library: Library) -> None:
        self._library = library
        self._tags: dict[tuple[int | None, int], list[Tag]] = {}

    @cached_property
    def recordings(self) -> dict[int, Recording]:
        return {one.id: one for one in self._library.recordings.all()}

    @cached_property
    def sessions(self) -> dict[int, Session]:
        return {one.id: one for one in self._library.sessions.all()}

    def tag_of(self, recap: Suggestion, also: Iterable[Tag] = ()) -> Tag | None:
        """The tag that a recap most likely tells again, or None; ``also`` are tags that are being stored just now."""
        content, told_in = recap.content, self.recordings[recap.recording_id]
        reed = content.get("reed_id") or (None if content.get("reed") else told_in.reed_id)
        if content.get("step") is None or (reed is None and content.get("reed")):  # a reed the library does not know
            return None
        told_at = self._moment(told_in, recap.start_ms)
        found = [
            (self._moment(self.recordings[tag.recording_id], tag.start_ms), tag.id, tag)
            for tag in [*self._tags_of(reed, told_in.session_id), *also]
            if tag.step == content["step"] and self._is_of(tag, reed) and _meets(tag, content.get("zones") or ())
        ]
        of_day = told_at[0] if _THIS_DAY.search(recap.evidence) else None
        before = [
            entry
            for entry in found
            if entry[0] < told_at and of_day in (None, entry[0][0]) and self._is_past(entry[2], recap)
        ]
        return max(before, key=lambda entry: entry[:2])[2] if before else None

    def linked(self, recap: Suggestion) -> Earlier | None:
        """The earlier work that an accepted recap is linked to, or an open one would be; None when there is none."""
        is_accepted = recap.state == "accepted"
        tag = self._library.tags.find(recap.content.get(LINK) or 0) if is_accepted else self.tag_of(recap)
        return Earlier(tag, self.sessions[self.recordings[tag.recording_id].session_id]) if tag else None

    def _tags_of(self, reed: int | None, session_id: int) -> list[Tag]:
        """The tags of a reed; where no reed is known, those of the session."""
        key = (reed, 0 if reed else session_id)
        if key not in self._tags:
            tags = self._library.tags
            self._tags[key] = tags.of_reed(reed) if reed else tags.of_session(session_id)
        return self._tags[key]

    def _moment(self, recording: Recording, ms: int) -> Moment:
        session = self.sessions[recording.session_id]
        return (session.date, session.id, recording.position, recording.id, ms)

    def _is_past(self, tag: Tag, recap: Suggestion) -> bool:
        """Whether work is of an earlier session, or was over some minutes before the recap was said."""
        worked_in, told_in = self.recordings[tag.recording_id], self.recordings[recap.recording_id]
        if worked_in.session_id != told_in.session_id:
            return True
        if worked_in.id == told_in.id:
            return recap.start_ms - tag.end_ms >= LEAST_AGO_MS
        # What was not filmed between the recordings is left out: so much time has passed at least.
        first, last = self._moment(worked_in, 0), self._moment(told_in, 0)
        here = [one for one in self.recordings.values() if one.session_id == told_in.session_id]
        between = sum(one.duration_ms for one in here if first < self._moment(one, 0) < last)
        return worked_in.duration_ms - tag.end_ms + between + recap.start_ms >= LEAST_AGO_MS

    def _is_of(self, tag: Tag, reed: int | None) -> bool:
        return (tag.reed_id or self.recordings[tag.recording_id].reed_id) == reed


def _meets(tag: Tag, zones: Collection[str]) -> bool:
    """Whether the places share a zone; work told without a place may have been anywhere."""
    return not zones or bool(set(zones) & set(tag.zones))


def retold(library: Library) -> dict[int, list[Earlier]]:
    """For each tag that was told again, where it was: the recap's own stretch stands as a tag."""
    recaps = library.suggestions.accepted_recaps()
    past, found = Past(library), dict[int, list[Earlier]]()
    for one in recaps:
        told = Tag(one.recording_id, one.start_ms, one.end_ms, one.content["step"])
        session = past.sessions[past.recordings[one.recording_id].session_id]
        found.setdefault(int(one.content[LINK]), []).append(Earlier(told, session))
    return found
