"""How loud a sound is, and what brings it to the loudness of the others (EBU R 128).

The measuring is libavfilter's ``ebur128`` (ITU-R BS.1770 gating): nothing is
invented here. Blocks of sound are float32 (samples, 2) at 48 kHz, full scale 1.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import av
import numpy as np
from av.audio.frame import AudioFrame
from av.filter import Graph
from numpy.typing import NDArray

from annotate.errors import Cancelled
from annotate.lesson.cutting.peaks import SURELY_BELOW, true_peak_db
from annotate.lesson.cutting.pieces import SOUND_RATE_HZ
from annotate.lesson.cutting.sound import frame_of

# Common practice for speech heard on small speakers and headphones (EBU R 128 asks -23 of broadcasts and its
# supplement s2 lets distribution on the net go up to -16; figures from memory).
TARGET_LUFS = -16.0
# EBU R 128: maximum true peak -1 dBTP; with room for what coding the sound adds to a peak.
HIGHEST_PEAK_DB, CODING_DB = -1.0, 0.5
MOST_GAIN_DB = 20.0  # more would only lift the room's noise
_QUIET_LUFS = -69.0  # the gate's floor: nothing was heard


@dataclass(frozen=True)
class Measured:
    """Integrated loudness (LUFS) and highest true peak (dBTP) of a sound."""

    lufs: float
    peak_db: float

    @property
    def gain_db(self) -> float:
        """What brings it to the target; peaks that would rise too high are for ``peaks.held_back``."""
        return min(TARGET_LUFS - self.lufs, MOST_GAIN_DB)


def measure(blocks: Iterable[NDArray[np.float32]], cancelled: Callable[[], bool] = lambda: False) -> Measured | None:
    """Loudness and peak of a sound; None where there is nothing to hear."""
    meter, ticks, peak, loudness = _meter(), 0, -math.inf, -math.inf
    for block in blocks:
        if cancelled():
            raise Cancelled("Measuring the loudness was stopped", next_step="Start it again any time.")
        if float(np.abs(block).max(initial=0.0)) > SURELY_BELOW * 10 ** (peak / 20):
            peak = max(peak, true_peak_db(block))
        meter.push(frame_of(block, ticks))
        ticks += len(block)
        loudness = _last(meter, loudness)
    meter.push(None)
    loudness = _last(meter, loudness)
    return None if loudness < _QUIET_LUFS or peak == -math.inf else Measured(loudness, peak)


def _meter() -> Graph:
    graph = Graph()
    start = graph.add_abuffer(format="fltp", sample_rate=SOUND_RATE_HZ, layout="stereo")
    meter = graph.add("ebur128", "metadata=1:framelog=quiet")
    graph.link_nodes(start, meter, graph.add("abuffersink")).configure()
    return graph


def _last(meter: Graph, known: float) -> float:
    """The loudness after all that the meter has ready."""
    while True:
        try:
            made = meter.pull()
        except (av.error.BlockingIOError, av.error.EOFError):
            return known
        assert isinstance(made, AudioFrame)
        known = float(made.metadata.get("lavfi.r128.I", known))
