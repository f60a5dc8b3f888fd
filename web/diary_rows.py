"""The rows of the diary: time runs down the page, a row for each line and for each sound between lines.

A row reaches to the start of the next one, so that every moment of a recording
lies in exactly one row.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from markupsafe import Markup

from annotate.model import Line, Sound

SHORTEST_GAP_MS = 1500  # silence between lines that gets no row of its own: a breath between sentences
SHORTEST_SOUND_MS = 500  # a sound shorter than this between lines is a knock
SHORTEST_QUIET_MS = 3000  # a pause worth a row
LONGEST_PAUSE_MS = 60_000  # a longer pause is cut, so that a place in it can be reached by the keyboard
LONGEST_LEAD_MS = 300  # a tag may begin so much before the line that it is about: a breath, or the edge of a word
ROWS_IN_A_CHUNK = 24  # rows that the browser lays out together

SOUND_WORDS = {"speech": "Speech", "play": "Playing", "crow": "Crow", "scrape": "Scraping", "quiet": "Quiet"}
SOUND_SIGNS = {"speech": "❝", "play": "♪", "crow": "≋", "scrape": "//", "quiet": "…"}


@dataclass(frozen=True)
class RowSound:
    """Playing or a crow that was measured: its short line, and what the microphone did to it."""

    id: int
    start_ms: int
    kind: str
    text: str
    marks: tuple[str, ...] = ()

    @property
    def word(self) -> str:
        """The kind of sound in words."""
        return SOUND_WORDS[self.kind]


@dataclass
class Row:
    """One moment of the diary. ``kind`` is that of its sound; 'pause' where nothing is known."""

    start_ms: int
    end_ms: int
    kind: str
    line: Line | None = None
    has_still: bool = False
    is_heard: bool = True
    cards: list[object] = field(default_factory=list)
    sounds: list[RowSound] = field(default_factory=list)

    @property
    def attributes(self) -> Markup:
        """What the page's scripts read of a row. Made here: a long session has thousands of rows."""
        text = f'data-start="{self.start_ms}" data-end="{self.end_ms}" data-kind="{self.kind}"'
        if self.line:
            text += f' data-line="{self.line.id}" data-version="{self.line.version}"'
        return Markup(text + (" data-still" if self.has_still else ""))

    @property
    def word(self) -> str:
        """The sound in words."""
        return SOUND_WORDS.get(self.kind, "No words" if self.is_heard else "Not heard yet")

    @property
    def sign(self) -> str:
        """The sound as a sign beside its colour."""
        return SOUND_SIGNS.get(self.kind, "·")


def rows(lines: Sequence[Line], sounds: Sequence[Sound], duration_ms: int) -> list[Row]:
    """The rows of a recording in order; they follow on each other without a gap from 0 to its end."""
    found: list[Row] = []
    reached = 0
    heard = [sound for sound in sounds if sound.kind != "speech"]
    starts = [sound.start_ms for sound in heard]
    for line in sorted(lines, key=lambda one: (one.start_ms, one.id)):
        found += _between(heard, starts, reached, line.start_ms)
        found.append(Row(line.start_ms, line.end_ms, "speech", line))
        reached = max(reached, line.end_ms)
    found += _between(heard, starts, reached, duration_ms)
    if not found:
        found = [Row(0, max(duration_ms, 1), "pause")]
    return _joined(found, duration_ms)


def _between(heard: Sequence[Sound], starts: Sequence[int], start_ms: int, end_ms: int) -> list[Row]:
    """Rows for what is heard between two lines."""
    if end_ms - start_ms < SHORTEST_GAP_MS:
        return []
    pieces: list[Row] = []
    for sound in heard[max(bisect_right(starts, start_ms) - 1, 0) :]:
        if sound.start_ms >= end_ms:
            break
        first, last = max(sound.start_ms, start_ms), min(sound.end_ms, end_ms)
        shortest = SHORTEST_QUIET_MS if sound.kind == "quiet" else SHORTEST_SOUND_MS
        if last - first < shortest:
            continue
        if pieces and pieces[-1].kind == sound.kind:
            pieces[-1].end_ms = last
        else:
            pieces.append(Row(first, last, sound.kind))
    if not pieces and end_ms - start_ms >= SHORTEST_QUIET_MS:
        pieces = [Row(start_ms, end_ms, "pause")]
    return [part for piece in pieces for part in _cut(piece)]


def _cut(row: Row) -> list[Row]:
    """A long pause in pieces of a minute; sounds stay whole."""
    if row.kind not in ("quiet", "pause"):
        return [row]
    edges = [*range(row.start_ms, row.end_ms, LONGEST_PAUSE_MS), row.end_ms]
    return [Row(start, end, row.kind) for start, end in pairwise(edges)]


def _joined(found: list[Row], duration_ms: int) -> list[Row]:
    """The rows, each reaching to the next, the first from 0 and the last to the end; equal starts stay in order."""
    found[0].start_ms = 0
    for before, after in pairwise(found):
        before.end_ms = max(after.start_ms, before.start_ms)
    found[-1].end_ms = max(duration_ms, found[-1].start_ms)
    before_kind = ""
    for row in found:
        row.has_still = row.kind != before_kind and row.kind not in ("quiet", "pause")
        before_kind = row.kind
    return found


def row_at(starts: Sequence[int], ms: int) -> int:
    """The position of the row that holds a moment, by the rows' starts."""
    return max(bisect_right(starts, ms) - 1, 0)


def card_row(found: Sequence[Row], starts: Sequence[int], start_ms: int, end_ms: int) -> int:
    """The position of the row where a card of a stretch stands: where it starts, or the next row when that is near.

    The same rule as ``cardRow`` of the page's scripts.
    """
    at = row_at(starts, start_ms)
    lead_ms = found[at].end_ms - start_ms
    is_before = lead_ms <= LONGEST_LEAD_MS and end_ms - found[at].end_ms > lead_ms
    return at + 1 if is_before and at + 1 < len(found) else at


def place_cards(found: Sequence[Row], cards: Iterable[tuple[int, int, object]]) -> None:
    """Put each card (where it starts and ends, the card) on its row, in order of their starts."""
    starts = [row.start_ms for row in found]
    for start_ms, end_ms, card in sorted(cards, key=lambda one: one[0]):
        found[card_row(found, starts, start_ms, end_ms)].cards.append(card)


def place_sounds(found: Sequence[Row], sounds: Iterable[tuple[int, RowSound]]) -> None:
    """Put each measured sound (the moment of its middle, the sound) on the row that holds the moment."""
    starts = [row.start_ms for row in found]
    for ms, sound in sounds:
        found[row_at(starts, ms)].sounds.append(sound)


def chunks(found: Sequence[Row]) -> list[Sequence[Row]]:
    """The rows in pieces that the browser lays out only when they come near."""
    return [found[at : at + ROWS_IN_A_CHUNK] for at in range(0, len(found), ROWS_IN_A_CHUNK)]
