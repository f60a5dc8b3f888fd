"""Encodes film pictures to H.264, one short film of its own per stretch of pictures.

x264 runs with ``stitchable`` headers, so every stretch of one ``Coding`` has
the same parameter sets and stretches can be joined without a seam.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import av
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from annotate.errors import Cancelled
from annotate.lesson.cutting.disk import disk_errors, part_of
from annotate.lesson.cutting.look import BT709, LIMITED

KEY_EVERY_S = 2  # a player can jump to these


@dataclass(frozen=True)
class Coding:
    """How pictures are encoded. ``sets_id`` is the id of its parameter sets (0..31)."""

    width: int
    height: int
    rate: Fraction
    crf: int
    preset: str
    sets_id: int
    b_pictures: int = 2

    @property
    def options(self) -> dict[str, str]:
        # High 4:2:0 is the most that every browser plays.
        extra = f"annexb=0:stitchable=1:open-gop=0:b-pyramid=none:sps-id={self.sets_id}:force-cfr=1"
        return {
            "preset": self.preset,
            "crf": str(self.crf),
            "profile": "high",
            "bf": str(self.b_pictures),
            "x264-params": extra,
        }


def add_picture_stream(out: av.container.OutputContainer, coding: Coding) -> VideoStream:
    """The stream of a container that encodes so."""
    stream = out.add_stream("libx264", rate=coding.rate, options=coding.options)
    assert isinstance(stream, VideoStream)
    stream.width, stream.height, stream.pix_fmt = coding.width, coding.height, "yuv420p"
    context = stream.codec_context
    context.time_base = 1 / coding.rate
    context.gop_size = max(1, round(KEY_EVERY_S * coding.rate))
    context.color_primaries = context.color_trc = context.colorspace = BT709
    context.color_range = LIMITED
    return stream


def encode_stretch(
    frames: Iterable[VideoFrame],
    coding: Coding,
    target: Path,
    step: Callable[[], None],
    cancelled: Callable[[], bool],
) -> None:
    """Write the pictures, one after another at the film's rate, as an MP4 file under ``target``."""
    part = part_of(target)
    try:
        with disk_errors(target), av.open(str(part), "w", format="mp4", options={"fflags": "+bitexact"}) as out:
            stream = add_picture_stream(out, coding)
            for number, frame in enumerate(frames):
                if cancelled():
                    raise Cancelled("The film was stopped before it was done", target.name, "Start it again any time.")
                frame.pts, frame.time_base, frame.pict_type = number, 1 / coding.rate, 0
                out.mux(stream.encode(frame))
                step()
            out.mux(stream.encode(None))
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)
