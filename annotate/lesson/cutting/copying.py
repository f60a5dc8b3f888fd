"""Finds the pictures of a recording that can go into the film as they are, bit for bit.

A group of pictures begins with an IDR picture and needs nothing before it
(ITU-T H.264, 7.4.1.2.4). Whole groups are copied; of the group in which a clip
ends, the longest beginning (in decoding order) that shows a run of pictures
without holes. Only what is left between is encoded.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from av.video.stream import VideoStream

from annotate.lesson.cutting import h264, look, source
from annotate.lesson.cutting.pieces import FilmPlan, Piece, Placed, SourcePiece
from annotate.lesson.cutting.stretch import Stretch

_PROGRESSIVE = ("progressive", "unknown", "0", "1")
_LENGTH_SIZE = 4


@dataclass(frozen=True)
class Header:
    """What a recording's stream header must say for its pictures to be copied."""

    sets: h264.ParameterSets
    length_size: int


def header_of(shelf: source.Shelf, piece: Piece, placed: Placed, plan: FilmPlan) -> Header | None:
    """The header of the piece's recording, if its pictures fit the film as they are; else None."""
    if not isinstance(piece, SourcePiece) or not piece.has_picture or not placed.is_even or piece.speed != 1:
        return None
    probe = piece.probe
    if (
        piece.stage is not None
        or probe.rotation
        or probe.is_hdr
        or (probe.width, probe.height) != (plan.width, plan.height)
    ):
        return None
    _, stream = source.picture_stream(shelf, piece.path, probe, "index")
    context = stream.codec_context
    if context.codec.canonical_name != "h264" or not _looks_like_the_film(stream, plan):
        return None
    try:
        sets, length_size = h264.parse_record(context.extradata or b"")
    except (ValueError, IndexError):
        return None
    is_plain = all(one[1] in h264.PROFILES for one in sets.sequence) and length_size == _LENGTH_SIZE
    return Header(sets, length_size) if is_plain else None


def _looks_like_the_film(stream: VideoStream, plan: FilmPlan) -> bool:
    context = stream.codec_context
    shape = look.Shape(
        width=context.width,
        height=context.height,
        pixel_format=context.pix_fmt or "",
        turn=0,
        aspect=stream.sample_aspect_ratio or Fraction(1),
        matrix=int(context.colorspace),
        transfer=int(context.color_trc),
        primaries=int(context.color_primaries),
        range=int(context.color_range),
        is_interlaced=str(context.field_order).lower() not in _PROGRESSIVE,
    )
    return look.fits_already(shape, plan.width, plan.height)


@dataclass(frozen=True)
class _Packet:
    number: int  # the picture's place in the piece; below 0 before its start
    dts: int
    is_idr: bool


def copies(
    shelf: source.Shelf, piece: SourcePiece, placed: Placed, header: Header, free: Sequence[tuple[int, int]]
) -> list[Stretch]:
    """What can be copied inside the ``free`` ranges of the piece (film pictures, counted in the piece)."""
    packets = _scan(shelf, piece, placed, header)
    if packets is None:
        return []
    starts = [at for at, one in enumerate(packets) if one.is_idr] + [len(packets)]
    groups = [packets[start:end] for start, end in pairwise(starts)]
    made = []
    for first, end in free:
        for run in _runs(groups, first, end):
            made.append(_stretch(piece, placed, header, run))
    return made


def _scan(shelf: source.Shelf, piece: SourcePiece, placed: Placed, header: Header) -> list[_Packet] | None:
    """The packets that the piece shows, in decoding order; None if they cannot be counted or decoded apart."""
    container, stream = source.picture_stream(shelf, piece.path, piece.probe, "index")
    end = placed.source_start + placed.pictures / placed.rate
    base = stream.time_base or Fraction(1)
    last_dts = end / base
    place = source.Counter(base, placed.source_start, placed.rate)
    found: list[_Packet] = []
    for packet in source.packets_from(container, stream, placed.source_start):
        if packet.pts is None or packet.dts is None:
            return None
        if packet.dts >= last_dts:
            break
        number, is_near = place(packet.pts)
        if not is_near:
            return None  # the rate is not as constant as it was said to be
        is_idr = False
        if packet.is_keyframe:
            units = list(h264.split(bytes(packet), header.length_size))
            if not _has_only(units, header.sets):
                return None
            is_idr = any(h264.nal_type(unit) == h264.IDR for unit in units)
        found.append(_Packet(number, packet.dts, is_idr and not packet.is_discard))
    return found


def _has_only(units: Sequence[bytes], sets: h264.ParameterSets) -> bool:
    """Whether parameter sets among the units are those of the header."""
    known = {h264.SPS: sets.sequence, h264.PPS: sets.picture}
    return all(unit in known[h264.nal_type(unit)] for unit in units if h264.nal_type(unit) in known)


def _runs(groups: Sequence[list[_Packet]], first: int, end: int) -> list[list[_Packet]]:
    """Runs of packets inside ``[first, end)`` that show pictures without holes, each from an IDR picture on."""
    runs: list[list[_Packet]] = []
    expected = None
    for group in groups:
        if group[0].number < first:
            expected = None
            continue
        taken = group[: _whole_beginning(group, end)]
        if not taken:
            break
        if expected == group[0].number:
            runs[-1].extend(taken)
        else:
            runs.append(list(taken))
        expected = group[0].number + len(taken) if len(taken) == len(group) else None
    return runs


def _whole_beginning(group: Sequence[_Packet], end: int) -> int:
    """How many packets of the group, from its first on, show consecutive pictures before ``end``."""
    best, latest = 0, group[0].number
    for count, one in enumerate(group, 1):
        latest = max(latest, one.number)
        if one.number < group[0].number or latest >= end:
            break
        if latest == group[0].number + count - 1:
            best = count
    return best


def _stretch(piece: SourcePiece, placed: Placed, header: Header, run: Sequence[_Packet]) -> Stretch:
    first = run[0].number
    assert piece.probe.picture_stream is not None
    return Stretch(
        path=piece.path,
        stream=piece.probe.picture_stream,
        first=placed.first_picture + first,
        pictures=len(run),
        start=placed.source_start + first / placed.rate,
        first_dts=run[0].dts,
        delay=max(order - (one.number - first) for order, one in enumerate(run)),
        rate=placed.rate,
        sets=header.sets,
        length_size=header.length_size,
        is_copy=True,
    )
