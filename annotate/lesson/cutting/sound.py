"""The film's sound: 48 kHz stereo, each piece cut, resampled and faded to the sample.

Arrays are float32 (samples, 2), full scale 1. Sample ``n`` of a piece is the
file time ``start + n * speed / 48000``; where the recording has no sound there
is silence, so the picture's clock rules and nothing drifts.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import av
import numpy as np
from av.audio.frame import AudioFrame
from av.audio.resampler import AudioResampler
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.filter import Graph
from numpy.typing import NDArray

from annotate.lesson.cutting import source
from annotate.lesson.cutting.peaks import held_back
from annotate.lesson.cutting.pieces import SOUND_RATE_HZ, Piece, Placed, SourcePiece

Samples = NDArray[np.float32]

BLOCK_SAMPLES = 1 << 15
_LEAD_S = Fraction(1, 4)  # decoders and resamplers need some sound before they are right
# libavfilter's atempo brings what it makes faster this much times (1 - 1/speed) too early: measured at 2 to 8 times.
_EARLY_S = Fraction(31, 2000)
_SETTLE_S = Fraction(1, 10)  # of what it makes is left out at the start, until it has found its step
_GAP_S = Fraction(1, 50)  # timestamps may tremble by less than this without being a hole


def piece_sound(
    shelf: source.Shelf, piece: Piece, placed: Placed, fades: tuple[bool, bool] = (True, True)
) -> Iterator[Samples]:
    """A piece's sound in blocks, exactly ``placed.samples`` long; ``fades`` say which ends come and go softly."""
    total = placed.samples
    if not isinstance(piece, SourcePiece) or not piece.has_sound:
        yield from silence(total)
        return
    gain = np.float32(10 ** ((piece.gain_db or 0.0) / 20))
    ramp = _ramp(round(piece.fade_ms * SOUND_RATE_HZ / 1000), total)
    done = 0
    louder = (block * gain for block in _exactly(total, _changed(shelf, piece, placed)))
    for block in louder if piece.ceiling_db is None else held_back(louder, piece.ceiling_db):
        if fades[0]:
            _multiply(block, ramp, -done)
        if fades[1]:
            _multiply(block, ramp[::-1], total - len(ramp) - done)
        done += len(block)
        yield block


def silence(total: int) -> Iterator[Samples]:
    """So many samples of nothing."""
    while total > 0:
        yield np.zeros((min(total, BLOCK_SAMPLES), 2), np.float32)
        total -= BLOCK_SAMPLES


def _ramp(samples: int, total: int) -> Samples:
    """Rises from 0 to 1 as a raised cosine; at most half as long as the piece."""
    samples = max(0, min(samples, total // 2))
    return (0.5 - 0.5 * np.cos(np.pi * (np.arange(samples) + 0.5) / max(samples, 1))).astype(np.float32)[:, None]


def _multiply(block: Samples, ramp: Samples, offset: int) -> None:
    """Multiply the part of ``block`` that the ramp, which begins at its sample ``offset``, covers."""
    start, end = max(0, offset), min(len(block), offset + len(ramp))
    if start < end:
        block[start:end] *= ramp[start - offset : end - offset]


def _exactly(total: int, blocks: Iterator[Samples]) -> Iterator[Samples]:
    """The blocks cut, or filled up with silence, to ``total`` samples."""
    left = total
    for block in blocks:
        if left <= 0:
            return
        if len(block):
            yield block[:left]
            left -= len(block[:left])
    yield from silence(left)


def _changed(shelf: source.Shelf, piece: SourcePiece, placed: Placed) -> Iterator[Samples]:
    """The piece's sound at its speed, with its pitch kept."""
    if piece.speed == 1:
        yield from read_sound(shelf, piece, placed.source_start)
        return
    early = _EARLY_S * max(piece.speed - 1, Fraction(0)) + _SETTLE_S * piece.speed
    left_out = round(_SETTLE_S * SOUND_RATE_HZ)
    for block in _at_speed(read_sound(shelf, piece, placed.source_start - early), piece.speed):
        if len(block) > left_out:
            yield block[left_out:]
        left_out = max(0, left_out - len(block))


def _at_speed(plain: Iterator[Samples], speed: Fraction) -> Iterator[Samples]:
    graph = _tempo(speed)
    ticks = 0
    for block in plain:
        graph.push(frame_of(block, ticks))
        ticks += len(block)
        yield from _pulled(graph)
    graph.push(None)
    yield from _pulled(graph)


def _tempo(speed: Fraction) -> Graph:
    graph = Graph()
    steps, left = [], float(speed)
    while left > 2.0 or left < 0.5:  # within this range the filter skips nothing and sounds best
        step = 2.0 if left > 1 else 0.5
        steps.append(step)
        left /= step
    start = graph.add_abuffer(format="fltp", sample_rate=SOUND_RATE_HZ, layout="stereo")
    tempos = [graph.add("atempo", f"{step:.9f}") for step in (*steps, left)]
    ends = graph.add("aformat", "sample_fmts=fltp"), graph.add("abuffersink")
    graph.link_nodes(start, *tempos, *ends).configure()
    return graph


def frame_of(block: Samples, ticks: int) -> AudioFrame:
    """A block of the film's sound as a frame that begins after so many samples."""
    frame = AudioFrame.from_ndarray(np.ascontiguousarray(block.T), format="fltp", layout="stereo")
    frame.sample_rate, frame.pts, frame.time_base = SOUND_RATE_HZ, ticks, Fraction(1, SOUND_RATE_HZ)
    return frame


def _pulled(graph: Graph) -> Iterator[Samples]:
    while True:
        try:
            made = graph.pull()
        except (av.error.BlockingIOError, av.error.EOFError):
            return
        assert isinstance(made, AudioFrame)
        yield np.ascontiguousarray(made.to_ndarray().T, np.float32)


def read_sound(shelf: source.Shelf, piece: SourcePiece, start: Fraction) -> Iterator[Samples]:
    """The recording's sound from file time ``start`` on, as 48 kHz stereo without holes, to its end."""
    container, stream = shelf.take(piece.path, "sound", piece.probe.sound_stream or 0)
    assert isinstance(stream, AudioStream)
    given = 0  # samples since ``start``
    for at_sample, block in _runs(container, stream, start):
        begin = at_sample - given
        if begin > 0:
            yield from silence(begin)
            given += begin
        block = block[max(0, -begin) :]
        if len(block):
            yield block
            given += len(block)


def _runs(container: InputContainer, stream: AudioStream, start: Fraction) -> Iterator[tuple[int, Samples]]:
    """Resampled blocks with the place (samples since ``start``) where each belongs."""
    place, began, counted = 0, Fraction(0), 0  # where the next block belongs; the run's start and length so far
    resampler: AudioResampler | None = None
    for time, frame in _frames(container, stream, start - _LEAD_S):
        if resampler is None or abs(time - began - Fraction(counted, frame.sample_rate)) > _GAP_S:
            for block in _resampled(resampler, None):
                yield place, block
                place += len(block)
            resampler = AudioResampler(format="fltp", layout=_layout_for(frame), rate=SOUND_RATE_HZ)
            place = round((time - start) * SOUND_RATE_HZ)
            began, counted = time, 0
        counted += frame.samples
        for block in _resampled(resampler, frame):
            yield place, block
            place += len(block)
    for block in _resampled(resampler, None):
        yield place, block
        place += len(block)


def _frames(container: InputContainer, stream: AudioStream, at: Fraction) -> Iterator[tuple[Fraction, AudioFrame]]:
    """Decoded sound with its file times, from a little before ``at``."""
    source.seek(container, stream, at)
    context = stream.codec_context
    context.flush_buffers()
    for packet in source.readable(container, stream):
        try:
            frames = context.decode(packet)
        except (av.error.InvalidDataError, EOFError):
            continue
        for frame in frames:
            if frame.pts is not None and frame.time_base is not None and frame.samples:
                yield frame.pts * frame.time_base, frame


def _resampled(resampler: AudioResampler | None, frame: AudioFrame | None) -> Iterator[Samples]:
    if resampler is None:
        return
    if frame is not None:
        frame = _with_known_layout(frame)
        frame.pts = None  # places are counted here; the resampler must not fill or drop
    for made in resampler.resample(frame):
        block = np.ascontiguousarray(made.to_ndarray().T, np.float32)
        # One channel goes to both sides as loud as it was, as players do it.
        yield np.repeat(block, 2, axis=1) if block.shape[1] == 1 else block


def _layout_for(frame: AudioFrame) -> str:
    return "mono" if frame.layout.nb_channels == 1 else "stereo"


def _with_known_layout(frame: AudioFrame) -> AudioFrame:
    """The frame itself, or its first two channels where the file does not say where its channels belong."""
    count = frame.layout.nb_channels
    if count <= 2 or not frame.layout.name.endswith("channels"):
        return frame
    values = frame.to_ndarray()
    planar = values if frame.format.is_planar else values.reshape(-1, count).T
    name = frame.format.name if frame.format.is_planar else f"{frame.format.name}p"
    made = AudioFrame.from_ndarray(np.ascontiguousarray(planar[:2]), format=name, layout="stereo")  # type: ignore[arg-type]
    made.sample_rate = frame.sample_rate
    return made
