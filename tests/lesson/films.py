"""Sources and readers for the tests of cutting."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray

from annotate.intake.probe import probe
from annotate.lesson.cutting.pieces import SourcePiece
from tests import media

NOISE = "aevalsrc='0.3*sin(2*PI*440*t)':s=48000"


def piece(path: Path, start_ms: int, end_ms: int, **told: object) -> SourcePiece:
    """A piece of a recording, probed."""
    return SourcePiece(path, start_ms, end_ms, probe(path), **told)  # type: ignore[arg-type]


def lead_ms(path: Path) -> int:
    """When the first picture is shown, on the recording's clock: later than 0 where the sound begins first."""
    found = probe(path)
    start = next(one.start for one in found.streams if one.index == found.picture_stream)
    return round((start - found.origin) * 1000)


@cache
def numbered(
    name: str,
    *coding: str,
    count: int = 300,
    rate: Fraction = Fraction(30),
    before: tuple[str, ...] = (),
    sound: str = NOISE,
) -> Path:
    """Pictures that carry their number, coded as told, with sound of the same length."""
    plain = media.numbered(
        f"plain-{count}-{rate.numerator}-{rate.denominator}.mp4",
        range(count),
        [n / rate for n in range(count)],
        1 / rate,
    )
    length = str(float(count / rate))
    inputs = (*before, "-i", str(plain), *before, "-f", "lavfi", "-t", length, "-i", sound)
    return media.make(name, *inputs, *(coding or ("-c:v", "copy")), "-c:a", "aac")


@cache
def with_b_pictures() -> Path:
    """10 s, closed groups of 30, B pictures in a pyramid, BT.709: what may be copied."""
    return numbered("b-pictures.mp4", *x264(gop=30))


@cache
def long_group() -> Path:
    """One keyframe for all ten seconds."""
    return numbered("long-group.mp4", *x264(gop=600))


@cache
def open_groups() -> Path:
    """Pictures before a keyframe that need what lies before it."""
    return numbered("open-groups.mp4", *x264(gop=30, more="open-gop=1"))


def x264(gop: int, more: str = "open-gop=0") -> tuple[str, ...]:
    """Options for H.264 with three B pictures in BT.709."""
    params = f"keyint={gop}:min-keyint={gop}:scenecut=0:bframes=3:b-adapt=0:b-pyramid=normal:{more}"
    colours = ("-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", "-color_range", "tv")
    # Tagging is not converting: the filter turns the plain file's matrix first.
    turn = ("-vf", "scale=in_color_matrix=bt601:out_color_matrix=bt709")
    return (*turn, "-c:v", "libx264", "-preset", "veryfast", "-crf", "16", "-x264-params", params, *colours)


def numbers(path: Path) -> list[int]:
    """The numbers that the film's pictures carry, in the order shown."""
    with av.open(str(path)) as film:
        return [media.read_number(frame.to_ndarray(format="rgb24")) for frame in film.decode(video=0)]


def times(path: Path) -> list[Fraction]:
    """The film's picture times in seconds."""
    with av.open(str(path)) as film:
        return [frame.pts * frame.time_base for frame in film.decode(video=0)]


def stereo(path: Path) -> NDArray[np.float32]:
    """The film's sound as a player gives it: float32 (samples, 2) from film time 0, edit lists applied."""
    blocks, at = [], 0
    with av.open(str(path)) as film:
        for frame in film.decode(audio=0):
            place = round(frame.pts * frame.time_base * frame.sample_rate)
            if place > at:
                blocks.append(np.zeros((place - at, 2), np.float32))
            blocks.append(frame.to_ndarray().T[max(0, at - place) :])
            at = max(at, place + frame.samples)
    return np.concatenate(blocks)


def onset_s(samples: NDArray[np.float32], start: float, end: float, level: float = 0.1) -> float:
    """When the sound first passes ``level`` between two times (seconds)."""
    part = np.abs(samples[round(start * 48000) : round(end * 48000), 0])
    return start + float(np.argmax(part > level)) / 48000
