"""The contact sheet: small upright pictures, evenly spread over the recording, in one JPEG, and their times.

Beside ``name.jpg`` lies ``name.json``::

    {"tile_width": 160, "tile_height": 90, "columns": 10, "times_ms": [...]}

Each picture's time is its own, on the recording's clock; it is the one nearest
to where it should be that can be had without decoding much: a key picture in
long recordings, an exact one in short ones.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from fractions import Fraction
from pathlib import Path

import av
from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.stream import VideoStream
from PIL import Image

from annotate import timecode
from annotate.errors import BadInput, Cancelled
from annotate.intake.fingerprint import never, nothing
from annotate.intake.opening import open_media
from annotate.intake.packets import readable
from annotate.intake.parts import written_whole
from annotate.model import Probe

TILE_WIDTH = 160
TILE_HEIGHT = 160
COLUMNS = 10
MOST_PICTURES = 100
EVERY_MS = 2000
QUALITY = 80
# Key pictures of phones and cameras come every 0.5 to 10 s: above this spacing the nearest one is near enough.
KEY_ONLY_MS = 10_000
MOST_DECODED = 300
_TURN_BACK = {
    90: Image.Transpose.ROTATE_270,
    180: Image.Transpose.ROTATE_180,
    270: Image.Transpose.ROTATE_90,
}


@dataclass(frozen=True)
class Sheet:
    """Where which moment is: tile ``n`` is in row ``n // columns``, column ``n % columns``."""

    tile_width: int
    tile_height: int
    columns: int
    times_ms: tuple[int, ...]


def write_sheet(
    path: Path,
    probed: Probe,
    target: Path,
    progress: Callable[[float], None] = nothing,
    cancelled: Callable[[], bool] = never,
) -> Sheet:
    """Write the sheet to ``target`` (.jpg) and its times beside it (.json).

    Where there is a playable copy, give that one and its own probe: its colours
    are those of an ordinary screen, and its clock is the recording's.
    """
    if probed.picture_stream is None:
        raise BadInput("has no picture", path.name, "A contact sheet needs one.")
    count = picture_count(probed.duration_ms)
    width, height = tile_size(probed.width, probed.height)
    tiles: list[tuple[int, Image.Image]] = []
    for at_ms, picture in _pictures(path, probed, count, (width, height)):
        if cancelled():
            raise Cancelled("making the contact sheet was stopped", path.name)
        if not tiles or at_ms > tiles[-1][0]:
            tiles.append((at_ms, picture))
        progress(min(1.0, (at_ms + 1) / probed.duration_ms))
    columns = min(COLUMNS, max(1, len(tiles)))
    whole = Image.new("RGB", (columns * width, -(-max(1, len(tiles)) // columns) * height))
    for number, (_, picture) in enumerate(tiles):
        whole.paste(picture, (number % columns * width, number // columns * height))
    sheet = Sheet(width, height, columns, tuple(at_ms for at_ms, _ in tiles))
    _write(sheet, whole, target)
    progress(1.0)
    return sheet


def picture_count(duration_ms: int) -> int:
    """One every two seconds, at least one, at most a hundred."""
    return min(MOST_PICTURES, max(1, duration_ms // EVERY_MS))


def tile_size(width: int, height: int) -> tuple[int, int]:
    """Width and height of a tile: the picture's shape inside 160 by 160."""
    scale = min(Fraction(TILE_WIDTH, width), Fraction(TILE_HEIGHT, height))
    return max(1, round(width * scale)), max(1, round(height * scale))


def _pictures(path: Path, probed: Probe, count: int, size: tuple[int, int]) -> Iterator[tuple[int, Image.Image]]:
    spacing_ms = Fraction(probed.duration_ms, count)
    with open_media(path) as container:
        stream = container.streams[probed.picture_stream or 0]
        if not isinstance(stream, VideoStream):
            raise BadInput("has no picture", path.name, "A contact sheet needs one.")
        stream.thread_type = "AUTO"
        only_keys = spacing_ms >= KEY_ONLY_MS
        for number in range(count):
            wanted_s = probed.origin + spacing_ms * (2 * number + 1) / 2000
            frame = _near(container, stream, wanted_s, only_keys)
            if frame is not None and frame.pts is not None and stream.time_base is not None:
                at_ms = timecode.from_seconds(frame.pts * stream.time_base - probed.origin)
                yield max(0, at_ms), _upright(frame, probed.rotation, size)


def _near(container: InputContainer, stream: VideoStream, wanted_s: Fraction, only_keys: bool) -> VideoFrame | None:
    """The picture shown at this file time, or the key picture before it; None if nothing there decodes."""
    base = stream.time_base or Fraction(1, 1000)
    wanted = round(wanted_s / base)
    try:
        container.seek(wanted, stream=stream, backward=True)
    except (av.error.FFmpegError, OSError):
        return None
    found = None
    for count, frame in enumerate(_frames(container, stream)):
        if frame.pts is None:
            continue
        if found is not None and frame.pts > wanted:
            break
        found = frame
        if only_keys or count >= MOST_DECODED:
            break
    return found


def _frames(container: InputContainer, stream: VideoStream) -> Iterator[VideoFrame]:
    for packet in readable(container, [stream]):
        try:
            for frame in packet.decode():
                if isinstance(frame, VideoFrame):
                    yield frame
        except (av.error.FFmpegError, EOFError):
            continue


def _upright(frame: VideoFrame, rotation: int, size: tuple[int, int]) -> Image.Image:
    """The picture small and upright; it is turned by the probe's own number, whatever a library does by itself."""
    stored = (size[1], size[0]) if rotation in (90, 270) else size
    small = frame.reformat(width=stored[0], height=stored[1], format="rgb24", interpolation="AREA")
    picture = Image.fromarray(small.to_ndarray())
    return picture.transpose(_TURN_BACK[rotation]) if rotation else picture


def _write(sheet: Sheet, whole: Image.Image, target: Path) -> None:
    with written_whole(target) as picture, written_whole(target.with_suffix(".json")) as times:
        whole.save(picture, "JPEG", quality=QUALITY, optimize=True)
        times.write_text(json.dumps(asdict(sheet)), encoding="utf-8")
