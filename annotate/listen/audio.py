"""Sound of a media file as one mono channel on the recording's own clock.

Conventions
-----------
Sample ``n`` of what is returned lies ``n / rate_hz`` seconds after the clock's
zero, which is ``origin`` seconds on the file's own clock. A stream that starts
late begins with zeros; holes in the time stamps are filled with zeros; what
lies before the origin is dropped. Values are float32, full scale is 1.0.

A damaged stretch is skipped, a damaged tail ends the sound: what could be
decoded is kept. Only one block is held at a time, so the length of the file
does not matter for memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import soxr
from numpy.typing import NDArray

from annotate.errors import BadTime, Missing, NotMedia
from annotate.listen.marks import Tops
from annotate.model import Probe

Samples = NDArray[np.float32]

RATE_HZ = 16_000
BLOCK_SECONDS = 30
# Matroska rounds time stamps to 1 ms and a lost packet is 20 ms or more: between the two.
HOLE_SECONDS = Fraction(15, 1000)
# A channel this far below the loudest adds nothing but its noise.
LIVE_BELOW_LOUDEST_DB = 30.0
DEAD_DBFS = -85.0
# Correlation below which a channel counts as wired the wrong way round.
FLIPPED_CORRELATION = -0.5
LOOKS = 8
LOOK_SECONDS = 2
# Containers whose seek lands where it says; others are read from their start.
SEEKABLE = frozenset({"mov", "mp4", "matroska", "webm", "wav", "flac"})
SEEK_EARLY_SECONDS = 2
_FULL_SCALE = {"u1": 128.0, "i2": 32768.0, "i4": 2147483648.0}


@dataclass(frozen=True)
class SoundPlace:
    """Which sound: the ``sound_stream`` (index in the file, None for a file without) and the clock's ``origin``.

    ``start_ms`` and ``end_ms`` choose a stretch of the recording's clock;
    without an end it runs to the end of the sound.
    """

    path: Path
    sound_stream: int | None
    origin: Fraction = Fraction(0)
    start_ms: int = 0
    end_ms: int | None = None

    def __post_init__(self) -> None:
        if self.start_ms < 0 or (self.end_ms is not None and self.end_ms < self.start_ms):
            raise BadTime(
                "is not a stretch of the sound", f"{self.start_ms} to {self.end_ms} ms", "Start before the end."
            )


def sound_of(path: Path, probe: Probe, start_ms: int = 0, end_ms: int | None = None) -> SoundPlace:
    """The sound that the maker chose (``probe.sound_stream``), cut at the recording's end."""
    end = probe.duration_ms if end_ms is None else min(end_ms, probe.duration_ms)
    return SoundPlace(path, probe.sound_stream, probe.origin, min(start_ms, end), end)


def read_sound(path: Path, sound_stream: int | None, origin: Fraction = Fraction(0), rate_hz: int = RATE_HZ) -> Samples:
    """The whole sound as one array, shape (n,); empty when there is no sound stream.

    Long files are better read with :func:`sound_blocks`: four hours are 920 MB here.
    """
    return read_place(SoundPlace(path, sound_stream, origin), rate_hz)


def read_place(place: SoundPlace, rate_hz: int = RATE_HZ) -> Samples:
    """The sound of a stretch as one array, shape (n,); sample 0 is ``place.start_ms``."""
    blocks = list(sound_blocks(place, rate_hz))
    return np.concatenate(blocks) if blocks else np.zeros(0, np.float32)


def sound_blocks(
    place: SoundPlace, rate_hz: int = RATE_HZ, block_seconds: int = BLOCK_SECONDS, tops: Tops | None = None
) -> Iterator[Samples]:
    """The sound in blocks of ``block_seconds`` (the last may be shorter), one after the other without a gap.

    ``tops`` counts the tops that were cut off, in the stream as it is.

    Raises
    ------
    Missing
        If the file is not there.
    NotMedia
        If it cannot be opened, or has no sound stream of that index.
    """
    if place.sound_stream is None:
        return
    size = rate_hz * block_seconds
    held: list[Samples] = []
    count = 0
    for piece in _cut(_resampled(_native(place, tops), rate_hz), place, rate_hz):
        held.append(piece)
        count += len(piece)
        while count >= size:
            whole = np.concatenate(held)
            yield whole[:size]
            held, count = [whole[size:]], count - size
    if count:
        yield np.concatenate(held)


@dataclass(frozen=True)
class _Piece:
    """Mono samples at the stream's own rate; ``first`` is their place on the recording's clock."""

    first: int
    rate_hz: int
    samples: Samples


def _open(place: SoundPlace) -> av.container.InputContainer:
    if not place.path.exists():
        raise Missing("is not where it was", str(place.path), "Put it back, or point the library to it.")
    try:
        return av.open(str(place.path), mode="r", metadata_errors="ignore")
    except (av.error.FFmpegError, OSError) as error:
        raise NotMedia("cannot be read as sound", place.path.name, "Check that it plays elsewhere.") from error


def _stream(container: av.container.InputContainer, place: SoundPlace) -> av.AudioStream:
    for stream in container.streams.audio:
        if stream.index == place.sound_stream:
            return stream
    raise NotMedia(f"has no sound stream {place.sound_stream}", place.path.name, "Choose one of its sound streams.")


def _frames(container: av.container.InputContainer, stream: av.AudioStream) -> Iterator[av.AudioFrame]:
    """Frames as far as they decode: a bad packet is skipped, a broken container ends the sound."""
    packets = container.demux(stream)
    while True:
        try:
            packet = next(packets)
        except (StopIteration, av.error.FFmpegError):
            return
        try:
            yield from packet.decode()
        except av.error.FFmpegError:
            continue


def _channels(frame: av.AudioFrame) -> Samples:
    """Samples of a frame as float32, shape (channels, n), full scale 1.0."""
    raw = frame.to_ndarray()
    if not frame.format.is_planar:
        raw = raw.reshape(-1, len(frame.layout.channels)).T
    scale = _FULL_SCALE.get(raw.dtype.str[1:])
    values = raw.astype(np.float32)
    if scale is None:
        # A damaged packet can decode to numbers that are none.
        return np.nan_to_num(values, nan=0.0, posinf=0.0, neginf=0.0)
    if raw.dtype.kind == "u":
        values -= np.float32(scale)
    return values / np.float32(scale)


def channel_weights(channels: Samples) -> Samples:
    """How much each channel counts in the mono mix.

    Parameters
    ----------
    channels : float32, shape (channels, n), full scale 1.0

    Returns
    -------
    float32, shape (channels,)
        Magnitudes sum to 1: equal for the live channels, 0 for those more than
        30 dB below the loudest; negative where a channel is the loudest upside down.
    """
    power = np.mean(channels.astype(np.float64) ** 2, axis=1)
    loudest = int(np.argmax(power))
    if power[loudest] <= 10 ** (DEAD_DBFS / 10):
        return np.full(len(channels), 1 / len(channels), np.float32)
    live = power > power[loudest] * 10 ** (-LIVE_BELOW_LOUDEST_DB / 10)
    product = np.mean(channels.astype(np.float64) * channels[loudest], axis=1)
    flipped = product < FLIPPED_CORRELATION * np.sqrt(power * power[loudest])
    weights = np.where(live, np.where(flipped, -1.0, 1.0), 0.0)
    total: float = np.sum(np.abs(weights))
    return np.asarray(weights / total, np.float32)


def _look(place: SoundPlace) -> Samples | None:
    """Channel weights from short looks spread over the file, the same for every block; None for mono."""
    with _open(place) as container:
        stream = _stream(container, place)
        count = stream.codec_context.channels
        if count < 2:
            return None
        length = container.duration or 0
        begin = container.start_time or 0
        looked: list[Samples] = []
        for number in range(LOOKS if length else 1):
            if number:
                try:
                    container.seek(begin + length * number // LOOKS)
                except av.error.FFmpegError:
                    break
            looked.extend(_some(container, stream, count))
        return channel_weights(np.concatenate(looked, axis=1)) if looked else None


def _some(container: av.container.InputContainer, stream: av.AudioStream, count: int) -> Iterator[Samples]:
    wanted = LOOK_SECONDS * (stream.rate or RATE_HZ)
    for frame in _frames(container, stream):
        channels = _channels(frame)
        if len(channels) == count:
            yield channels
        wanted -= frame.samples
        if wanted <= 0:
            return


def _mono(channels: Samples, weights: Samples | None) -> Samples:
    if weights is None or len(weights) != len(channels):
        weights = np.full(len(channels), 1 / len(channels), np.float32)
    mixed: Samples = weights @ channels
    return mixed


def _native(place: SoundPlace, tops: Tops | None) -> Iterator[_Piece]:
    """Mono pieces in the order of the file, each with its place by its time stamp."""
    weights = _look(place)
    with _open(place) as container:
        stream = _stream(container, place)
        if place.start_ms > 1000 * SEEK_EARLY_SECONDS and SEEKABLE & set(container.format.name.split(",")):
            early = place.origin + Fraction(place.start_ms, 1000) - SEEK_EARLY_SECONDS
            try:
                container.seek(int(early * av.time_base))
            except av.error.FFmpegError:
                container.seek(0)
        after: int | None = None
        for frame in _frames(container, stream):
            rate = frame.sample_rate
            if frame.pts is not None and frame.time_base is not None:
                first = round((frame.pts * frame.time_base - place.origin) * rate)
            elif after is not None:
                first = after
            else:
                first = 0
            channels = _channels(frame)
            if tops is not None:
                tops.add(channels, rate, first)
            mono = _mono(channels, weights)
            after = first + len(mono)
            yield _Piece(first, rate, mono)


def _resampled(pieces: Iterator[_Piece], rate_hz: int) -> Iterator[tuple[int, Samples]]:
    """Runs of samples at ``rate_hz`` with the place of each on the clock, holes filled and overlaps dropped."""
    stream: soxr.ResampleStream | None = None
    native_rate = at = out_at = 0
    for piece in pieces:
        if stream is None or piece.rate_hz != native_rate:
            if stream is not None:
                tail = stream.resample_chunk(np.zeros(0, np.float32), last=True)
                yield out_at, tail
            native_rate, at = piece.rate_hz, piece.first
            out_at = round(Fraction(at * rate_hz, native_rate))
            stream = soxr.ResampleStream(native_rate, rate_hz, 1, dtype="float32")
        samples = piece.samples
        off = piece.first - at
        if off > HOLE_SECONDS * native_rate:
            for zeros in _zeros(off, native_rate):
                out = stream.resample_chunk(zeros)
                yield out_at, out
                out_at += len(out)
            at = piece.first
        elif off < -HOLE_SECONDS * native_rate:
            samples = samples[-off:]
        out = stream.resample_chunk(samples)
        yield out_at, out
        out_at += len(out)
        at += len(samples)
    if stream is not None:
        yield out_at, stream.resample_chunk(np.zeros(0, np.float32), last=True)


def _zeros(count: int, step: int) -> Iterator[Samples]:
    while count > 0:
        yield np.zeros(min(count, step), np.float32)
        count -= step


def _cut(runs: Iterator[tuple[int, Samples]], place: SoundPlace, rate_hz: int) -> Iterator[Samples]:
    """The runs laid from ``start_ms`` to ``end_ms``: lead filled with zeros, the rest dropped."""
    at = place.start_ms * rate_hz // 1000
    end = None if place.end_ms is None else place.end_ms * rate_hz // 1000
    for first, samples in runs:
        if end is not None and at >= end:
            return
        if first < at:
            samples, first = samples[at - first :], at
        if not len(samples):
            continue
        stop = first if end is None else min(first, end)
        for zeros in _zeros(stop - at, rate_hz):
            yield zeros
            at += len(zeros)
        if end is not None:
            samples = samples[: end - at]
        if len(samples):
            yield samples
            at += len(samples)
