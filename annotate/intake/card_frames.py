"""Grey pictures of a recording, few and cheap, yet at least one in every second.

Key pictures stand alone and decode fast, so they come first (``keys``). Where
they lie farther apart than a card is shown, the pictures between them are
decoded (``between``): first without those that predict both ways, then, where
gaps remain, with more and more of them. The loop filter is left out: it
makes pictures pleasant, not readable.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Literal

import av
import numpy as np
from av.packet import Packet
from av.stream import Discard, Stream
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from annotate import timecode
from annotate.intake.card_places import Grey
from annotate.intake.opening import open_media
from annotate.intake.packets import readable
from annotate.model import Probe

# Cards are shown for a second or more. Phones set a key picture every second (30 at 29.97 a second: 1.001 s).
WIDEST_MS = 1020
STEP_MS = 450  # between the pictures given
# A plane of 8-bit grey comes first in these.
_GREY_FIRST = re.compile(r"(yuvj?4\d\dp|nv12|nv21|nv16|gray)")
_STEADY = {"flags2": "+fast", "skip_loop_filter": "all"}

Skip = Literal["NONKEY", "BIDIR", "NONREF", "DEFAULT"]
SKIPS: tuple[Skip, ...] = ("BIDIR", "NONREF", "DEFAULT")


@dataclass(frozen=True)
class Look:
    """One picture: when on the recording's clock, and its grey levels (height, width) uint8 as stored, not turned."""

    at_ms: int
    grey: Grey


@dataclass(frozen=True)
class Gap:
    """A stretch between two pictures looked at; half-open, without the picture at ``start_ms``."""

    start_ms: int
    end_ms: int


def keys(path: Path, probe: Probe) -> Iterator[Look]:
    """The key pictures, at most one every 450 ms."""
    with open_media(path) as container:
        stream = container.streams[probe.picture_stream or 0]
        if not isinstance(stream, VideoStream):
            return
        _prepare(stream, "NONKEY")
        stream.discard = Discard.nonkey
        last_ms = -STEP_MS
        for packet in readable(container, [stream]):
            at_ms = _clock(packet.pts, stream, probe)
            # A short margin: 15 pictures at 29.97 a second are 500 ms and a half.
            if packet.size and (not packet.is_keyframe or at_ms is None or at_ms < last_ms + STEP_MS):
                continue
            last_ms = at_ms if at_ms is not None else last_ms
            yield from _looks(packet, stream, probe)


def gaps(times_ms: Sequence[int], start_ms: int, end_ms: int, widest_ms: int = WIDEST_MS) -> list[Gap]:
    """The stretches of ``[start_ms, end_ms)`` in which more than ``widest_ms`` pass without a picture."""
    ends = [start_ms - 1, *sorted(time for time in times_ms if start_ms <= time < end_ms), end_ms]
    return [Gap(max(start_ms, one), other) for one, other in pairwise(ends) if other - one > widest_ms]


def joined(spans: Sequence[Gap]) -> list[Gap]:
    """The same stretches, in order, those that touch made one."""
    return [Gap(run[0].start_ms, run[-1].end_ms) for run in _runs(spans)]


def _runs(spans: Sequence[Gap]) -> list[list[Gap]]:
    """The stretches in order, in groups that touch; what a stretch shares with the one before is cut off it."""
    runs: list[list[Gap]] = []
    for span in sorted(spans, key=lambda one: one.start_ms):
        end_ms = runs[-1][-1].end_ms if runs else -1
        if span.start_ms > end_ms:
            runs.append([span])
        elif span.end_ms > end_ms:
            runs[-1].append(Gap(end_ms, span.end_ms))
    return runs


def between(path: Path, probe: Probe, spans: Sequence[Gap], skip: Skip, step_ms: int = STEP_MS) -> Iterator[Look]:
    """Pictures inside the stretches, one every ``step_ms``; none of those that ``skip`` names are decoded.

    Where stretches touch there is a key picture that has been looked at, so
    the last of a stretch is left alone and decoding goes on at that picture.
    """
    with open_media(path) as container:
        stream = container.streams[probe.picture_stream or 0]
        if not isinstance(stream, VideoStream) or stream.time_base is None:
            return
        _prepare(stream, skip)
        for run in _runs(spans):
            start = (Fraction(run[0].start_ms, 1000) + probe.origin) / stream.time_base
            try:
                container.seek(int(start), stream=stream, backward=True)
            except (av.error.FFmpegError, OSError):
                continue
            yield from _run(readable(container, [stream]), stream, probe, run, step_ms)


def _run(
    packets: Iterator[Packet[Stream]], stream: VideoStream, probe: Probe, run: Sequence[Gap], step_ms: int
) -> Iterator[Look]:
    """Pictures inside stretches that touch, from packets that begin at or before them."""
    ahead = list(run)
    last_ms, is_resting = run[0].start_ms, False
    for packet in packets:
        if is_resting and packet.size and not packet.is_keyframe:
            continue
        is_resting = False
        for look in _looks(packet, stream, probe, run[0].start_ms):
            if look.at_ms >= run[-1].end_ms:
                return
            if look.at_ms >= last_ms + step_ms:
                last_ms = look.at_ms
                yield look
        while ahead and last_ms >= ahead[0].end_ms - 2 * step_ms:
            last_ms, is_resting = max(last_ms, ahead.pop(0).end_ms), True
        if not ahead:
            return


def _prepare(stream: VideoStream, skip: Skip) -> None:
    stream.thread_type = "AUTO" if skip != "NONKEY" else "SLICE"
    stream.codec_context.thread_count = 2
    stream.codec_context.skip_frame = skip
    stream.codec_context.options = dict(_STEADY)


def _looks(packet: Packet[Stream], stream: VideoStream, probe: Probe, from_ms: int = 0) -> Iterator[Look]:
    """The pictures of a packet from ``from_ms`` on; broken ones are passed over."""
    try:
        for frame in packet.decode():
            if not isinstance(frame, VideoFrame):
                continue
            at_ms = _clock(frame.pts, stream, probe)
            if at_ms is not None and at_ms >= from_ms:
                yield Look(at_ms, grey(frame))
    except (av.error.FFmpegError, EOFError):
        return


def _clock(pts: int | None, stream: VideoStream, probe: Probe) -> int | None:
    """Ticks of the stream as milliseconds of the recording."""
    if pts is None or stream.time_base is None:
        return None
    return max(0, timecode.from_seconds(pts * stream.time_base - probe.origin))


def grey(frame: VideoFrame) -> Grey:
    """The picture's grey levels: the frame's own first plane where it is one."""
    if not _GREY_FIRST.fullmatch(frame.format.name):
        return np.asarray(frame.reformat(format="gray").to_ndarray(), np.uint8)
    plane = frame.planes[0]
    lines = np.frombuffer(memoryview(plane), np.uint8, count=plane.line_size * plane.height)
    return np.asarray(lines.reshape(plane.height, plane.line_size)[:, : plane.width], np.uint8)
