"""How loud a clip is, and what brings it to the loudness of the others (EBU R 128).

The measuring is libavfilter's ``ebur128`` (ITU-R BS.1770 gating): nothing is
invented here.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

import av
import numpy as np
from av.audio.frame import AudioFrame
from av.filter import Graph
from numpy.typing import NDArray

from annotate.errors import Cancelled
from annotate.lesson import source
from annotate.lesson.pieces import SOUND_RATE_HZ, SourcePiece
from annotate.lesson.sound import read_sound

# Film sound for headphones and small speakers; EBU R 128 s2 allows -16 LUFS for distribution on the net.
TARGET_LUFS = -16.0
HIGHEST_PEAK_DB = -1.0  # EBU R 128: maximum true peak -1 dBTP
MOST_GAIN_DB = 20.0  # more would only lift the room's noise
_QUIET_LUFS = -69.0  # the gate's floor: nothing was heard


def measure(piece: SourcePiece, cancelled: Callable[[], bool] = lambda: False) -> tuple[float, float] | None:
    """Integrated loudness (LUFS) and sample peak (dBFS) of a piece as recorded; None where there is nothing to hear."""
    if piece.probe.sound_stream is None:
        return None
    left = (min(piece.end_ms, piece.probe.duration_ms) - piece.start_ms) * SOUND_RATE_HZ // 1000
    meter, ticks, peak, loudness = _meter(), 0, 0.0, -math.inf
    with source.Shelf() as shelf:
        for block in read_sound(shelf, piece, source.file_time(piece.probe, piece.start_ms)):
            if cancelled():
                raise Cancelled("Measuring the loudness was stopped", next_step="Start it again any time.")
            part = block[:left]
            left -= len(part)
            if len(part):
                peak = max(peak, float(np.abs(part).max()))
                meter.push(_frame(part, ticks))
                ticks += len(part)
                loudness = _last(meter, loudness)
            if left <= 0:
                break
    meter.push(None)
    loudness = _last(meter, loudness)
    return None if loudness < _QUIET_LUFS or peak == 0 else (loudness, 20 * math.log10(peak))


def even_gain_db(measured: tuple[float, float] | None, target_lufs: float = TARGET_LUFS) -> float:
    """The gain that brings a measured piece to the target without lifting its peak too high."""
    if measured is None:
        return 0.0
    loudness, peak = measured
    return min(target_lufs - loudness, HIGHEST_PEAK_DB - peak, MOST_GAIN_DB)


def _meter() -> Graph:
    graph = Graph()
    start = graph.add_abuffer(format="fltp", sample_rate=SOUND_RATE_HZ, layout="stereo")
    meter = graph.add("ebur128", "metadata=1:framelog=quiet")
    sink = graph.add("abuffersink")
    start.link_to(meter)
    meter.link_to(sink)
    graph.configure()
    return graph


def _frame(part: NDArray[np.float32], ticks: int) -> AudioFrame:
    frame = AudioFrame.from_ndarray(np.ascontiguousarray(part.T), format="fltp", layout="stereo")
    frame.sample_rate, frame.pts, frame.time_base = SOUND_RATE_HZ, ticks, Fraction(1, SOUND_RATE_HZ)
    return frame


def _last(meter: Graph, known: float) -> float:
    """The loudness after all that the meter has ready."""
    while True:
        try:
            made = meter.pull()
        except (av.error.BlockingIOError, av.error.EOFError):
            return known
        assert isinstance(made, AudioFrame)
        known = float(made.metadata.get("lavfi.r128.I", known))
