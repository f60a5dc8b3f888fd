"""Chapter lists: as text to paste under a film, and as ffmpeg's metadata file for the encoder."""

from __future__ import annotations

import re
from collections.abc import Sequence

from annotate import timecode
from annotate.errors import BadTime
from annotate.formats.cues import Cue

_SPECIAL = re.compile(r"([=;#\\\n])")
_LINE = re.compile(r"^\s*(\d+(?::\d{1,2}){1,2})\s+(?:[-–]\s+)?(\S.*?)\s*$")


def check(chapters: Sequence[Cue]) -> None:
    """Raise BadTime unless the first begins at 0 and each begins where the one before ends, or later."""
    if chapters and chapters[0].start_ms != 0:
        raise BadTime("the first chapter does not begin at 0:00", chapters[0].text, "Begin it at the start.")
    last_ms = 0
    for one in chapters:
        timecode.check_range(one.start_ms, one.end_ms)
        if one.start_ms < last_ms:
            raise BadTime("the chapter begins before the one before it ends", one.text, "Put them in order.")
        last_ms = one.end_ms


def as_text(chapters: Sequence[Cue]) -> str:
    """One line per chapter, ``0:00 Title``; with hours on all lines if the last one needs them."""
    check(chapters)
    with_hours = bool(chapters) and chapters[-1].start_ms >= 3_600_000
    return "".join(f"{_time(one.start_ms, with_hours)} {_one_line(one.text)}\n" for one in chapters)


def read_text(text: str, duration_ms: int) -> list[Cue]:
    """Chapters from such a list; other lines are passed over. Each ends where the next begins."""
    starts = [(timecode.parse(found[1]), found[2]) for line in text.splitlines() if (found := _LINE.match(line))]
    ends = [start_ms for start_ms, _ in starts[1:]] + [duration_ms] * bool(starts)
    chapters = [Cue(start, end, title, "chapter") for (start, title), end in zip(starts, ends, strict=True)]
    check(chapters)
    return chapters


def as_ffmetadata(chapters: Sequence[Cue]) -> str:
    """ffmpeg's metadata text (ffmpeg-formats, "Metadata"): ``=``, ``;``, ``#``, ``\\`` and line ends are escaped."""
    check(chapters)
    parts = [";FFMETADATA1\n"]
    for one in chapters:
        title = _SPECIAL.sub(r"\\\1", _one_line(one.text))
        if title.endswith("\\"):  # ffmpeg takes a backslash before a line end as "goes on", escaped or not
            title += " "
        parts.append(f"[CHAPTER]\nTIMEBASE=1/1000\nSTART={one.start_ms}\nEND={one.end_ms}\ntitle={title}\n")
    return "".join(parts)


def _one_line(title: str) -> str:
    return " ".join(title.replace("\x00", "").split()) or "…"


def _time(ms: int, with_hours: bool) -> str:
    text = timecode.clock(ms)
    if not with_hours or text.count(":") == 2:
        return text
    minutes, seconds = text.split(":")
    return f"0:{int(minutes):02d}:{seconds}"
