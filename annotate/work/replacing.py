"""Finds and replaces words over the lines of a session."""

from __future__ import annotations

import re
from dataclasses import dataclass

from annotate.errors import BadInput
from annotate.library import Library
from annotate.model import Line
from annotate.vocabulary.counted import counted
from annotate.work.doubting import rewritten


@dataclass(frozen=True)
class Search:
    """What to look for and what to put there; ``replacement`` stands as it is written, empty takes out."""

    sought: str
    replacement: str
    whole_words: bool = True
    same_capitals: bool = False

    def __post_init__(self) -> None:
        if not self.sought.strip():
            raise BadInput("There is nothing to look for", next_step="Write a word or a phrase.")
        if "\x00" in self.replacement:
            raise BadInput("The replacement holds a character that cannot be stored", next_step="Remove it.")

    @property
    def pattern(self) -> re.Pattern[str]:
        """Blanks in a phrase stand for any blanks."""
        text = r"\s+".join(re.escape(word) for word in self.sought.split())
        if self.whole_words:
            text = rf"(?<!\w){text}(?!\w)"
        return re.compile(text, 0 if self.same_capitals else re.IGNORECASE)


@dataclass(frozen=True)
class Change:
    """A line in which something was found: the text it would have, and how often it was found."""

    line: Line
    text: str
    count: int


def changes(library: Library, session_id: int, search: Search) -> list[Change]:
    """What a replacement would do, in order; nothing is stored. A line that would be left empty stays as it is."""
    library.sessions.get(session_id)
    found = []
    for recording in library.recordings.of_session(session_id):
        for line in library.lines.of_recording(recording.id):
            text, count = search.pattern.subn(lambda _: search.replacement, line.text)
            text = " ".join(text.split())
            if count and text and text != line.text:
                found.append(Change(line, text, count))
    return found


def replace_all(library: Library, session_id: int, search: Search) -> list[Line]:
    """Replace over the session as one step of undo; words that stay keep their times."""
    found = changes(library, session_id, search)
    if not found:
        return []
    what = f"replaced “{search.sought}” by “{search.replacement}” on {counted(len(found), 'line')}"
    return library.lines.change_all([rewritten(one.line, one.text) for one in found], what)
