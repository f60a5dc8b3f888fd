"""A cue: a piece of text with a time range. What captions, chapters and metadata tracks are made of."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from annotate.errors import BadInput

KINDS = ("caption", "chapter", "metadata")
# Between two cues nothing is shown for this long: players that count the end in would show both.
GAP_MS = 1


@dataclass(frozen=True)
class Cue:
    """Text shown from ``start_ms`` until before ``end_ms``."""

    start_ms: int
    end_ms: int
    text: str
    kind: str = "caption"

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise BadInput("is not a kind of cue", self.kind, f"Use one of {', '.join(KINDS)}.")


def plain_lines(text: str) -> str:
    """The text with ``\\n`` line ends, no blank lines and no characters that end a cue or a file early."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\x00", "\ufffd")
    return "\n".join(line.strip() for line in text.split("\n") if line.strip())


def tidy(cues: Iterable[Cue]) -> list[Cue]:
    """The cues in order of time, without empty or zero-length ones, none overlapping another.

    Where two overlap, the earlier ends when the later begins; two that begin
    within a millisecond of each other become one with both texts.
    """
    ready: list[Cue] = []
    for cue in sorted(cues, key=lambda one: (one.start_ms, one.end_ms)):
        text, start_ms = plain_lines(cue.text), max(0, cue.start_ms)
        if not text or cue.end_ms <= start_ms:
            continue
        cue = replace(cue, start_ms=start_ms, text=text)
        if not ready or cue.start_ms >= ready[-1].end_ms + GAP_MS:
            ready.append(cue)
        elif cue.start_ms - GAP_MS > ready[-1].start_ms:
            ready[-1] = replace(ready[-1], end_ms=cue.start_ms - GAP_MS)
            ready.append(cue)
        else:
            last = ready[-1]
            ready[-1] = replace(last, end_ms=max(last.end_ms, cue.end_ms), text=f"{last.text}\n{text}")
    return ready
