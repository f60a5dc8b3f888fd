"""Reads off a media file what the rest of the house needs to know: streams, clock, size, rate.

The clock: its zero (``Probe.origin``) is the earliest start of the picture and
sound streams in use, in seconds of file time, after whatever a decoder drops
at the front (AAC priming, edit lists). A moment of the recording is
``file time - origin`` for pictures, sound and words alike.

``Probe.rotation`` is how far the stored picture must be turned clockwise to
stand upright; ``width`` and ``height`` are those of the upright picture with
square pixels.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from fractions import Fraction
from itertools import islice
from pathlib import Path

import av
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.stream import Disposition
from av.stream import Stream as FileStream
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from annotate import model, timecode
from annotate.errors import BadInput, NotMedia
from annotate.intake import packets, plays, segment
from annotate.intake.opening import check_file, not_media, open_media

# ITU-T H.273 code points, table 3 (transfer) and table 2 (primaries).
_HDR_TRANSFERS = {16, 18}  # SMPTE ST 2084 (PQ), ARIB STD-B67 (HLG)
_BT2020 = 9
_KINDS = {"video": "picture", "audio": "sound", "subtitle": "text"}
_EARLIEST_YEAR = 1980  # before: a camera whose clock was never set
_STATED_LENGTH = ("mkv", "webm", "avi")  # what they state is written down, not guessed from the size
_SHORT_S = 2  # a stated length that ends this much later than the last packet is more than rounding
_FEW_BYTES = 100_000  # less is lost in rounding to tenths of a megabyte
_TRIES = 200  # packets to look at for a first picture or sound


@dataclass(frozen=True)
class _Picture:
    """What the first picture of the stream in use says (plain values: the stream dies with its container)."""

    index: int
    width: int
    height: int
    rotation: int
    is_hdr: bool


def probe(path: Path, sound_stream: int | None = None) -> model.Probe:
    """What the file holds; ``sound_stream`` is the maker's choice among several sound tracks.

    Raises
    ------
    Missing, BadInput, NotMedia, Unfinished
        In one sentence each, see ``errors``.
    """
    size = check_file(path)
    picture = _first_picture(path)
    sound = _choose_sound(path, sound_stream)
    with open_media(path) as container:
        indexes = [index for index in (picture.index if picture else None, sound) if index is not None]
        used = [
            one for one in map(container.streams.__getitem__, indexes) if isinstance(one, VideoStream | AudioStream)
        ]
        states_length = container.duration is not None
        spans = packets.measure(container, used, size)
        if not spans:
            raise not_media(path)
        _refuse_still(path, picture, sound, spans)
        probed = _assemble(path, container, picture, sound, spans, states_length)
        return replace(probed, cut_short=_cut_short(path, container, probed, size))


def _assemble(
    path: Path,
    container: InputContainer,
    picture: _Picture | None,
    sound: int | None,
    spans: dict[int, packets.Span],
    states_length: bool,
) -> model.Probe:
    origin = min(span.start for span in spans.values())
    end = max(span.end for span in spans.values())
    streams = tuple(_describe(one, spans.get(one.index)) for one in container.streams)
    by_index = {one.index: one for one in streams}
    picture_span = spans.get(picture.index) if picture else None
    rate = packets.constant_rate(picture_span) if picture_span else None
    is_hdr = picture is not None and picture.is_hdr
    kind = _container(path, container)
    why = plays.reasons(
        plays.Facts(
            kind,
            by_index[picture.index] if picture else None,
            by_index[sound] if sound is not None else None,
            sum(one.kind == "sound" for one in streams),
            origin,
            states_length,
            is_hdr,
        )
    )
    return model.Probe(
        container=kind,
        duration_ms=max(1, timecode.from_seconds(end - origin)),
        origin=origin,
        streams=streams,
        picture_stream=picture.index if picture else None,
        sound_stream=sound,
        width=picture.width if picture else 0,
        height=picture.height if picture else 0,
        rotation=picture.rotation if picture else 0,
        rate=rate,
        is_variable_rate=picture is not None and rate is None,
        is_hdr=is_hdr,
        needs_playable=bool(why),
        recorded_at=_recorded_at(container),
        why_playable="; ".join(why),
    )


def _cut_short(path: Path, container: InputContainer, probed: model.Probe, size: int) -> str:
    """What is missing at the end of a file that can be used all the same; empty for a whole one.

    The stated length counts only where every stream is in use: a subtitle may outlast picture and sound.
    """
    with path.open("rb") as file:
        missing = segment.missing_bytes(file, size)
    if 0 < missing < _FEW_BYTES:
        return f"its last {missing} bytes are missing"
    if missing:
        return f"only the first {size / 1e6:.1f} of {(size + missing) / 1e6:.1f} MB are there"
    in_use = {probed.picture_stream, probed.sound_stream} - {None}
    if probed.container not in _STATED_LENGTH or container.duration is None or len(in_use) < len(probed.streams):
        return ""
    stated_ms = container.duration // 1000
    end_ms = probed.duration_ms + timecode.from_seconds(max(Fraction(0), probed.origin))
    if stated_ms - end_ms < _SHORT_S * 1000:
        return ""
    return f"it should last {timecode.clock(stated_ms)}, and {timecode.clock(end_ms)} are there"


def _default_first(streams: Iterable[FileStream]) -> list[int]:
    """Indexes of the streams: those flagged default first, then in the file's order."""
    return [
        one.index for one in sorted(streams, key=lambda one: (not one.disposition & Disposition.default, one.index))
    ]


def _first_picture(path: Path) -> _Picture | None:
    """The first picture of the picture stream in use (never a cover), or None."""
    covers = Disposition.attached_pic | Disposition.timed_thumbnails | Disposition.still_image
    with open_media(path) as container:
        order = _default_first(one for one in container.streams.video if not one.disposition & covers)
    for index in order:
        with open_media(path) as container:
            stream = container.streams[index]
            frame = _first_frame(container, stream)
            if isinstance(stream, VideoStream) and isinstance(frame, VideoFrame) and frame.width and frame.height:
                return _Picture(index, *_upright(stream, frame), _is_hdr(stream, frame))
    return None


def _choose_sound(path: Path, wanted: int | None) -> int | None:
    """The wanted sound stream, else the first that decodes (default flag first); None without sound."""
    with open_media(path) as container:
        order = _default_first(container.streams.audio)
    if wanted is not None:
        if wanted in order:
            return wanted
        have = ", ".join(map(str, sorted(order))) or "none"
        raise BadInput(f"has no sound track {wanted}", path.name, f"Its sound tracks are: {have}.")
    for index in order:
        with open_media(path) as container:
            if _first_frame(container, container.streams[index]) is not None:
                return index
    return None


def _first_frame(container: InputContainer, stream: FileStream) -> object | None:
    """The first frame that decodes within the first packets, or None: broken packets are passed over."""
    if not isinstance(stream, VideoStream | AudioStream):
        return None
    for packet in islice(packets.readable(container, [stream]), _TRIES):
        try:
            for frame in packet.decode():
                return frame
        except (av.error.FFmpegError, EOFError):
            continue
    return None


def _refuse_still(path: Path, picture: _Picture | None, sound: int | None, spans: dict[int, packets.Span]) -> None:
    """A file with one picture and no sound is a still picture, whatever its name."""
    if picture and sound is None and len(spans[picture.index].ticks) <= 1:
        raise NotMedia("holds a single picture", path.name, "Add a film or a sound file.")


def _describe(one: FileStream, span: packets.Span | None) -> model.Stream:
    """A stream in our own words; its start is the measured one where it was measured."""
    language = one.metadata.get("language", "")
    rate, channels, pixel_format = None, 0, ""
    if isinstance(one, VideoStream):
        rate, pixel_format = one.average_rate, one.codec_context.pix_fmt or ""
    elif isinstance(one, AudioStream):
        rate, channels = Fraction(one.rate), one.channels
    return model.Stream(
        index=one.index,
        kind=_KINDS.get(one.type, "other"),
        codec=_codec(one),
        start=span.start if span else (one.start_time or 0) * (one.time_base or Fraction(1)),
        rate=rate,
        channels=channels,
        pixel_format=pixel_format,
        language="" if language == "und" else language,
        title=_title(one),
        is_default=bool(one.disposition & Disposition.default),
    )


def _title(one: FileStream) -> str:
    """The track's name, unless it is only what the writing program calls every track."""
    words = one.metadata
    given = words.get("title") or words.get("name")
    handler = words.get("handler_name", "")
    return given or ("" if "handler" in handler.lower() or "core media" in handler.lower() else handler)


def _codec(one: FileStream) -> str:
    """The codec's common name; decoders have longer ones (mp3float, libdav1d)."""
    name = one.codec_context.codec.canonical_name if one.codec_context is not None else ""
    return str(name)


def _container(path: Path, container: InputContainer) -> str:
    """Our short name: mp4, mov, webm, mkv, or FFmpeg's own."""
    name = container.format.name
    if name.startswith("mov"):
        return "mov" if container.metadata.get("major_brand", "qt").strip() == "qt" else "mp4"
    if name.startswith("matroska"):
        with path.open("rb") as file:
            return "webm" if b"webm" in file.read(64) else "mkv"
    return name


def _upright(stream: VideoStream, frame: VideoFrame) -> tuple[int, int, int]:
    """Width and height as shown, and the clockwise turn (0, 90, 180, 270) that gets there."""
    turn = round(-frame.rotation / 90) * 90 % 360  # the display matrix counts counter-clockwise
    ratio = stream.sample_aspect_ratio or Fraction(1)
    width, height = round(frame.width * ratio), frame.height
    return (height, width, turn) if turn in (90, 270) else (width, height, turn)


def _is_hdr(stream: VideoStream, frame: VideoFrame) -> bool:
    """Whether colours must be mapped before an ordinary screen shows them right."""
    context = stream.codec_context
    transfers = {int(context.color_trc), int(frame.color_trc)}
    return bool(transfers & _HDR_TRANSFERS) or _BT2020 in (int(context.color_primaries), int(frame.color_primaries))


def _recorded_at(container: InputContainer) -> str | None:
    """When the camera says it was filmed, as ISO 8601, or the day alone; None for a clock that was never set."""
    words = {key.lower(): value for key, value in container.metadata.items()}
    for key in ("com.apple.quicktime.creationdate", "creation_time", "date"):
        told = words.get(key, "")
        try:
            moment = datetime.fromisoformat(told)
        except ValueError:
            continue
        if moment.year < _EARLIEST_YEAR:
            continue
        if len(told) <= len("2026-03-14"):
            return moment.date().isoformat()
        if moment.tzinfo is None:
            return moment.isoformat(timespec="seconds")
        return moment.astimezone(UTC).isoformat(timespec="seconds")
    return None
