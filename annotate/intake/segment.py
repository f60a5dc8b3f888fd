"""Looks at the first bytes of a Matroska or WebM file (EBML: RFC 8794; Matroska: RFC 9559, section 5.1).

Readers stop without a word where such a file ends too early. Its one segment
states how long it is, so a copy that broke off can be told from a whole one.
Recorders that write while they film leave the size open; then nothing is known.
"""

from __future__ import annotations

from typing import BinaryIO

_HEADER, _SEGMENT = 0x1A45DFA3, 0x18538067
_MAX_ELEMENTS = 8  # header, perhaps a void, then the segment; a bound so that junk ends


def missing_bytes(file: BinaryIO, size: int) -> int:
    """How many bytes of the segment are not there; 0 if it is whole, states no size, or is no Matroska."""
    at = 0
    for number in range(_MAX_ELEMENTS):
        file.seek(at)
        name, name_bytes = _number(file.read(4), keep_mark=True)
        file.seek(at + name_bytes)
        length, length_bytes = _number(file.read(8), keep_mark=False)
        if not name_bytes or not length_bytes or (number == 0 and name != _HEADER):
            return 0
        at += name_bytes + length_bytes
        if name == _SEGMENT:
            is_open = length == (1 << 7 * length_bytes) - 1
            return 0 if is_open else max(0, at + length - size)
        at += length
    return 0


def _number(data: bytes, *, keep_mark: bool) -> tuple[int, int]:
    """A number of variable length at the start of ``data`` and how many bytes it takes; (0, 0) if there is none.

    The count of leading zero bits of the first byte tells the length (RFC 8794, section 4).
    """
    if not data or not data[0]:
        return 0, 0
    count = 9 - data[0].bit_length()
    if count > len(data):
        return 0, 0
    value = int.from_bytes(data[:count], "big")
    return (value if keep_mark else value & ((1 << 7 * count) - 1)), count
