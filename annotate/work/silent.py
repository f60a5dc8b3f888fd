"""Tells work whose process died from work that slept with the machine.

A computer that wakes finds every running job silent for as long as it slept.
Only what stays silent while somebody is awake and listening has died: the time
between two looks counts as no more than a moment, whatever the clock says.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from annotate.library.jobs import Jobs

LISTEN_S = 8.0  # awake and without a beat; a living process beats every 3 s
MOMENT_S = 1.0  # the most that counts between two looks


class Silent:
    """Looks for running jobs that are silent; shared by the lanes of an engine."""

    def __init__(self, jobs: Jobs, clock: Callable[[], float] = time.monotonic) -> None:
        self._jobs, self._clock, self._lock = jobs, clock, threading.Lock()
        self._last_s = clock()
        self._silent: dict[int, tuple[float, float]] = {}  # job: its last beat, how long it was listened for since

    def take_up(self) -> None:
        """Put back the work whose process has died."""
        with self._lock:
            now_s = self._clock()
            moment_s, self._last_s = min(now_s - self._last_s, MOMENT_S), now_s
            before, self._silent = self._silent, {}
            for job_id, beat in self._jobs.silent().items():
                last, listened_s = before.get(job_id, (None, 0.0))
                self._silent[job_id] = (beat, listened_s + moment_s if last == beat else 0.0)
            dead = [job_id for job_id, (_, listened_s) in self._silent.items() if listened_s >= LISTEN_S]
            if dead:
                self._jobs.take_up_lost(dead)
