"""H.264 bytes: NAL units, parameter sets and the decoder's configuration record. Pure functions.

Sources: ITU-T H.264 (NAL unit types, table 7-1; SPS and PPS syntax, 7.3.2.1
and 7.3.2.2; Exp-Golomb codes, 9.1) and ISO/IEC 14496-15 (the configuration
record ``avcC``, 5.3.3.1).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

IDR, SPS, PPS = 5, 7, 8
PROFILES = (66, 77, 100)  # Baseline, Main, High: what every browser plays
_PICTURE_TYPES = frozenset((1, 2, 3, 4, 5))
_HIGH_PROFILES = frozenset((100, 110, 122, 244, 44, 83, 86, 118, 128, 138, 139, 134, 135))


@dataclass(frozen=True)
class ParameterSets:
    """The sequence and picture parameter sets of a stream, as NAL units without prefix."""

    sequence: tuple[bytes, ...]
    picture: tuple[bytes, ...]

    @property
    def ids(self) -> frozenset[int]:
        """Ids in use, of either kind."""
        return frozenset((*map(sps_id, self.sequence), *map(pps_id, self.picture)))

    @property
    def profile(self) -> int:
        return max(one[1] for one in self.sequence)

    def conflicts_with(self, other: ParameterSets) -> bool:
        """Whether one id means different things in the two."""
        return _differ(self.sequence, other.sequence, sps_id) or _differ(self.picture, other.picture, pps_id)

    def joined(self, other: ParameterSets) -> ParameterSets:
        """Both together, each set once."""
        return ParameterSets(
            tuple(dict.fromkeys(self.sequence + other.sequence)), tuple(dict.fromkeys(self.picture + other.picture))
        )


def _differ(ours: tuple[bytes, ...], theirs: tuple[bytes, ...], identify: Callable[[bytes], int]) -> bool:
    known = {identify(one): one for one in ours}
    return any(known.get(identify(one), one) != one for one in theirs)


def nal_type(unit: bytes) -> int:
    return unit[0] & 31


def is_picture(unit: bytes) -> bool:
    """Whether the NAL unit holds coded picture data.

    Only these go into a film. Parameter sets stand in its header, and messages
    (SEI) are left out: decoding needs none, and cameras write there where and
    with what they film.
    """
    return nal_type(unit) in _PICTURE_TYPES


def split(data: bytes, length_size: int) -> Iterator[bytes]:
    """NAL units of a packet whose units are prefixed with their length (``length_size`` bytes)."""
    at = 0
    while at + length_size <= len(data):
        length = int.from_bytes(data[at : at + length_size], "big")
        at += length_size
        if length:
            yield data[at : at + length]
        at += length


def prefixed(units: Iterable[bytes]) -> bytes:
    """A packet of these units, each prefixed with its length in four bytes."""
    return b"".join(len(unit).to_bytes(4, "big") + unit for unit in units)


def parse_record(record: bytes) -> tuple[ParameterSets, int]:
    """Parameter sets and the size of length prefixes from an ``avcC`` record.

    Raises
    ------
    ValueError
        If it is not such a record.
    """
    if len(record) < 7 or record[0] != 1:
        raise ValueError("not an avcC record")
    at = 5
    kinds: list[tuple[bytes, ...]] = []
    for mask in (31, 255):
        count = record[at] & mask
        at += 1
        units = []
        for _ in range(count):
            length = int.from_bytes(record[at : at + 2], "big")
            units.append(record[at + 2 : at + 2 + length])
            at += 2 + length
        kinds.append(tuple(units))
    if not kinds[0] or not kinds[1] or any(len(unit) < 2 for kind in kinds for unit in kind):
        raise ValueError("no parameter sets")
    return ParameterSets(kinds[0], kinds[1]), (record[4] & 3) + 1


def make_record(sets: ParameterSets) -> bytes:
    """The ``avcC`` record that holds these sets; profile and level are the highest among them."""
    highest = max(sets.sequence, key=lambda unit: (unit[1], unit[3]))
    limits = 0xFF
    for unit in sets.sequence:
        limits &= unit[2]
    level = max(unit[3] for unit in sets.sequence)
    parts = [bytes((1, highest[1], limits, level, 0xFF, 0xE0 | len(sets.sequence)))]
    parts += [len(unit).to_bytes(2, "big") + unit for unit in sets.sequence]
    parts.append(bytes((len(sets.picture),)))
    parts += [len(unit).to_bytes(2, "big") + unit for unit in sets.picture]
    if highest[1] in _HIGH_PROFILES:
        parts.append(bytes((0xFD, 0xF8, 0xF8, 0)))  # 4:2:0, 8 bits, no SPS extension
    return b"".join(parts)


def sps_id(unit: bytes) -> int:
    """``seq_parameter_set_id`` of an SPS: the first code after profile, limits and level."""
    return _first_code(unit[4:])


def pps_id(unit: bytes) -> int:
    """``pic_parameter_set_id`` of a PPS: its first code."""
    return _first_code(unit[1:])


def _first_code(data: bytes) -> int:
    """The unsigned Exp-Golomb code at the front (ids are small: no emulation bytes lie before it)."""
    bits = int.from_bytes(data[:8].ljust(8, b"\0"), "big")
    zeros = 64 - bits.bit_length()
    if zeros > 15:
        raise ValueError("not a parameter set id")
    return ((bits << zeros & (1 << 64) - 1) >> (63 - zeros)) - 1
