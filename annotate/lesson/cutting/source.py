"""Reads a recording for cutting: opened files kept for the next clip, pictures by their own timestamps.

File time is in seconds (``Fraction``) on the file's clock, as its packets say.
The picture *at* a time is the one whose timestamp covers it. Because the page
speaks whole milliseconds, a picture counts as begun half a millisecond early.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import floor
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import av
from av.container import InputContainer
from av.packet import Packet
from av.stream import Discard
from av.stream import Stream as FileStream
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from annotate import model
from annotate.errors import Missing, NotMedia, ToolFailed
from annotate.intake.opening import OPTIONS, ffmpeg_name

HALF_MS = Fraction(1, 2000)
_STEPS_BACK_S = (0, 1, 4, 16, 64, 1 << 40)  # how much earlier to look when a seek lands too late
_MOST_OPEN = 48
_LIGHT = {"probesize": "32", "analyzeduration": "0"}
COPY = "copy"  # the use of a file of which only packets are read
PICTURES = "pictures"  # that of one whose pictures are decoded; at 1080p a decoder holds 50 MB and more


class Counter:
    """Counts pictures of a constant rate from ticks of a clock, in whole numbers: films have many packets."""

    def __init__(self, base: Fraction, start: Fraction, rate: Fraction) -> None:
        step = base * rate
        offset = start * rate
        self._whole = step.denominator * offset.denominator
        self._step = step.numerator * offset.denominator
        self._offset = offset.numerator * step.denominator

    def __call__(self, ticks: int) -> tuple[int, bool]:
        """The number of the picture nearest to the time, and whether it is nearer than a quarter of a picture."""
        place = ticks * self._step - self._offset
        number = (2 * place + self._whole) // (2 * self._whole)
        return number, 4 * abs(place - number * self._whole) <= self._whole


def file_time(probe: model.Probe, at_ms: int) -> Fraction:
    """A moment of the recording's clock in file time."""
    return probe.origin + Fraction(at_ms, 1000)


class Shelf:
    """Opened recordings, one per file and use, so that many clips of one file open it once.

    Only the pictures of one file are decoded at a time: another one's decoder is closed.
    """

    def __init__(self) -> None:
        self._open: dict[tuple[Path, str, int], InputContainer] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, _: TracebackType | None) -> None:
        while self._open:
            self._open.popitem()[1].close()

    def take(self, path: Path, use: str, index: int) -> tuple[InputContainer, FileStream]:
        """The file opened for this ``use`` of the stream ``index``; other streams are passed over."""
        key = (path, use, index)
        if use == PICTURES:
            for other in [one for one in self._open if one[1] == PICTURES and one != key]:
                self._open.pop(other).close()
        container = self._open.pop(key, None) or _open(path, index, is_light=use == COPY)
        self._open[key] = container
        if len(self._open) > _MOST_OPEN:
            oldest = next(iter(self._open))
            self._open.pop(oldest).close()
        return container, container.streams[index]


def _open(path: Path, index: int, *, is_light: bool) -> InputContainer:
    """The opened file; a light opening decodes nothing, which is enough to read packets."""
    if not path.exists():
        raise Missing("is not there any more", str(path), "Put it back, or connect its drive.")
    try:
        options = {**OPTIONS, **(_LIGHT if is_light else {})}
        container = av.open(ffmpeg_name(path), options=options, metadata_errors="replace")
    except (av.error.FFmpegError, OSError, ValueError):
        raise NotMedia("cannot be read", path.name, "Check that it still plays, or copy it again.") from None
    if index >= len(container.streams):
        container.close()
        raise NotMedia("is not the file it was: a stream is gone", path.name, "Add the recording again.")
    for stream in container.streams:
        stream.discard = Discard.default if stream.index == index else Discard.all
    stream = container.streams[index]
    if isinstance(stream, VideoStream):
        stream.thread_type = "AUTO"
    return container


def seek(container: InputContainer, stream: FileStream, at: Fraction) -> None:
    """To the last keyframe at or before ``at``, as far as the container knows; else to the start."""
    base = stream.time_base or Fraction(1, 1000)
    try:
        container.seek(floor(at / base), stream=stream, backward=True)
    except (av.error.FFmpegError, OSError):
        container.seek(floor(min(at, Fraction(0)) / base), stream=stream, backward=True, any_frame=True)


def packets_from(container: InputContainer, stream: FileStream, at: Fraction) -> Iterator[Packet[Any]]:
    """Packets of the stream from the keyframe at or before ``at``; broken ones are passed over."""
    for back in _STEPS_BACK_S:
        seek(container, stream, at - back)
        packets = readable(container, stream)
        first = next((packet for packet in packets if packet.is_keyframe), None)
        if first is None:
            continue
        if first.pts is None or first.pts * (first.time_base or 1) <= at + HALF_MS or back == _STEPS_BACK_S[-1]:
            yield first
            yield from packets
            return


def readable(container: InputContainer, stream: FileStream) -> Iterator[Packet[Any]]:
    """Packets of the stream from where the file stands; broken ones are passed over."""
    packets = container.demux(stream)
    while True:
        try:
            packet = next(packets)
        except StopIteration:
            return
        except av.error.InvalidDataError:
            continue
        if packet.size:
            yield packet


def decode_from(
    container: InputContainer, stream: VideoStream, at: Fraction, sure: Fraction | None = None
) -> Iterator[tuple[Fraction, VideoFrame]]:
    """Pictures with their file times, from the one that covers ``at`` (or the first there is).

    Pictures before ``sure`` are known not to be asked for: those that no other
    picture needs are not decoded.
    """
    waiting: tuple[Fraction, VideoFrame] | None = None
    latest = at + HALF_MS
    for time, frame in _pictures_of(stream, packets_from(container, stream, at), sure):
        if time <= latest:
            waiting = (time, frame)
            continue
        if waiting is not None:
            yield waiting
            waiting = None
        yield time, frame
    if waiting is not None:
        yield waiting


def _pictures_of(
    stream: VideoStream, packets: Iterator[Packet[Any]], sure: Fraction | None
) -> Iterator[tuple[Fraction, VideoFrame]]:
    """Decoded pictures in the order shown; those that need what lies before the first keyframe are left out."""
    context = stream.codec_context
    context.flush_buffers()
    first_key: Fraction | None = None
    for packet in _and_end(packets):
        if packet is not None and first_key is None and packet.pts is not None:
            first_key = packet.pts * (packet.time_base or Fraction(1))
        context.skip_frame = "NONREF" if _is_before(packet, sure) else "DEFAULT"
        try:
            frames = context.decode(packet)
        except (av.error.InvalidDataError, EOFError):
            continue
        for frame in frames:
            time = _time_of(frame, stream)
            if time is not None and (first_key is None or time >= first_key):
                yield time, frame


def _is_before(packet: Packet[Any] | None, sure: Fraction | None) -> bool:
    if packet is None or packet.pts is None or sure is None:
        return False
    return bool(packet.pts * (packet.time_base or Fraction(1)) < sure)


def _and_end(packets: Iterator[Packet[Any]]) -> Iterator[Packet[Any] | None]:
    yield from packets
    yield None


def _time_of(frame: VideoFrame, stream: VideoStream) -> Fraction | None:
    ticks = frame.pts if frame.pts is not None else frame.dts
    base = frame.time_base or stream.time_base
    return None if ticks is None or base is None else ticks * base


def picture_stream(shelf: Shelf, path: Path, probe: model.Probe, use: str) -> tuple[InputContainer, VideoStream]:
    """The file opened at its picture stream."""
    if probe.picture_stream is None:
        raise NotMedia("has no picture", path.name, "Choose a recording with a picture.")
    container, stream = shelf.take(path, use, probe.picture_stream)
    if not isinstance(stream, VideoStream):
        raise NotMedia("is not the file it was: its picture is gone", path.name, "Add the recording again.")
    return container, stream


def covering(shelf: Shelf, path: Path, probe: model.Probe, at: Fraction) -> Fraction:
    """The file time of the picture shown at ``at``, read from the packets; the first one if it is later."""
    container, stream = picture_stream(shelf, path, probe, "index")
    best: Fraction | None = None
    first: Fraction | None = None
    for packet in packets_from(container, stream, at):
        if packet.pts is None:
            return _covering_decoded(shelf, path, probe, at)
        if packet.is_discard:
            continue
        base = packet.time_base or Fraction(1)
        time = packet.pts * base
        first = time if first is None else min(first, time)
        if time <= at + HALF_MS:
            best = time if best is None else max(best, time)
        if best is not None and packet.dts is not None and packet.dts * base > at + HALF_MS:
            break
    found = best if best is not None else first
    if found is None:
        raise ToolFailed("no picture could be found", path.name, "Check that it still plays.")
    return found


def _covering_decoded(shelf: Shelf, path: Path, probe: model.Probe, at: Fraction) -> Fraction:
    container, stream = picture_stream(shelf, path, probe, PICTURES)
    for time, _ in decode_from(container, stream, at):
        return time
    raise ToolFailed("no picture could be found", path.name, "Check that it still plays.")
