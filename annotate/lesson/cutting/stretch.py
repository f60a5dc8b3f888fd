"""Stretches: runs of coded pictures, encoded for the film or copied from a recording, ready to be joined."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from annotate.lesson.cutting import h264, source


@dataclass(frozen=True)
class Stretch:
    """Coded pictures of ``path``, shown as film pictures from ``first`` on.

    ``start`` is the file time of the first picture shown, ``first_dts`` the
    decoding time (stream ticks) of the first packet; ``delay`` says how many
    pictures decoding runs ahead of showing.
    """

    path: Path
    stream: int
    first: int
    pictures: int
    start: Fraction
    first_dts: int
    delay: int
    rate: Fraction
    sets: h264.ParameterSets
    length_size: int
    is_copy: bool

    def packets(self, shelf: source.Shelf) -> Iterator[tuple[bytes, int, bool]]:
        """Data, film picture number and whether it is a key picture, in decoding order."""
        container, stream = shelf.take(self.path, source.COPY, self.stream)
        left = self.pictures
        place = source.Counter(stream.time_base or Fraction(1), self.start, self.rate)
        for packet in source.packets_from(container, stream, self.start):
            if packet.dts is None or packet.dts < self.first_dts or packet.pts is None:
                continue
            number = place(packet.pts)[0]
            units = [unit for unit in h264.split(bytes(packet), self.length_size) if h264.is_picture(unit)]
            is_key = any(h264.nal_type(unit) == h264.IDR for unit in units)
            yield h264.prefixed(units), self.first + number, is_key
            left -= 1
            if left == 0:
                return


def encoded_stretch(shelf: source.Shelf, path: Path, first: int, pictures: int, rate: Fraction) -> Stretch:
    """A stretch that was encoded for the film: all of its file."""
    container, stream = shelf.take(path, source.COPY, 0)
    sets, length_size = h264.parse_record(stream.codec_context.extradata or b"")
    times, first_dts, delay = [], None, 0
    source.seek(container, stream, Fraction(0))
    for order, packet in enumerate(source.readable(container, stream)):
        assert packet.pts is not None and packet.dts is not None
        times.append(packet.pts * (packet.time_base or Fraction(1)))
        first_dts = packet.dts if first_dts is None else first_dts
        delay = max(delay, order - round(times[-1] * rate))
    if len(times) != pictures or first_dts is None:
        raise ValueError(f"{len(times)} pictures where {pictures} belong")
    return Stretch(path, 0, first, pictures, min(times), first_dts, delay, rate, sets, length_size, is_copy=False)
