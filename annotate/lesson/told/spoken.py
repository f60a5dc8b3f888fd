"""What of a line is said inside a clip: the words that are mostly in it, and their part of the text. No I/O."""

from __future__ import annotations

from collections.abc import Sequence

from annotate.model import Clip, Line, Word


def words_inside(line: Line, clip: Clip) -> list[Word]:
    """The words of a line whose middle lies in the clip; a line without words counts as one."""
    return [word for word in _words(line) if clip.start_ms <= (word.start_ms + word.end_ms) // 2 < clip.end_ms]


def text_inside(line: Line, clip: Clip) -> str:
    """The line's text from the first word inside the clip to the last, as written; "" when none is."""
    words, kept = _words(line), words_inside(line, clip)
    if len(kept) == len(words):
        return line.text
    return _stretch(line.text, words, kept) if kept else ""


def _words(line: Line) -> Sequence[Word]:
    return line.words or (Word(line.start_ms, line.end_ms, line.text),)


def _stretch(text: str, words: Sequence[Word], kept: Sequence[Word]) -> str:
    spans, at = [], 0
    for word in words:
        start = text.find(word.text, at)
        if start < 0:  # the text was edited: its words are not these any more
            return " ".join(word.text for word in kept)
        at = start + len(word.text)
        spans.append((start, at))
    first, last = words.index(kept[0]), words.index(kept[-1])
    return text[spans[first][0] : spans[last][1]]
