"""What a pass of the recogniser heard, and which of it can be believed.

Conventions: word times in samples (16 kHz) of the part that is being
recognised; probabilities 0..1; log probabilities are natural, per token.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from annotate.listen.loops import without_loops
from annotate.listen.voiced import RATE_HZ, Piece, Stretch, within
from annotate.model import Word

# Whisper's own rule for "nobody spoke": both must hold.
NO_SPEECH = 0.6
POOR_LOG_PROBABILITY = -1.0
# A stretch whose words are all this unlikely was not speech.
POOR_WORDS = 0.2
# What Whisper writes over noise, alone in a stretch (public reports; see also NO_SPEECH).
PHANTOMS = frozenset({"you", "thank you", "thanks for watching", "thank you for watching", "bye", "oh", "mm", "hmm"})
PHANTOM_NO_SPEECH = 0.2
PHANTOM_PROBABILITY = 0.6
# Speech this long without a word beginning was lost by the batch.
LOST_MS = 3_000


@dataclass(frozen=True)
class Heard:
    """A raw word of a piece in samples of the part, before its times are put right."""

    start: int
    end: int
    text: str
    has_blank: bool
    probability: float


@dataclass(frozen=True)
class Pass:
    """What a pass over a piece gave, with the recogniser's own judgement of it."""

    piece: Piece
    words: tuple[Heard, ...] = ()
    no_speech: float = 0.0
    log_probability: float = 0.0


def heard_word(word: Any, piece: Piece, offset: int) -> Heard:
    """A word of the library (seconds from the first piece's start) in samples of the part."""
    start = round(word.start * RATE_HZ) - offset
    end = max(round(word.end * RATE_HZ) - offset, start)
    joint = piece.joint((start + end) // 2)
    shift = joint.source - joint.at
    low, high = joint.source, joint.source + joint.length
    return Heard(
        min(max(start + shift, low), high),
        min(max(end + shift, low), high),
        word.word.strip(),
        word.word.startswith(" "),
        float(word.probability),
    )


def _ms(sample: int) -> int:
    return (sample * 1000 + RATE_HZ // 2) // RATE_HZ


def as_word(heard: Heard) -> Word:
    return Word(_ms(heard.start), _ms(heard.end), heard.text, round(min(max(heard.probability, 0.0), 1.0), 3))


def unlooped(heard: Sequence[Heard]) -> tuple[list[Heard], bool]:
    words = [as_word(one) for one in heard]
    kept, found = without_loops(words)
    if not found:
        return list(heard), False
    chosen = {id(word) for word in kept}
    return [one for one, word in zip(heard, words, strict=True) if id(word) in chosen], True


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
    """Stretches of speech in which no word begins for three seconds: lost by the pass."""
    for joint in piece.joints:
        for start, end in within(stretches, [(joint.source, joint.source + joint.length)]):
            starts = sorted(word.start for word in words if start <= word.start < end)
            yield from (
                edges for edges in pairwise([start, *starts, end]) if edges[1] - edges[0] >= LOST_MS * RATE_HZ // 1000
            )
