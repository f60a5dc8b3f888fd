"""What a pass of the recogniser heard, and which of it can be believed.

Conventions: word times in samples (16 kHz) of the part that is being
recognised; probabilities 0..1; log probabilities are natural, per token.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from annotate.listen.loops import squeezed_out
from annotate.listen.voiced import RATE_HZ, ROOM_MS, Piece, Stretch, within
from annotate.listen.word_times import levels_db, moved_to_sound
from annotate.model import Instead, Word

# Whisper's own rule for "nobody spoke": both must hold.
NO_SPEECH = 0.6
POOR_LOG_PROBABILITY = -1.0
# A stretch whose words are all this unlikely was not speech.
POOR_WORDS = 0.2
# What Whisper writes over noise, alone in a stretch (public reports; see also NO_SPEECH).
PHANTOMS = frozenset({"you", "thank you", "thanks for watching", "thank you for watching", "bye", "oh", "mm", "hmm"})
PHANTOM_NO_SPEECH = 0.2
PHANTOM_PROBABILITY = 0.6
# Speech this long without a word beginning was lost by the batch: in speech without a pause
# words begin two to four times a second (common knowledge, from memory).
LOST_MS = 2_000
NOTHING: Mapping[int, tuple[Instead, ...]] = {}
# Parts of one word are not further apart than this.
APART_MS = 500


@dataclass(frozen=True)
class Heard:
    """A raw word of a piece in samples of the part, before its times are put right."""

    start: int
    end: int
    text: str
    has_blank: bool
    probability: float
    instead: tuple[Instead, ...] = ()


@dataclass(frozen=True)
class Pass:
    """What a pass over a piece gave, with the recogniser's own judgement of it."""

    piece: Piece
    words: tuple[Heard, ...] = ()
    no_speech: float = 0.0
    log_probability: float = 0.0


def placed(
    words: Sequence[Any], piece: Piece, offset: int = 0, instead: Mapping[int, tuple[Instead, ...]] = NOTHING
) -> tuple[Heard, ...]:
    """The library's words (seconds, of which the piece begins at sample ``offset``) in samples of the part.

    First each word is cut to where it sounds: one that begins in the pause
    before it would else be put to the wrong side of a joint. ``instead`` goes by the number of the word.
    """
    raw = [replace(_raw(word, offset), instead=instead.get(at, ())) for at, word in enumerate(words)]
    moved = moved_to_sound(raw, levels_db(piece.samples))
    return tuple(
        _to_part(word, piece, str(one.word).startswith(" "))
        for word, one in zip(moved, words, strict=True)
        if not _is_punctuation(word.text)
    )


def _is_punctuation(text: str) -> bool:
    return all(unicodedata.category(letter).startswith("P") for letter in text)


def _raw(word: Any, offset: int) -> Word:
    start = max(_ms(round(word.start * RATE_HZ) - offset), 0)
    end = max(_ms(round(word.end * RATE_HZ) - offset), start)
    return Word(start, end, word.word.strip(), round(min(max(float(word.probability), 0.0), 1.0), 3))


def _to_part(word: Word, piece: Piece, has_blank: bool) -> Heard:
    start, end = word.start_ms * RATE_HZ // 1000, word.end_ms * RATE_HZ // 1000
    joint = piece.joint((start + end) // 2)
    shift = joint.source - joint.at
    low, high = joint.source, joint.source + joint.length
    return Heard(
        min(max(start + shift, low), high),
        min(max(end + shift, low), high),
        word.text,
        has_blank,
        word.probability,
        word.instead,
    )


def _ms(sample: int) -> int:
    return (sample * 1000 + RATE_HZ // 2) // RATE_HZ


def as_word(heard: Heard) -> Word:
    """A word with its times in ms of the part."""
    return Word(_ms(heard.start), _ms(heard.end), heard.text, heard.probability, heard.instead)


def joined(heard: Sequence[Heard]) -> list[Heard]:
    """Each word that no blank stands before as a part of the one it follows at once."""
    out: list[Heard] = []
    for one in heard:
        if out and not one.has_blank and one.start - out[-1].end < RATE_HZ * APART_MS // 1000:
            last = out.pop()
            likely = min(last.probability, one.probability)
            one = Heard(last.start, one.end, last.text + one.text, last.has_blank, likely, last.instead)
        out.append(one)
    return out


def unlooped(heard: Sequence[Heard]) -> list[Heard]:
    """The words without the copies that take no time."""
    words = [as_word(one) for one in heard]
    chosen = {id(word) for word in squeezed_out(words)}
    return [one for one, word in zip(heard, words, strict=True) if id(word) in chosen]


def by_joint(words: Sequence[Heard], piece: Piece) -> list[list[Heard]]:
    return [
        [word for word in words if joint.source <= (word.start + word.end) // 2 < joint.source + joint.length]
        for joint in piece.joints
    ]


def is_spoken(words: Sequence[Heard], done: Pass) -> bool:
    """Whether the words of one stretch were said, and not made up over noise."""
    if not words:
        return False
    likely = sum(word.probability for word in words) / len(words)
    text = " ".join("".join(letter for letter in word.text.lower() if letter.isalpha()) for word in words)
    if text in PHANTOMS:
        return done.no_speech < PHANTOM_NO_SPEECH and likely >= PHANTOM_PROBABILITY
    return likely >= POOR_WORDS


def uncovered(stretches: Sequence[Stretch], piece: Piece, words: Sequence[Heard]) -> Iterator[Stretch]:
    """Stretches of speech in which for two seconds no word begins: a pass lost something there."""
    room, lost = RATE_HZ * ROOM_MS // 1000, RATE_HZ * LOST_MS // 1000
    for joint in piece.joints:
        for start, end in within(stretches, [(joint.source, joint.source + joint.length)]):
            starts = sorted(word.start for word in words if start <= word.start < end)
            edges = [start + room, *starts, end - room]
            if max(after - before for before, after in pairwise(edges)) >= lost:
                yield start, end
