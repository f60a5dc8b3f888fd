"""The outline of the sound for the page: lowest and highest value of every 50 ms, on the recording's clock.

A peaks file: the 16-byte head ``<4sHHII`` (``BRPK``, version 1, bin length in
ms, number of bins, 0), then per bin two signed bytes, lowest and highest, of
-127..127 for -1..1 of full scale. A whole day is 3.5 MB.
"""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import av
import numpy as np
from av.audio.resampler import AudioResampler
from av.audio.stream import AudioStream
from numpy.typing import NDArray

from annotate.errors import BadInput, Cancelled
from annotate.intake.fingerprint import never, nothing
from annotate.intake.opening import open_media
from annotate.intake.packets import readable
from annotate.intake.parts import written_whole
from annotate.model import Probe

BIN_MS = 50
FULL = 127
_HEAD = struct.Struct("<4sHHII")
_MAGIC, _VERSION = b"BRPK", 1
_BATCH_SAMPLES = 1 << 18  # put into bins at once: some seconds, 1 MB


@dataclass(frozen=True)
class Peaks:
    """``values``: int8, shape (bins, 2), lowest and highest of each bin."""

    bin_ms: int
    values: NDArray[np.int8]


def measure_peaks(
    path: Path,
    probed: Probe,
    progress: Callable[[float], None] = nothing,
    cancelled: Callable[[], bool] = never,
) -> Peaks:
    """Peaks of the sound stream in use; silence where it has no samples, and all zeros without one.

    Memory holds the bins and one batch of samples, however long the recording.
    """
    count = -(-probed.duration_ms // BIN_MS)
    low, high = np.zeros(count, np.float32), np.zeros(count, np.float32)
    origin_s = float(probed.origin)
    if probed.sound_stream is not None:
        for first_s, rate_hz, samples in _batches(path, probed.sound_stream):
            if cancelled():
                raise Cancelled("drawing the sound was stopped", path.name)
            start = round((first_s - origin_s) * rate_hz)
            put_in_bins(samples, start, rate_hz, low, high)
            progress(min(1.0, max(0.0, (start + len(samples[0])) / rate_hz * 1000 / probed.duration_ms)))
    values = np.stack([np.floor(low * FULL), np.ceil(high * FULL)], axis=1)
    progress(1.0)
    return Peaks(BIN_MS, np.clip(values, -FULL, FULL).astype(np.int8))


def put_in_bins(
    samples: NDArray[np.float32],
    start: int,
    rate_hz: int,
    low: NDArray[np.float32],
    high: NDArray[np.float32],
) -> None:
    """Widen ``low`` and ``high`` (one value per bin) by the samples.

    Parameters
    ----------
    samples : float32, shape (channels, n)
        -1..1 of full scale; all channels count.
    start : int
        Place of the first sample on the recording's clock, in samples. Those before 0 or past the end are left out.
    rate_hz : int
        Samples per second.
    """
    skip = max(0, -start)
    samples, start = samples[:, skip:], start + skip
    last = -(-len(low) * BIN_MS * rate_hz // 1000) - start
    samples = samples[:, : max(0, last)]
    if not samples.size:
        return
    bins = (np.arange(start, start + samples.shape[1], dtype=np.int64) * 1000) // (rate_hz * BIN_MS)
    np.minimum(bins, len(low) - 1, out=bins)
    edges = np.flatnonzero(np.diff(bins, prepend=bins[0] - 1))
    which = bins[edges]
    low[which] = np.minimum(low[which], np.minimum.reduceat(samples.min(axis=0), edges))
    high[which] = np.maximum(high[which], np.maximum.reduceat(samples.max(axis=0), edges))


def _batches(path: Path, index: int) -> Iterator[tuple[float, int, NDArray[np.float32]]]:
    """File time (seconds) of the first sample, rate, and samples (channels, n), in runs without a gap."""
    with open_media(path) as container:
        stream = container.streams[index]
        if not isinstance(stream, AudioStream):
            raise BadInput(f"has no sound track {index}", path.name, "Read the file again.")
        stream.codec_context.thread_type = "AUTO"
        to_float = AudioResampler(format="fltp")
        kept: list[NDArray[np.float32]] = []
        first_s, length, rate_hz = 0.0, 0, 0
        tick_s = float(stream.time_base or 0)
        for frame in _frames(container, stream):
            at_s = (frame.pts or 0) * tick_s
            ends_s = first_s + length / rate_hz if rate_hz else at_s
            # Containers with coarse clocks (1 ms) put frames a little off; only more than that is a gap.
            is_next = bool(kept) and frame.sample_rate == rate_hz and abs(at_s - ends_s) < BIN_MS / 2000
            if kept and (not is_next or length >= _BATCH_SAMPLES):
                yield first_s, rate_hz, np.concatenate(kept, axis=1)
                kept, length = [], 0
                first_s = at_s if not is_next else ends_s
            elif not kept:
                first_s = at_s
            rate_hz = frame.sample_rate
            for plain in to_float.resample(frame):
                samples = plain.to_ndarray().astype(np.float32, copy=False)
                if kept and samples.shape[0] != kept[0].shape[0]:
                    samples = np.repeat(samples[:1], kept[0].shape[0], axis=0)
                kept.append(samples)
                length += samples.shape[1]
        if kept:
            yield first_s, rate_hz, np.concatenate(kept, axis=1)


def _frames(container: av.container.InputContainer, stream: AudioStream) -> Iterator[av.AudioFrame]:
    """The sound frames in order; broken packets are passed over."""
    for packet in readable(container, [stream]):
        try:
            for frame in packet.decode():
                if isinstance(frame, av.AudioFrame) and frame.pts is not None:
                    yield frame
        except (av.error.FFmpegError, EOFError):
            continue


def write_peaks(peaks: Peaks, target: Path) -> None:
    """Write the peaks file, by a part file beside it."""
    head = _HEAD.pack(_MAGIC, _VERSION, peaks.bin_ms, len(peaks.values), 0)
    with written_whole(target) as part:
        part.write_bytes(head + peaks.values.tobytes())


def read_peaks(path: Path) -> Peaks:
    """Read a peaks file."""
    content = path.read_bytes()
    if len(content) < _HEAD.size or content[:4] != _MAGIC:
        raise BadInput("is not a peaks file", path.name, "Let it be made again.")
    _, version, bin_ms, count, _ = _HEAD.unpack_from(content)
    values = np.frombuffer(content, np.int8, offset=_HEAD.size)
    if version != _VERSION or len(values) != 2 * count:
        raise BadInput("is a broken or newer peaks file", path.name, "Let it be made again.")
    return Peaks(bin_ms, values.reshape(count, 2))
