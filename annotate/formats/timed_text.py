"""Text with times: one line of speech per line, its time in front. For reading, mailing, correcting by hand.

::

    0:01.5 Now the left channel.
    0:04.0 Two strokes, no more.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from annotate import timecode
from annotate.errors import BadInput, BadTime
from annotate.formats.cues import Cue, plain_lines

# What a spoken line takes when nothing follows that ends it: 15 characters a second, at least a second.
_MS_PER_CHARACTER = 67
_SHORTEST_MS = 1000
_HEAD = re.compile(r"^\s*[\[(]?(\d+(?::\d{1,2}){1,2}(?:[.,]\d{1,3})?)[\])]?\s+(?!-->)(\S.*)$")


def write(cues: Iterable[Cue]) -> str:
    """One line per cue: time, blank, text. Tenths, and thousandths where tenths do not tell it from the one before."""
    lines, last_ms = [], -1
    for cue in cues:
        start_ms = max(cue.start_ms, last_ms + 1)
        is_apart = start_ms // 100 * 100 > last_ms
        last_ms = start_ms // 100 * 100 if is_apart else start_ms
        time = timecode.clock_tenths(start_ms) if is_apart else f"{timecode.clock(start_ms)}.{start_ms % 1000:03d}"
        lines.append(f"{time} {' '.join(plain_lines(cue.text).split())}\n")
    return "".join(lines)


def read(text: str, duration_ms: int | None = None) -> list[Cue]:
    """The cues of such a text; a line without a time goes on with the one before.

    Each ends where the next begins, the last at ``duration_ms``, or when it
    could have been said.

    Raises
    ------
    BadInput
        If the first line has no time.
    BadTime
        If the times run backwards.
    """
    said: list[tuple[int, str]] = []
    for line in plain_lines(text.removeprefix("\ufeff")).split("\n"):
        found = _HEAD.match(line)
        if found:
            said.append((timecode.parse(found.group(1)), found.group(2)))
        elif said:
            said[-1] = (said[-1][0], f"{said[-1][1]} {line}")
        elif line:
            raise BadInput("has no time in front", line[:60], "Begin each line with a time, for example 0:01.5.")
    return [_cue(said, number, duration_ms) for number in range(len(said))]


def _cue(said: list[tuple[int, str]], number: int, duration_ms: int | None) -> Cue:
    start_ms, text = said[number]
    if number + 1 < len(said):
        end_ms = said[number + 1][0]
    else:
        end_ms = start_ms + max(_SHORTEST_MS, len(text) * _MS_PER_CHARACTER)
        if duration_ms is not None and start_ms < duration_ms:
            end_ms = min(end_ms, duration_ms)
    if end_ms <= start_ms:
        raise BadTime(
            "the times run backwards or stand still here",
            f"{timecode.clock_tenths(start_ms)} {text[:40]}",
            "Put the lines in order.",
        )
    return Cue(start_ms, end_ms, text)
