"""Looks at the first bytes of a file: the boxes of an MP4 or MOV (ISO/IEC 14496-12, 4.2), or a still picture.

Decoders answer "invalid data" to every broken file. The boxes tell a recording
that was cut off (data but no index, or an index but too little data) from
something that never was one.
"""

from __future__ import annotations

import os
import struct
from dataclasses import dataclass
from typing import BinaryIO

_FIRST_BOXES = {b"ftyp", b"mdat", b"moov", b"wide", b"free", b"skip", b"pnot"}
_PICTURE_STARTS = (b"\x89PNG", b"\xff\xd8\xff", b"GIF8", b"BM", b"II*\x00", b"MM\x00*", b"\x00\x00\x01\x00")
_PICTURE_BRANDS = (b"heic", b"heix", b"mif1", b"avif")
_MAX_BOXES = 1_000_000  # fragments of a day's recording; a bound so that junk ends


@dataclass(frozen=True)
class Boxes:
    """What the top level of an MP4 says: an index, fragments, and how many bytes of the last box are not there."""

    has_index: bool
    is_fragmented: bool
    missing_bytes: int


def has_picture_magic(start: bytes) -> bool:
    """Whether a file that begins so is a still picture (PNG, JPEG, GIF, BMP, TIFF, ICO, WebP, HEIF, AVIF)."""
    if start[4:8] == b"ftyp":
        return start[8:12] in _PICTURE_BRANDS
    return start.startswith(_PICTURE_STARTS) or (start[:4] == b"RIFF" and start[8:12] == b"WEBP")


def look_at_boxes(file: BinaryIO, size: int) -> Boxes | None:
    """Walk the top-level boxes; None if the file does not begin like an MP4."""
    at, names, missing = 0, set[bytes](), 0
    for _ in range(_MAX_BOXES):
        file.seek(at, os.SEEK_SET)
        header = file.read(16)
        if len(header) < 8:
            break
        length, name = struct.unpack(">I4s", header[:8])
        if at == 0 and name not in _FIRST_BOXES:
            return None
        if length == 1 and len(header) == 16:
            length = struct.unpack(">Q", header[8:])[0]
        elif length == 0:  # "to the end of the file"
            length = size - at
        if length < 8:
            break
        names.add(name)
        if name == b"mdat":
            missing = max(0, at + length - size)
        at += length
    if not names:
        return None
    return Boxes(b"moov" in names, b"moof" in names, missing)
