"""Cuts words into captions: short, readable, in order, timed from the words themselves.

At most two lines of 42 columns (wide characters count two), no longer than 7 s,
not shorter than 0.8 s, and at most 20 characters a second wherever the pause
after the words leaves room. The cut with the least harm is found over all
words at once (dynamic programming): captions end with sentences rather than
inside them, and none holds a word or two alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from annotate.formats.cues import GAP_MS, Cue
from annotate.formats.word_times import Piece, pieces, width
from annotate.model import Line

# What one more caption costs, and what harm weighs against it. Only their order of size matters:
# too short or too fast is worse than a cut inside a sentence, which is worse than one more caption.
_ONE_MORE = 10.0
_SHORT = 60.0
_STRAY = 10.0
_FEW_WORDS = 3
_LINE_INSIDE = 6.0
_PER_EXTRA_CHARACTER = 3.0
_CUT = {"sentence": 0.0, "clause": 4.0, "word": 15.0}
_SENTENCE_ENDS = (".", "!", "?", "…", "。", "！", "？", "؟", "।")
_CLAUSE_ENDS = (",", ";", ":", "–", "—", "、", "，", "；", "،")
_CLOSERS = "\"'”’»)]」』"


@dataclass(frozen=True)
class Limits:
    """What a caption may be at most and at least."""

    columns: int = 42
    lines: int = 2
    characters_per_s: int = 20
    shortest_ms: int = 800
    longest_ms: int = 7000
    pause_ms: int = 1500


@dataclass(frozen=True)
class _Atom:
    """A word that fits on one line, with what follows it."""

    piece: Piece
    columns: int
    ends: str
    ends_line: bool
    is_note: bool = False


def cut(lines: Iterable[Line], duration_ms: int | None = None, limits: Limits | None = None) -> list[Cue]:
    """Captions for the lines of one recording or lesson.

    Parameters
    ----------
    lines : iterable of Line
        In any order; words without times share their line's.
    duration_ms : int, optional
        Nothing is shown after this.
    limits : Limits, optional
        Sizes; see there.

    Returns
    -------
    list of Cue
        In order, no two overlapping, none empty.
    """
    limits = limits or Limits()
    atoms = [atom for line in sorted(lines, key=lambda one: one.start_ms) for atom in _atoms(line, limits)]
    if not atoms:
        return []
    ranges = _best_cut(atoms, limits)
    cues = [_cue(atoms[start:end], limits) for start, end in ranges]
    return _spread(cues, duration_ms, limits)


def _atoms(line: Line, limits: Limits) -> list[_Atom]:
    found: list[_Atom] = []
    # What stands in brackets is not said: it gets captions of its own (common subtitling practice, no source).
    is_note = line.text.startswith("[") and line.text.endswith("]")
    words = [part for piece in pieces(line) for part in _fitting(piece, limits.columns)]
    for number, piece in enumerate(words):
        bare = piece.text.rstrip(_CLOSERS)
        last = number + 1 == len(words)
        ends = "sentence" if last or bare.endswith(_SENTENCE_ENDS) else "word"
        if ends == "word" and bare.endswith(_CLAUSE_ENDS):
            ends = "clause"
        found.append(_Atom(piece, width(piece.text), ends, last, is_note))
    return found


def _fitting(piece: Piece, columns: int) -> list[Piece]:
    """A word too long for a line (an address, say) in parts that fit."""
    if width(piece.text) <= columns:
        return [piece]
    parts, now = [], ""
    for character in piece.text:
        if width(now + character) > columns:
            parts.append(now)
            now = ""
        now += character
    parts.append(now)
    span, total, done = piece.end_ms - piece.start_ms, len(piece.text), 0
    made: list[Piece] = []
    for part in parts:
        start_ms = piece.start_ms + span * done // total
        done += len(part)
        made.append(Piece(start_ms, piece.start_ms + span * done // total, part, piece.glued or bool(made)))
    return made


def _best_cut(atoms: Sequence[_Atom], limits: Limits) -> list[tuple[int, int]]:
    """The ranges ``[start, end)`` of atoms that make the captions of least harm."""
    count = len(atoms)
    best: list[float] = [0.0] + [float("inf")] * count
    back = [0] * (count + 1)
    for start in range(count):
        for end in range(start + 1, count + 1):
            if not _may_hold(atoms, start, end, limits):
                break
            harm = best[start] + _harm(atoms, start, end, limits)
            if harm < best[end]:
                best[end], back[end] = harm, start
    ranges, end = [], count
    while end:
        ranges.append((back[end], end))
        end = back[end]
    return ranges[::-1]


def _may_hold(atoms: Sequence[_Atom], start: int, end: int, limits: Limits) -> bool:
    """Whether these words can be one caption; one word always can."""
    if end - start == 1:
        return True
    if atoms[end - 2].ends_line and (atoms[end - 2].is_note or atoms[end - 1].is_note):
        return False
    one, last = atoms[end - 2].piece, atoms[end - 1].piece
    if last.start_ms - one.end_ms > limits.pause_ms or last.end_ms - atoms[start].piece.start_ms > limits.longest_ms:
        return False
    return _line_breaks(atoms[start:end], limits) is not None


def _line_breaks(atoms: Sequence[_Atom], limits: Limits) -> int | None:
    """Where the second line begins (0: one line is enough) so that the two are most alike; None if they do not fit."""
    sizes = [atom.columns + (0 if number == 0 or atom.piece.glued else 1) for number, atom in enumerate(atoms)]
    sums = list(accumulate(sizes))
    if sums[-1] <= limits.columns:
        return 0
    if limits.lines < 2:
        return None
    fits: list[tuple[float, int]] = []
    for at in range(1, len(atoms)):
        upper = sums[at - 1]
        lower = sums[-1] - upper - (0 if atoms[at].piece.glued else 1)
        if max(upper, lower) <= limits.columns:
            # A line that ends with a clause reads better than one of equal length.
            fits.append((abs(upper - lower) - {"sentence": 12, "clause": 8, "word": 0}[atoms[at - 1].ends], at))
    return min(fits)[1] if fits else None


def _harm(atoms: Sequence[_Atom], start: int, end: int, limits: Limits) -> float:
    first, last = atoms[start].piece, atoms[end - 1].piece
    room_ms = (atoms[end].piece.start_ms if end < len(atoms) else last.end_ms + 2000) - first.start_ms
    characters = sum(len(atom.piece.text) + 1 for atom in atoms[start:end]) - 1
    harm = _ONE_MORE + _CUT[atoms[end - 1].ends]
    harm += _SHORT * max(0, limits.shortest_ms - room_ms) / limits.shortest_ms
    ends = [atom.ends for atom in atoms[start:end]]
    if ends[-1] == "word" and "sentence" in ends[-_FEW_WORDS:]:  # a sentence's first words left behind
        harm += _STRAY
    over = characters - limits.characters_per_s * max(room_ms, limits.shortest_ms) / 1000
    inner = sum(atom.ends_line for atom in atoms[start : end - 1])
    return harm + max(0.0, over) * _PER_EXTRA_CHARACTER + _LINE_INSIDE * inner


def _cue(atoms: Sequence[_Atom], limits: Limits) -> Cue:
    at = _line_breaks(atoms, limits) or 0
    text = ""
    for number, atom in enumerate(atoms):
        glue = "" if number == 0 or atom.piece.glued else " "
        text += ("\n" if at and number == at else glue) + atom.piece.text
    return Cue(atoms[0].piece.start_ms, max(atom.piece.end_ms for atom in atoms), text)


def _spread(cues: Sequence[Cue], duration_ms: int | None, limits: Limits) -> list[Cue]:
    """Hold each caption long enough to be read, without touching its neighbour; at most the last ones move."""
    shortest_ms = limits.shortest_ms
    if duration_ms is not None:  # more captions than the time holds: all become shorter
        shortest_ms = min(shortest_ms, max(1, duration_ms // len(cues) - GAP_MS))
    placed: list[Cue] = []
    free_ms = 0
    for number, cue in enumerate(cues):
        start_ms = max(cue.start_ms, free_ms)
        next_ms = cues[number + 1].start_ms if number + 1 < len(cues) else duration_ms
        reading_ms = -(-len(cue.text.replace("\n", " ")) * 1000 // limits.characters_per_s)
        end_ms = max(cue.end_ms, start_ms + reading_ms, start_ms + shortest_ms)
        if next_ms is not None:
            end_ms = min(end_ms, next_ms - (GAP_MS if number + 1 < len(cues) else 0))
        end_ms = max(end_ms, start_ms + shortest_ms)
        placed.append(replace(cue, start_ms=start_ms, end_ms=end_ms))
        free_ms = end_ms + GAP_MS
    return _pull_back(placed, duration_ms, shortest_ms)


def _pull_back(cues: Sequence[Cue], duration_ms: int | None, shortest_ms: int) -> list[Cue]:
    """Move what runs past the end to before it, and earlier ones out of the way."""
    if duration_ms is None:
        return list(cues)
    placed, limit_ms = [], duration_ms
    for cue in reversed(cues):
        end_ms = min(cue.end_ms, limit_ms)
        start_ms = max(0, min(cue.start_ms, end_ms - shortest_ms))
        placed.append(replace(cue, start_ms=start_ms, end_ms=max(end_ms, start_ms + 1)))
        limit_ms = start_ms - GAP_MS
    return placed[::-1]
