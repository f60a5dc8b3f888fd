"""Writes the film's MP4: picture, sound, captions and chapters, the index in front.

Nothing is taken over from the recordings but coded pictures: no tags, no
handler names, no side data, so the film says nothing of where, with what or by
whom it was filmed.
"""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator, Sequence
from contextlib import suppress
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self

import av
import numpy as np
from av.audio.frame import AudioFrame
from av.audio.stream import AudioStream
from av.container import OutputContainer
from av.packet import Packet
from av.stream import Stream
from av.subtitles.codeccontext import SubtitleCodecContext
from av.video.stream import VideoStream
from numpy.typing import NDArray

from annotate.lesson.cutting import h264
from annotate.lesson.cutting.disk import disk_errors, flush_to_disk, part_of
from annotate.lesson.cutting.encode import Coding, add_picture_stream
from annotate.lesson.cutting.look import BT709, LIMITED
from annotate.lesson.cutting.pieces import SOUND_RATE_HZ, Caption, Chapter

if TYPE_CHECKING:
    from av.container.core import Chapter as FileChapter

_MS = Fraction(1, 1000)
_SOUND_FRAME = 1024
_FINE = 1 << 9  # ticks per picture are kept whole by any rate; MP4 wants a time scale of some thousands

# The caption track's encoder wants the frame of a script; only its style line matters to players.
_STYLE = (
    b"[Script Info]\r\nScriptType: v4.00+\r\n\r\n[V4+ Styles]\r\nFormat: Name, Fontname, Fontsize, PrimaryColour, "
    b"SecondaryColour, OutlineColour, BackColour, Bold, Italic, Underline, StrikeOut, ScaleX, ScaleY, Spacing, Angle, "
    b"BorderStyle, Outline, Shadow, Alignment, MarginL, MarginR, MarginV, Encoding\r\nStyle: Default,Arial,16,&Hffffff,"
    b"&Hffffff,&H0,&H0,0,0,0,0,100,100,0,0,1,1,0,2,10,10,10,0\r\n\r\n[Events]\r\nFormat: Layer, Start, End, Style, "
    b"Name, MarginL, MarginR, MarginV, Effect, Text\r\n"
)


@lru_cache(maxsize=8)
def empty_film(coding: Coding) -> bytes:
    """A film of one grey picture: its stream is the pattern for the film's, its sets are the encoder's."""
    made = io.BytesIO()
    with av.open(made, "w", format="mp4", options={"fflags": "+bitexact"}) as out:
        stream = add_picture_stream(out, coding)
        frame = av.VideoFrame.from_ndarray(
            np.full((coding.height * 3 // 2, coding.width), 128, np.uint8), format="yuv420p"
        )
        frame.pts, frame.time_base = 0, 1 / coding.rate
        out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return made.getvalue()


def encoder_sets(coding: Coding) -> h264.ParameterSets:
    """The parameter sets of everything encoded with this coding."""
    with av.open(io.BytesIO(empty_film(coding))) as pattern:
        return h264.parse_record(pattern.streams.video[0].codec_context.extradata or b"")[0]


class FilmWriter:
    """An MP4 film growing under a part name; ``finish`` gives it its own, leaving the block otherwise removes it.

    Pictures come coded, in decoding order; their numbers count film pictures in
    the order shown. ``delay`` is how many pictures decoding runs ahead at most.
    """

    def __init__(
        self,
        target: Path,
        coding: Coding,
        sets: h264.ParameterSets,
        delay: int,
        sound_bits_per_second: int,
        *,
        has_captions: bool,
        language: str = "und",
    ) -> None:
        self._target = target
        self._part = part_of(target)
        self._tick = 1 / coding.rate
        self._base = self._tick / _FINE
        self._delay = delay
        self._decoded = 0
        self._samples = 0
        self._pattern = av.open(io.BytesIO(empty_film(coding)))
        self._out: OutputContainer | None = None
        try:
            with disk_errors(target):
                options = {
                    "movflags": "+faststart",
                    "fflags": "+bitexact",
                    "video_track_timescale": _scale(coding.rate),
                }
                self._out = av.open(str(self._part), "w", format="mp4", options=options)
                self._picture = self._add_picture(sets)
                self._sound = self._add_sound(sound_bits_per_second, language)
                self._captions = self._add_captions(language) if has_captions else None
        except BaseException:
            self.__exit__(None, None, None)
            raise

    def _add_picture(self, sets: h264.ParameterSets) -> VideoStream:
        assert self._out is not None
        stream = self._out.add_stream_from_template(self._pattern.streams.video[0])
        context = stream.codec_context
        context.extradata = h264.make_record(sets)
        context.color_primaries = context.color_trc = context.colorspace = BT709
        context.color_range = LIMITED
        stream.time_base = self._tick / _FINE
        return stream

    def _add_sound(self, bits_per_second: int, language: str) -> AudioStream:
        assert self._out is not None
        stream = self._out.add_stream("aac", rate=SOUND_RATE_HZ, layout="stereo", bit_rate=bits_per_second)
        # Three times as fast as the default search, and no further from the original at this rate.
        stream.options = {"aac_coder": "fast"}
        assert isinstance(stream, AudioStream)
        stream.metadata["language"] = language
        return stream

    def _add_captions(self, language: str) -> Stream:
        assert self._out is not None
        stream: Stream = self._out.add_stream("mov_text")
        context = stream.codec_context
        assert isinstance(context, SubtitleCodecContext)
        context.subtitle_header = _STYLE
        context.time_base = stream.time_base = _MS
        stream.metadata["language"] = language
        return stream

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, _: TracebackType | None) -> None:
        self._pattern.close()
        out, self._out = self._out, None
        if out is not None:
            with suppress(av.error.FFmpegError, OSError, ValueError):  # the file goes anyway
                out.close()
        self._part.unlink(missing_ok=True)

    def name(self, title: str, chapters: Sequence[Chapter], duration_ms: int) -> None:
        """Give the film its title and chapters (settled ones); before the first picture."""
        assert self._out is not None
        if title:
            self._out.metadata["title"] = title
        marks: list[FileChapter] = []
        for number, one in enumerate(chapters):
            end = chapters[number + 1].start_ms if number + 1 < len(chapters) else duration_ms
            words = {"title": one.title}
            marks.append({"id": number, "start": one.start_ms, "end": end, "time_base": _MS, "metadata": words})
        self._out.set_chapters(marks)

    def picture(self, data: bytes, number: int, is_key: bool) -> None:
        """The next coded picture, shown as the film's picture ``number``."""
        packet = Packet(data)
        packet.pts, packet.dts = number * _FINE, (self._decoded - self._delay) * _FINE
        packet.duration, packet.time_base = _FINE, self._base
        packet.is_keyframe, packet.stream = is_key, self._picture
        self._decoded += 1
        self._mux(packet)

    @property
    def samples(self) -> int:
        """How much sound has been given."""
        return self._samples

    def sound(self, block: NDArray[np.float32]) -> None:
        """The next samples, float32 (n, 2)."""
        planes = np.ascontiguousarray(block.clip(-1, 1).T)
        frame = AudioFrame.from_ndarray(planes, format="fltp", layout="stereo")
        frame.sample_rate, frame.pts, frame.time_base = SOUND_RATE_HZ, self._samples, Fraction(1, SOUND_RATE_HZ)
        self._samples += len(block)
        for packet in self._sound.encode(frame):
            self._mux(packet)

    def caption(self, one: Caption) -> None:
        """The next text of the caption track; an empty one clears it."""
        assert self._captions is not None
        text = one.text.encode()
        packet = Packet(struct.pack(">H", len(text)) + text)  # a text sample of 3GPP TS 26.245, 5.17
        packet.pts = packet.dts = one.start_ms
        packet.duration, packet.time_base, packet.stream = one.end_ms - one.start_ms, _MS, self._captions
        self._mux(packet)

    def _mux(self, packet: Packet[Any]) -> None:
        assert self._out is not None
        with disk_errors(self._target):
            self._out.mux_one(packet)

    def finish(self) -> None:
        """Close the file, wait until it is on the disk, and give it its name."""
        assert self._out is not None
        with disk_errors(self._target):
            for packet in self._sound.encode(None):
                self._out.mux_one(packet)
            out, self._out = self._out, None
            out.close()
            flush_to_disk(self._part)
            self._part.replace(self._target)


def _scale(rate: Fraction) -> str:
    """Ticks of the picture track's clock per second: whole ticks for every picture."""
    return str(rate.numerator * max(1, -(-10_000 // rate.numerator)) if rate.numerator < 10_000 else rate.numerator)


def caption_samples(captions: Sequence[Caption], duration_ms: int) -> Iterator[Caption]:
    """The caption track without holes: texts in order, none overlapping, with empty ones between."""
    starts = sorted((one for one in captions if one.text.strip()), key=lambda one: one.start_ms)
    at = 0
    last = Caption(duration_ms, duration_ms, "")
    for one, following in pairwise([*starts, last]):
        start, end = max(one.start_ms, at), min(one.end_ms, following.start_ms, duration_ms)
        if end <= start:
            continue
        if start > at:
            yield Caption(at, start, "")
        yield Caption(start, end, one.text.strip())
        at = end
    if at < duration_ms:
        yield Caption(at, duration_ms, "")
