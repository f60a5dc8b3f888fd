"""Words become lines: one sentence each where it can be, never longer than a person reads at a glance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from annotate.model import Word

# A pause this long ends a line whatever the sentence does.
PAUSE_MS = 900
# A full stop followed by less than this may be an abbreviation or a letter ("B. fourteen").
STOP_PAUSE_MS = 250
LONGEST_MS = 12_000
LONGEST_CHARACTERS = 140
SENTENCE_ENDS = (".", "?", "!", "…", "。", "？", "！")
NOT_AN_END = frozenset({"mr.", "mrs.", "ms.", "dr.", "st.", "no.", "vs.", "approx.", "etc.", "e.g.", "i.e."})


@dataclass(frozen=True)
class Utterance:
    """A line as heard: half-open time in ms on the recording's clock, its text and its words."""

    start_ms: int
    end_ms: int
    text: str
    words: tuple[Word, ...]


@dataclass(frozen=True)
class Spelled:
    """A word and whether a blank stands before it (some languages write none)."""

    word: Word
    has_blank: bool = True


def cut_lines(spelled: Sequence[Spelled]) -> list[Utterance]:
    """Lines from words in order: cut at sentence ends and pauses; over-long ones at their widest pause."""
    lines: list[Utterance] = []
    held: list[Spelled] = []
    for number, one in enumerate(spelled):
        held.append(one)
        after = spelled[number + 1].word.start_ms if number + 1 < len(spelled) else None
        if after is None or _ends(held[-1].word, after - one.word.end_ms):
            lines.extend(_line(part) for part in _short_enough(held))
            held = []
    return lines


def _ends(word: Word, pause_ms: int) -> bool:
    if pause_ms >= PAUSE_MS:
        return True
    text = word.text.rstrip("\"'”’)")
    if not text.endswith(SENTENCE_ENDS):
        return False
    letter_alone = len(text) == 2 and text[0].isalpha()
    return not (letter_alone or text.lower() in NOT_AN_END) or pause_ms >= STOP_PAUSE_MS


def _text(spelled: Sequence[Spelled]) -> str:
    return "".join((" " if one.has_blank else "") + one.word.text for one in spelled).strip()


def _short_enough(spelled: list[Spelled]) -> list[list[Spelled]]:
    length_ms = spelled[-1].word.end_ms - spelled[0].word.start_ms
    if len(spelled) < 4 or (length_ms <= LONGEST_MS and len(_text(spelled)) <= LONGEST_CHARACTERS):
        return [spelled]
    at = max(range(1, len(spelled)), key=lambda number: _worth(spelled, number))
    return _short_enough(spelled[:at]) + _short_enough(spelled[at:])


def _worth(spelled: Sequence[Spelled], number: int) -> float:
    """How good a place before word ``number`` is for a cut: a pause, a comma, and near the middle."""
    pause_ms = spelled[number].word.start_ms - spelled[number - 1].word.end_ms
    comma = 300 if spelled[number - 1].word.text.endswith((",", ";", ":", "-", "–")) else 0
    middle = 1 - abs(2 * number / len(spelled) - 1)
    return (pause_ms + comma + 100) * (0.3 + middle)


def _line(spelled: Sequence[Spelled]) -> Utterance:
    words = tuple(one.word for one in spelled)
    return Utterance(words[0].start_ms, words[-1].end_ms, _text(spelled), words)
