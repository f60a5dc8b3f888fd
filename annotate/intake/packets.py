"""When the pictures and sounds of a file are, read from its packets rather than from what it states.

Stated lengths are missing (a browser's recorder), count from the wrong end
(some Matroska files) or come from edit lists; packet times do not lie. Times
are exact fractions of seconds on the file's own clock.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

import av
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.packet import Packet
from av.stream import Stream
from av.video.stream import VideoStream

# Above this an MP4 is measured from its index and its last seconds instead of being read through.
READ_THROUGH_BYTES = 256_000_000
TAIL_S = 15
_DISCARD_ENTRY = 2  # AVINDEX_DISCARD_FRAME

# A picture may be this far from an even grid and the rate still counts as constant
# (Matroska writes whole milliseconds, so 1/30 s comes as 33, 33, 34).
GRID_TOLERANCE_S = Fraction(1, 1000)
_USUAL_RATES = tuple(
    rate
    for whole in (12, 15, 20, 24, 25, 30, 48, 50, 60, 90, 100, 120, 240)
    for rate in (Fraction(whole), Fraction(whole * 1000, 1001))
)

MediaStream = VideoStream | AudioStream


@dataclass
class _Times:
    ticks: list[int] = field(default_factory=list)
    last_tick: int | None = None
    last_duration: int = 0


@dataclass(frozen=True)
class Span:
    """First and last moment of a stream in seconds of file time, and, for pictures, all their times in ticks."""

    start: Fraction
    end: Fraction
    ticks: tuple[int, ...]
    time_base: Fraction


def measure(container: InputContainer, streams: Iterable[MediaStream], size: int) -> dict[int, Span]:
    """The span of each stream that has any packet, by stream index."""
    used = list(streams)
    indexed = size > READ_THROUGH_BYTES and container.duration and all(_index_is_whole(one) for one in used)
    if indexed:
        assert container.duration is not None
        container.seek(max(0, container.duration - TAIL_S * 1_000_000))
    found = {stream.index: _Times() for stream in used}
    for packet in readable(container, used):
        tick = packet.pts if packet.pts is not None else packet.dts
        if tick is None or packet.is_discard:
            continue
        times = found[packet.stream_index]
        times.ticks.append(tick)
        if times.last_tick is None or tick >= times.last_tick:
            times.last_tick, times.last_duration = tick, packet.duration or 0
    if indexed:
        for stream in used:
            found[stream.index].ticks = [e.timestamp for e in stream.index_entries if not e.flags & _DISCARD_ENTRY]
    return {stream.index: _span(stream, found[stream.index]) for stream in used if found[stream.index].ticks}


def readable(container: InputContainer, streams: Iterable[MediaStream]) -> Iterator[Packet[Stream]]:
    """The packets of these streams up to the end, or to where the file cannot be read any further."""
    try:
        yield from container.demux(*streams)
    except (av.error.FFmpegError, EOFError):
        return


def _index_is_whole(stream: MediaStream) -> bool:
    """Whether the container's own index lists every packet (an unfragmented MP4's does)."""
    return stream.frames > 0 and len(stream.index_entries) >= stream.frames


def _span(stream: MediaStream, times: _Times) -> Span:
    ticks = sorted(times.ticks)
    base = stream.time_base or Fraction(1, 1000)
    # The stated start leaves out what a decoder drops at the front (encoder delay); packets do not.
    first = stream.start_time if stream.start_time is not None else ticks[0]
    last = times.last_tick if times.last_tick is not None else ticks[-1]
    length = times.last_duration
    if length <= 0 and len(ticks) > 1:
        steps = sorted(after - before for before, after in pairwise(ticks))
        length = steps[len(steps) // 2]
    return Span(first * base, max(last + length, first) * base, tuple(ticks), base)


def constant_rate(span: Span) -> Fraction | None:
    """Pictures per second if they lie on an even grid, else None.

    Even means: every picture within 1 ms, or one tick of the container's
    clock, of ``first + k / rate``.
    """
    ticks = span.ticks
    if len(ticks) < 2 or ticks[-1] == ticks[0]:
        return None
    step = Fraction(ticks[-1] - ticks[0], len(ticks) - 1)  # in ticks
    first, numerator, denominator = ticks[0], step.numerator, step.denominator
    worst = max(abs((tick - first) * denominator - k * numerator) for k, tick in enumerate(ticks))
    off_grid = Fraction(worst, denominator) * span.time_base
    if off_grid > max(GRID_TOLERANCE_S, span.time_base):
        return None
    return _usual(1 / (step * span.time_base), max(off_grid, span.time_base), span)


def _usual(rate: Fraction, unsure_s: Fraction, span: Span) -> Fraction:
    """The usual rate that times known to ``unsure_s`` cannot be told from, else the rate itself as a short fraction."""
    doubt = rate * 2 * unsure_s / ((span.end - span.start) or 1)
    near = [usual for usual in _USUAL_RATES if abs(usual - rate) <= doubt]
    if near:
        return min(near, key=lambda usual: abs(usual - rate))
    return rate if rate.denominator <= 1001 else rate.limit_denominator(1001)
