"""A transcript of one recording in the three forms that come in and go out: text with times, WebVTT, SubRip."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from annotate.errors import BadInput
from annotate.formats import captions, subrip, timed_text, webvtt
from annotate.formats.cues import Cue
from annotate.model import Line

Form = Literal["text", "vtt", "srt"]
FORMS: tuple[Form, ...] = ("text", "vtt", "srt")


def decoded(data: bytes) -> str:
    """The text of a transcript file: UTF-8, UTF-16 with its mark, else the Western code page of older SubRip files."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace")
    if b"\x00" in data:
        raise BadInput("is not a text file", next_step="Choose a WebVTT, SubRip or text file.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def read(text: str, duration_ms: int | None = None) -> list[Cue]:
    """The cues of a transcript in whichever of the three forms it is, in order of time.

    Raises
    ------
    BadInput
        If it is none of them, or holds no line.
    BadTime
        If the times of a text run backwards.
    """
    bare = text.removeprefix("\ufeff").lstrip()
    is_web = bare.startswith("WEBVTT")
    cues = webvtt.read(bare) if is_web else subrip.read(bare) or timed_text.read(bare, duration_ms)
    if not cues:
        raise BadInput("No line with a time was found in the transcript", next_step="Check the file.")
    return sorted(cues, key=lambda cue: (cue.start_ms, cue.end_ms))


def write(form: Form, lines: Sequence[Line], duration_ms: int) -> str:
    """The lines of a recording; captions are cut for reading, text keeps a line for each line."""
    if form == "text":
        return timed_text.write([Cue(line.start_ms, line.end_ms, line.text) for line in lines])
    cues = captions.cut(lines, duration_ms)
    return webvtt.write(cues) if form == "vtt" else subrip.write(cues)
