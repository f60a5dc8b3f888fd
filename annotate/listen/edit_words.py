"""Word times after the maker changed a line's text.

Old and new words are aligned; a word that stayed keeps its time, whatever its
capitals and punctuation do. New words take the time of those they replace,
shared by their length; words put in between take the pause there, or a share
of the word before. Times are integer ms, half-open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from difflib import SequenceMatcher

from annotate.model import Word

# A pause takes words put into it only if it gives each this much time.
ROOM_MS_PER_WORD = 120


def plain(text: str) -> str:
    """A word without capitals and punctuation, for comparing; the word itself if nothing else is left."""
    return "".join(letter for letter in text.casefold() if letter.isalnum()) or text


def retime(words: Sequence[Word], new_text: str, start_ms: int, end_ms: int) -> tuple[Word, ...]:
    """The words of ``new_text`` with times inside ``[start_ms, end_ms)``, as far as they fit taken from ``words``.

    Words that stayed keep their probability; what the maker wrote has 1.0.
    """
    fresh = new_text.split()
    old = [word for word in words if start_ms <= word.start_ms < end_ms]
    if not fresh or end_ms <= start_ms:
        return ()
    if not old:
        return tuple(_fit(_shared(fresh, start_ms, end_ms), start_ms, end_ms))
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
    return tuple(_fit(out, start_ms, end_ms))


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
        return kept + _shared(texts, low, min(high, low + 4 * ROOM_MS_PER_WORD * len(texts)))
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
