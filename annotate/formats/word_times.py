"""Gives every word of a line a time, also after the maker has corrected the text.

Old and new words are aligned; a word that stayed keeps its time, whatever its
capitals and punctuation do. New words take the time of those they replace,
shared by their length; words put in between take the pause there, or a share
of the word before. Words are split at blanks; for captions, scripts written
without blanks are also split where a character is wide. Times are integer ms,
half-open.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher

from annotate.model import Line, Word

# A pause takes words put into it only if it gives each this much time; it gives each at most so many times that.
ROOM_MS_PER_WORD = 120
MOST_ROOM = 4


@dataclass(frozen=True)
class Piece:
    """A word as it is shown: ``glued`` if no blank stands before it."""

    start_ms: int
    end_ms: int
    text: str
    glued: bool = False


def width(text: str) -> int:
    """Columns the text takes: wide East Asian characters and emoji two, marks on letters none (UAX 11)."""
    return sum(_columns(character) for character in text)


def _columns(character: str) -> int:
    if unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def pieces(line: Line) -> list[Piece]:
    """The line's words with times, in order, never running backwards, inside the line's own range."""
    shown = list(_split(line.text))
    heard = [part for word in line.words for part in _parts(word)]
    found: list[Piece] = []
    now_ms = line.start_ms
    timed = _aligned(heard, [text for text, _ in shown], line.start_ms, line.end_ms) if shown else []
    for word, (text, glued) in zip(timed, shown, strict=True):
        start_ms = min(max(word.start_ms, now_ms), line.end_ms)
        now_ms = min(max(word.end_ms, start_ms), line.end_ms)
        found.append(Piece(start_ms, now_ms, text, glued))
    return found


def _parts(word: Word) -> list[Word]:
    """A heard word cut as it would be shown, into parts of equal length."""
    texts = [text for text, _ in _split(word.text)]
    edges = [word.start_ms + (word.end_ms - word.start_ms) * n // max(1, len(texts)) for n in range(len(texts) + 1)]
    return [Word(edges[n], edges[n + 1], text) for n, text in enumerate(texts)]


def _split(text: str) -> Iterator[tuple[str, bool]]:
    """Words, and whether each follows the one before without a blank."""
    for word in text.split():
        glued = False
        for part in _narrow_runs(word):
            yield part, glued
            glued = True


def _narrow_runs(word: str) -> list[str]:
    """A word cut where wide letters allow a line to break; punctuation and marks stay with what they follow."""
    parts: list[str] = []
    for character in word:
        is_letter = unicodedata.category(character)[0] in "LN"
        breaks = is_letter and (width(character) == 2 or (parts and _ends_wide(parts[-1])))
        if parts and not breaks:
            parts[-1] += character
        else:
            parts.append(character)
    return parts


def _ends_wide(part: str) -> bool:
    letters = [one for one in part if unicodedata.category(one)[0] in "LN"]
    return bool(letters) and width(letters[-1]) == 2


def plain(text: str) -> str:
    """A word without capitals and punctuation, for comparing; the word itself if nothing else is left."""
    return "".join(letter for letter in text.casefold() if letter.isalnum()) or text


def retime(words: Sequence[Word], new_text: str, start_ms: int, end_ms: int) -> tuple[Word, ...]:
    """The words of ``new_text`` with times inside ``[start_ms, end_ms)``, as far as they fit taken from ``words``.

    Words that stayed keep their probability; what the maker wrote has 1.0.
    """
    fresh = new_text.split()
    if not fresh or end_ms <= start_ms:
        return ()
    old = [word for word in words if start_ms <= word.start_ms < end_ms]
    return tuple(_fit(_aligned(old, fresh, start_ms, end_ms), start_ms, end_ms))


def _aligned(old: Sequence[Word], fresh: Sequence[str], start_ms: int, end_ms: int) -> list[Word]:
    """A word for each of the ``fresh`` texts; their times may still overlap or stick out."""
    if not old:
        return _shared(fresh, start_ms, end_ms)
    matcher = SequenceMatcher(None, [plain(word.text) for word in old], [plain(text) for text in fresh], False)
    out: list[Word] = []
    for kind, old_from, old_to, new_from, new_to in matcher.get_opcodes():
        texts = fresh[new_from:new_to]
        if kind == "equal":
            out += [replace(word, text=text) for word, text in zip(old[old_from:old_to], texts, strict=True)]
        elif kind == "replace":
            out += _replaced(old[old_from:old_to], texts)
        elif kind == "insert":
            before = out.pop() if out else None
            after = old[old_from] if old_from < len(old) else None
            out += _put_in(before, texts, after, start_ms, end_ms)
    return out


def _shared(texts: Sequence[str], start_ms: int, end_ms: int) -> list[Word]:
    """The stretch shared among words by their number of letters."""
    weights = [max(len(plain(text)), 1) for text in texts]
    edges = [start_ms + (end_ms - start_ms) * sum(weights[:n]) // sum(weights) for n in range(len(texts) + 1)]
    return [Word(edges[n], edges[n + 1], text) for n, text in enumerate(texts)]


def _replaced(old: Sequence[Word], texts: Sequence[str]) -> list[Word]:
    if len(old) == len(texts):
        return [Word(word.start_ms, word.end_ms, text) for word, text in zip(old, texts, strict=True)]
    return _shared(texts, old[0].start_ms, old[-1].end_ms)


def _put_in(before: Word | None, texts: Sequence[str], after: Word | None, start_ms: int, end_ms: int) -> list[Word]:
    """Words put between two others, with the one before them, whose time may shrink."""
    low = before.end_ms if before else start_ms
    high = after.start_ms if after else end_ms
    kept = [before] if before else []
    if high - low >= ROOM_MS_PER_WORD * len(texts):
        return kept + _shared(texts, low, min(high, low + MOST_ROOM * ROOM_MS_PER_WORD * len(texts)))
    if before is None:
        # No room before the first word: a share of that word, which _fit then moves up.
        return _shared(texts, low, max(low + ROOM_MS_PER_WORD * len(texts), high))
    shared = _shared([before.text, *texts], before.start_ms, max(high, before.end_ms))
    return [replace(shared[0], probability=before.probability), *shared[1:]]


def _fit(words: Sequence[Word], start_ms: int, end_ms: int) -> list[Word]:
    """In order, inside, none empty: with less than a millisecond each the last ones are dropped."""
    out: list[Word] = []
    at = start_ms
    fitting = words[: end_ms - start_ms]
    for word in fitting:
        left = len(fitting) - len(out) - 1
        start = min(max(word.start_ms, at), end_ms - left - 1)
        end = min(max(word.end_ms, start + 1), end_ms - left)
        out.append(replace(word, start_ms=start, end_ms=end))
        at = end
    return out
