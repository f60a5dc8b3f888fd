"""SubRip (.srt): numbered cues with a comma before the milliseconds.

The format has no standard and no escapes: text stands as it is. What would end
a cue, a blank line, is taken out. Players drop ``<3 mm and the wall >`` for a
mark of fonts or italics, and some take any ``-->`` for a time line: there an
invisible word joiner (U+2060) is put after ``<`` and before ``>``, so that the
measure stays on screen.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from annotate.formats.cues import Cue, plain_lines
from annotate.timecode import stamp

_TIMING = re.compile(
    r"^\s*(\d+):([0-5]?\d):([0-5]?\d)[,.](\d{1,3})\s*-->\s*(\d+):([0-5]?\d):([0-5]?\d)[,.](\d{1,3})(?:\s.*)?$"
)
_LIKE_A_MARK = re.compile(r"<(?=[A-Za-z0-9_/][^<>]*>)")
_JOINER = "\u2060"
_MARK = re.compile(r"</?(?:i|b|u|s|font)(?:\s[^>]*)?>", re.IGNORECASE)


def write(cues: Iterable[Cue]) -> str:
    """A SubRip file of these cues in their order; empty and zero-length ones are left out."""
    blocks: list[str] = []
    for cue in cues:
        text = _guard(plain_lines(cue.text))
        if text and cue.end_ms > cue.start_ms:
            times = f"{stamp(cue.start_ms, ',')} --> {stamp(cue.end_ms, ',')}"
            blocks.append(f"{len(blocks) + 1}\n{times}\n{text}\n")
    return "\n".join(blocks)


def read(text: str) -> list[Cue]:
    """The cues of a SubRip file; marks for italics, bold, underline and fonts are dropped."""
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    starts = [number for number, line in enumerate(lines) if _is_head(lines, number)]
    cues = []
    for number, begin in enumerate(starts):
        end = starts[number + 1] - 1 if number + 1 < len(starts) else len(lines)
        found = _TIMING.match(lines[begin])
        assert found
        words = _unguard(plain_lines(_MARK.sub("", "\n".join(lines[begin + 1 : end]))))
        start_ms, end_ms = _ms(found.groups()[:4]), _ms(found.groups()[4:])
        if words and end_ms > start_ms:
            cues.append(Cue(start_ms, end_ms, words))
    return cues


def _guard(text: str) -> str:
    return _LIKE_A_MARK.sub(f"<{_JOINER}", text).replace("-->", f"--{_JOINER}>")


def _unguard(text: str) -> str:
    return text.replace(f"<{_JOINER}", "<").replace(f"--{_JOINER}>", "-->")


def _is_head(lines: list[str], number: int) -> bool:
    """A time line counts only under a number that begins the file or follows a blank line: text may hold one too."""
    if not _TIMING.match(lines[number]) or number == 0:
        return False
    return lines[number - 1].strip().isdigit() and (number == 1 or not lines[number - 2].strip())


def _ms(parts: tuple[str, ...]) -> int:
    hours, minutes, seconds = (int(part) for part in parts[:3])
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + int(parts[3].ljust(3, "0"))
