"""WebVTT, written and read as the W3C describes it (WebVTT: The Web Video Text Tracks Format, 4 and 6).

Text is escaped on the way out and unescaped on the way in: ``&``, ``<`` and
``>`` are written as entities, so ``-->`` never stands raw inside a cue, and a
browser shows exactly the words of the transcript. Metadata cues hold JSON,
which browsers hand on without unescaping; there ``>`` is written ``\\u003e``.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Iterator

from annotate.errors import BadInput
from annotate.formats.cues import Cue, plain_lines
from annotate.timecode import stamp

_TIMING = re.compile(
    r"^\s*(?:(\d{2,}):)?([0-5]\d):([0-5]\d)\.(\d{3})\s*-->\s*(?:(\d{2,}):)?([0-5]\d):([0-5]\d)\.(\d{3})(?:\s.*)?$"
)
_TAG = re.compile(r"<[^>]*>?")


def write(cues: Iterable[Cue]) -> str:
    """A WebVTT file of these cues in their order; empty and zero-length ones are left out."""
    blocks = ["WEBVTT"]
    for cue in cues:
        text = _escape(cue)
        if text and cue.end_ms > cue.start_ms:
            blocks.append(f"{stamp(cue.start_ms)} --> {stamp(cue.end_ms)}\n{text}")
    return "\n\n".join(blocks) + "\n"


def read(text: str, kind: str = "caption") -> list[Cue]:
    """The cues of a WebVTT file; marks inside the text (bold, voices, classes) are dropped.

    Raises
    ------
    BadInput
        If it does not begin with ``WEBVTT``. A block with a broken time line is passed over, as browsers do.
    """
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").replace("\x00", "\ufffd")
    if not re.match(r"WEBVTT(?:[ \t\n]|$)", text):
        raise BadInput("is not a WebVTT file: it does not begin with WEBVTT", next_step="Check the file.")
    body = text.split("\n", 1)[1] if "\n" in text else ""
    return list(_cues(body, kind))


def _cues(body: str, kind: str) -> Iterator[Cue]:
    for block in re.split(r"\n{2,}", body):
        lines = block.strip("\n").split("\n")
        at = next((number for number, line in enumerate(lines[:2]) if "-->" in line), None)
        if at is None or not (found := _TIMING.match(lines[at])):
            continue
        start_ms, end_ms = _ms(found.groups()[:4]), _ms(found.groups()[4:])
        payload = "\n".join(lines[at + 1 :])
        words = payload if kind == "metadata" else html.unescape(_TAG.sub("", payload))
        if end_ms > start_ms:
            yield Cue(start_ms, end_ms, words, kind)


def _ms(parts: tuple[str | None, ...]) -> int:
    hours, minutes, seconds, thousandths = (int(part or 0) for part in parts)
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths


def _escape(cue: Cue) -> str:
    text = plain_lines(cue.text)
    if cue.kind == "metadata":
        return text.replace(">", "\\u003e")  # in JSON it can only stand inside a string
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
