"""Doubtful words on the lines of a session: found, accepted, left; what the maker corrects is offered again.

Nothing is changed without the maker's word, and the heard text stays with the
line. What was left stays left when the recording is heard again; what was
learned is a list that the library keeps.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from functools import lru_cache
from weakref import WeakKeyDictionary

from annotate.errors import ChangedElsewhere
from annotate.formats.word_times import retime
from annotate.library import Library
from annotate.listen import doubtful as by_sound
from annotate.listen.doubtful import NEIGHBOURS, Doubt, plain
from annotate.model import LeftWord, Line, Word
from annotate.vocabulary.counted import counted

LEFT_WITHIN_MS = 500  # hearing again may move a word by so much
LEARNED = "words_learned"  # [heard, right]: offered wherever it is heard again
LONGEST_LEARNED = 3  # words; longer corrections are other sentences, not mishearings
SHORTEST_LEARNED = 4  # letters of one heard word: shorter ones (the, is, can) are usually meant
LEARNED_CONFIDENCE = 0.8
_OPENING, _CLOSING = "([{“‘\"'", ".,;:!?…)]}”’\"'"


@dataclass(frozen=True)
class LineDoubt:
    """A doubt with the line it is on."""

    line: Line
    doubt: Doubt


def doubts_of_session(library: Library, session_id: int) -> list[LineDoubt]:
    """What is doubtful in the lines of a session and was not left, in order."""
    left = library.left_words.of_session(session_id)
    found = _all_doubts(library, session_id)
    return [one for one in found if not any(_is_left(one.line, one.doubt, word) for word in left)]


# What was found last, by session: pages ask after every change, and most changes leave the lines as they are.
_found: WeakKeyDictionary[Library, dict[int, tuple[object, list[LineDoubt]]]] = WeakKeyDictionary()


def _all_doubts(library: Library, session_id: int) -> list[LineDoubt]:
    """What is doubtful, left or not; found anew when a line, the reeds or the maker's words have changed."""
    own = (*(reed.name for reed in library.reeds.all()), *library.settings.get().own_words)
    learned = tuple((heard, right) for heard, right in library.settings.kept(LEARNED))
    state = (library.lines.versions(session_id), own, learned)
    kept = _found.setdefault(library, {})
    if session_id not in kept or kept[session_id][0] != state:
        found: list[LineDoubt] = []
        for recording in library.recordings.of_session(session_id):
            lines = library.lines.of_recording(recording.id)
            for number, line in enumerate(lines):
                doubts = _line_doubts(line.text, line.words, _around(lines, number), own, learned)
                found += [LineDoubt(line, one) for one in doubts]
        kept[session_id] = (state, found)
    return kept[session_id][1]


def _is_left(line: Line, doubt: Doubt, left: LeftWord) -> bool:
    """Whether the maker left these words where they stand, in this hearing of the recording or an earlier one."""
    at_ms = _moment(line, doubt.first)
    return (
        left.recording_id == line.recording_id
        and left.start_ms - LEFT_WITHIN_MS <= at_ms < left.end_ms + LEFT_WITHIN_MS
        and plain(left.heard) == plain(doubt.heard)
        and left.proposed == doubt.proposed
    )


def _moment(line: Line, number: int) -> int:
    """When a word of the line begins (after the last: the line's end): by its time, else in proportion to the text."""
    count = len(line.text.split())
    if number >= count:
        return line.end_ms
    if len(line.words) == count:
        return line.words[number].start_ms
    return line.start_ms + (line.end_ms - line.start_ms) * number // max(count, 1)


def _around(lines: Sequence[Line], number: int) -> str:
    near = [*lines[max(number - NEIGHBOURS, 0) : number], *lines[number + 1 :][:NEIGHBOURS]]
    return " ".join(line.text for line in near)


@lru_cache(maxsize=20_000)
def _line_doubts(
    text: str, words: tuple[Word, ...], around: str, own: tuple[str, ...], learned: tuple[tuple[str, str], ...]
) -> tuple[Doubt, ...]:
    """Doubts of one line: what the maker corrected before, then what sounds like the trade's words."""
    mine = _learned_doubts(text.split(), learned)
    taken = {at for one in mine for at in range(one.first, one.last)}
    heard = [one for one in by_sound.doubtful(text, words, around, own) if taken.isdisjoint(range(one.first, one.last))]
    return tuple(sorted([*mine, *heard], key=lambda one: one.first))


def _learned_doubts(shown: Sequence[str], learned: Sequence[tuple[str, str]]) -> list[Doubt]:
    words = [plain(word) for word in shown]
    found: list[Doubt] = []
    for heard, right in reversed(learned):  # what was corrected last is the surest
        size = len(heard.split())
        for at in range(len(words) - size + 1):
            is_free = all(one.last <= at or one.first >= at + size for one in found)
            if is_free and " ".join(words[at : at + size]) == heard:
                said = " ".join(shown[at : at + size]).strip(_OPENING + _CLOSING)
                reason = f"You wrote “{right}” for “{heard}” before."
                found.append(Doubt(at, at + size, said, right, reason, LEARNED_CONFIDENCE))
    return found


def replaced(text: str, doubt: Doubt) -> str:
    """The line with the proposal in its place; punctuation stays, and a capital at its beginning."""
    words = text.split()
    first, last = words[doubt.first], words[doubt.last - 1]
    opening = first[: len(first) - len(first.lstrip(_OPENING))]
    closing = last[len(last.rstrip(_CLOSING)) :]
    said = first.lstrip(_OPENING)
    proposed = doubt.proposed
    if said[:1].isupper() and proposed[:1].islower():
        proposed = proposed[:1].upper() + proposed[1:]
    return " ".join([*words[: doubt.first], opening + proposed + closing, *words[doubt.last :]])


def rewritten(line: Line, text: str) -> Line:
    """A line with other text: what was heard is kept, words that stay keep their times."""
    timed = retime(line.words, text, line.start_ms, line.end_ms)
    return replace(line, text=text, words=timed, heard_text=line.heard_text or line.text)


def accept(library: Library, line_id: int, version: int, doubt: Doubt) -> Line:
    """Put one proposal in place; one step of undo."""
    line = library.lines.get(line_id)
    if line.version != version or " ".join(line.text.split()[doubt.first : doubt.last]).find(doubt.heard) < 0:
        raise ChangedElsewhere(
            "was changed in another window",
            f"line {line_id}",
            "Look at it again before you accept.",
            theirs={"id": line.id, "version": line.version, "text": line.text},
            yours={"id": line.id, "version": version},
        )
    changed = rewritten(line, replaced(line.text, doubt))
    return library.lines.change_all([changed], f"accepted “{doubt.proposed}” for “{doubt.heard}”")[0]


def accept_alike(library: Library, session_id: int, heard: str, proposed: str) -> list[Line]:
    """Put every proposal of the same words in place, over the session; one step of undo."""
    texts: dict[int, tuple[Line, str]] = {}
    doubts = doubts_of_session(library, session_id)
    for one in reversed(doubts):  # from the end of each line, so that the places of the words before hold
        if plain(one.doubt.heard) == plain(heard) and one.doubt.proposed == proposed:
            line, text = texts.get(one.line.id, (one.line, one.line.text))
            texts[one.line.id] = (line, replaced(text, one.doubt))
    changed = [rewritten(line, text) for line, text in texts.values()]
    if not changed:
        return []
    return library.lines.change_all(changed, f"accepted “{proposed}” for “{heard}” on {counted(len(changed), 'line')}")


def leave(library: Library, line_id: int, heard: str, proposed: str) -> None:
    """Leave the words of a line as they are, also when it is heard again; one step of undo."""
    line = library.lines.get(line_id)
    left = [LeftWord(line.recording_id, start, end, heard, proposed) for start, end in _stretches(line, heard)]
    library.left_words.add_all(left, f"left “{heard}” as it is")


def _stretches(line: Line, heard: str) -> list[tuple[int, int]]:
    """When the words are said in the line: each time they are, or the whole line where they cannot be found."""
    words, sought = [plain(word) for word in line.text.split()], [plain(word) for word in heard.split()]
    size = len(sought)
    places = [at for at in range(len(words) - size + 1) if words[at : at + size] == sought]
    found = [(_moment(line, at), _moment(line, at + size)) for at in places]
    return [(start, max(end, start + 1)) for start, end in found] or [(line.start_ms, line.end_ms)]


def offer_again(library: Library, line_id: int, heard: str, proposed: str) -> None:
    """Take back that words of a line were left; one step of undo."""
    line = library.lines.get(line_id)
    with library.journal.edit(f"offered “{proposed}” for “{heard}” again") as edit:
        for one in library.left_words.of_recording(line.recording_id):
            is_here = one.start_ms < line.end_ms and line.start_ms < one.end_ms
            if is_here and plain(one.heard) == plain(heard) and one.proposed == proposed:
                edit.remove(library.left_words.table, one.id)


def learn(library: Library, before: str, after: str) -> list[tuple[str, str]]:
    """Remember what the maker corrected in a line by hand; gives the pairs of heard and right."""
    found = list(corrected(before, after))
    if found:
        turned = [[right, heard] for heard, right in found]  # who changes a word back has changed their mind
        library.settings.keep(LEARNED, drop=turned, add=[list(one) for one in found])
    return found


def corrected(before: str, after: str) -> list[tuple[str, str]]:
    """Pairs of heard and right words, up to three for up to three; dots and capitals alone teach nothing."""
    old, new = before.split(), after.split()
    matcher = SequenceMatcher(None, [plain(word) for word in old], [plain(word) for word in new], autojunk=False)
    found = []
    for kind, old_from, old_to, new_from, new_to in matcher.get_opcodes():
        if kind != "replace" or max(old_to - old_from, new_to - new_from) > LONGEST_LEARNED:
            continue
        heard = " ".join(plain(word) for word in old[old_from:old_to]).strip()
        right = " ".join(new[new_from:new_to]).strip(_OPENING + _CLOSING)
        if heard and right and (" " in heard or len(heard) >= SHORTEST_LEARNED):
            is_name = any(letter.isdigit() for letter in right) or right[1:] != right[1:].lower()
            found.append((heard, right if is_name else right.lower()))
    return found
