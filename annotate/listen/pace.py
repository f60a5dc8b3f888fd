"""Progress through a step that says nothing until it is over: estimated from how long such steps took before.

A batch of the recogniser is one call of half a minute. While it runs, time
passing is shown as progress: evenly up to nine tenths at the moment when it
should be over, then ever slower, so that it never claims to be done.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

TICK_S = 0.5
ON_TIME_SHARE = 0.9  # of the way, when the step has taken as long as the ones before


def share(elapsed_s: float, expected_s: float) -> float:
    """How far a step seems to be, 0..1 and never 1: ``0.9 x`` for ``x = elapsed / expected`` up to 1, then on to 1."""
    passed = elapsed_s / max(expected_s, 1e-3)
    return ON_TIME_SHARE * passed if passed < 1 else 1 - (1 - ON_TIME_SHARE) / passed


class Pace:
    """Tells progress while steps run, and learns from each how long the next will take.

    Parameters
    ----------
    tell
        Told 0..1, from a thread of its own while a step runs.
    cost
        Seconds that one unit of amount takes, until a step has shown it.
    """

    def __init__(self, tell: Callable[[float], None], cost: float, tick_s: float = TICK_S) -> None:
        self._tell, self._cost, self._tick_s = tell, cost, tick_s

    @contextmanager
    def step(self, start: float, end: float, amount: float) -> Iterator[None]:
        """A step from ``start`` to ``end`` of the whole, of so many units of work."""
        over = threading.Event()
        begun = time.monotonic()
        expected_s = self._cost * amount

        def tick() -> None:
            while not over.wait(self._tick_s):
                self._tell(start + (end - start) * share(time.monotonic() - begun, expected_s))

        ticking = threading.Thread(target=tick, daemon=True)
        ticking.start()
        try:
            yield
        finally:
            over.set()
            ticking.join()
        if amount > 0:
            self._cost = (time.monotonic() - begun) / amount
