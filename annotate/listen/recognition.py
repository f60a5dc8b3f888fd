"""What is asked of a recognition and what it gives. Times are integer ms on the recording's clock."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from annotate.errors import Cancelled
from annotate.listen.line_cut import Utterance

BATCH = 8
# On 5 minutes of narration 2 beams have as few wrong words as 5 (10.1 % and 10.4 %) in a tenth less time.
BEAMS = 2
SURE_OF_LANGUAGE = 0.5


@dataclass(frozen=True)
class Wishes:
    """How to recognise: ``language`` None is detected; ``hints`` are words to expect, the weightiest first.

    ``spans`` are the (start_ms, end_ms) in which speech may be, on the
    recording's clock, where the sounds are known already; None is anywhere.
    """

    language: str | None = None
    hints: tuple[str, ...] = ()
    spans: tuple[tuple[int, int], ...] | None = None
    beams: int = BEAMS
    batch: int = BATCH


@dataclass(frozen=True)
class Part:
    """What is done up to ``end_ms``: a run may go on from there. ``language`` is '' until someone has spoken."""

    start_ms: int
    end_ms: int
    utterances: tuple[Utterance, ...]
    language: str = ""
    language_score: float = 0.0


@dataclass(frozen=True)
class Recognition:
    """All lines of a sound, its language and how sure that is, and which hints fitted."""

    utterances: tuple[Utterance, ...]
    language: str
    language_score: float
    hints_used: tuple[str, ...] = ()
    hints_left: tuple[str, ...] = ()

    @property
    def is_language_sure(self) -> bool:
        return self.language_score >= SURE_OF_LANGUAGE


def _nothing(_: float) -> None:
    return None


def _never() -> bool:
    return False


@dataclass(frozen=True)
class Watch:
    """Who looks on: ``progress`` hears 0..1, ``cancelled`` may ask to stop."""

    progress: Callable[[float], None] = _nothing
    cancelled: Callable[[], bool] = _never

    def check(self) -> None:
        if self.cancelled():
            raise Cancelled(
                "the recognition was stopped", next_step="What was finished is kept; start it again to go on."
            )
