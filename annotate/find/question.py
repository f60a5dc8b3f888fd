"""A question, checked; and a hit."""

from __future__ import annotations

import re
from dataclasses import dataclass

from annotate.errors import BadInput
from annotate.model import check_day
from annotate.vocabulary import vocabulary

KINDS = ("line", "tag", "reading", "correction", "session", "reed", "lesson")
MAX_HITS = 500
_WORD = re.compile(r"\S+")


def check_days(since: str | None, until: str | None) -> None:
    """Raise BadInput unless both are days (or None) and the last is not before the first."""
    for day in (since, until):
        if day is not None:
            check_day(day)
    if since is not None and until is not None and until < since:
        raise BadInput("is before the first day", until, f"Choose {since} or a later day.")


@dataclass(frozen=True)
class Question:
    """What is looked for: words, and what the moment's tag must have. ``since``/``until`` are ISO dates."""

    text: str = ""
    reed_id: int | None = None
    step: str | None = None
    zone: str | None = None
    blade: str | None = None
    side: str | None = None
    symptom: str | None = None
    kinds: tuple[str, ...] = ()
    since: str | None = None
    until: str | None = None
    limit: int = 100

    def __post_init__(self) -> None:
        both = (vocabulary("bassoon"), vocabulary("oboe"))
        for group, value in (
            ("steps", self.step),
            ("zones", self.zone),
            ("blades", self.blade),
            ("sides", self.side),
            ("symptoms", self.symptom),
        ):
            if value is not None and not any(value in words.group(group) for words in both):
                both[0].check(group, value)
        for kind in self.kinds:
            if kind not in KINDS:
                raise BadInput("is not a kind of moment", kind, f"Use one of {', '.join(KINDS)}.")
        if not 1 <= self.limit <= MAX_HITS:
            raise BadInput("is not a number of hits", str(self.limit), f"Ask for 1 to {MAX_HITS}.")
        check_days(self.since, self.until)

    def words(self) -> list[str]:
        """The words looked for; a word without a letter or digit is left out, since no text could hold it."""
        return [word for word in _WORD.findall(self.text) if any(char.isalnum() for char in word)]

    @property
    def is_empty(self) -> bool:
        """True when nothing at all is asked."""
        return not self.words() and not any(
            (self.reed_id, self.step, self.zone, self.blade, self.side, self.symptom, self.since, self.until)
        )


@dataclass(frozen=True)
class Hit:
    """A moment found. ``snippet`` is ``shown`` with the found words between U+0002 and U+0003."""

    kind: str
    row_id: int
    session_id: int | None
    recording_id: int | None
    start_ms: int | None
    end_ms: int | None
    shown: str
    snippet: str
    date: str | None
    session_title: str | None
    reed_name: str | None
