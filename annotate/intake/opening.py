"""Opens a media file safely: only containers we mean to read, only this one file, never a hang.

Some "media" formats are lists that make the reader open other files or
addresses; the list of allowed containers keeps those out, so adding a file
can never reach past it.
"""

from __future__ import annotations

import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import av
from av.container import InputContainer

from annotate.errors import BadInput, Missing, NotMedia, Unfinished
from annotate.intake.boxes import has_picture_magic, look_at_boxes

# Containers that hold recordings. Each name is FFmpeg's own.
CONTAINERS = (
    "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi,mpegts,mpeg,flv,asf,ogg,wav,w64,aiff,caf,mp3,aac,flac,ac3,amr,mxf,dv,au"
)
OPEN_TIMEOUT_S = 60.0  # a dead network drive must not hold a worker for ever
OPTIONS = {"format_whitelist": CONTAINERS, "protocol_whitelist": "file"}


def check_file(path: Path) -> int:
    """The size of a plain file that may hold media; raises the fitting sentence for anything else."""
    name = path.name
    try:
        status = path.stat()
    except FileNotFoundError:
        raise Missing("is not there", str(path), "Check the name, or that the drive is connected.") from None
    except OSError as error:
        reason = error.strerror or "cannot be read"
        raise BadInput(f"cannot be read ({reason})", name, "Check the name and its permissions.") from None
    if stat.S_ISDIR(status.st_mode):
        raise NotMedia("is a folder", name, "Add the recordings inside it.")
    if not stat.S_ISREG(status.st_mode):
        raise NotMedia("is not a plain file", name, "Add a recording that is stored as a file.")
    if status.st_size == 0:
        raise NotMedia("is empty", name, "Copy it again from the camera.")
    return status.st_size


def ffmpeg_name(path: Path) -> str:
    """The file as FFmpeg takes it: with its protocol, so that no character of the name means anything."""
    return f"file:{path}"


@contextmanager
def open_media(path: Path) -> Iterator[InputContainer]:
    """The opened container, closed at the end.

    Raises
    ------
    Missing, BadInput, NotMedia, Unfinished
        If there is no such file, it may not be read, or it holds nothing to play.
    """
    size = check_file(path)
    _check_start(path, size)
    try:
        container = av.open(ffmpeg_name(path), options=dict(OPTIONS), timeout=OPEN_TIMEOUT_S, metadata_errors="replace")
    except PermissionError:
        raise BadInput("may not be read", path.name, "Check its permissions.") from None
    except (av.error.FFmpegError, ValueError, OSError):
        raise not_media(path) from None
    with container:
        yield container


def not_media(path: Path) -> NotMedia:
    """The error for a file in which nothing can be read."""
    return NotMedia(
        "holds no picture or sound that can be read", path.name, "Check that it plays elsewhere, or copy it again."
    )


def _check_start(path: Path, size: int) -> None:
    """Refuse still pictures and unfinished MP4 files from their bytes, before any decoder sees them."""
    try:
        with path.open("rb") as file:
            if has_picture_magic(file.read(16)):
                raise NotMedia("is a still picture, not a recording", path.name, "Add a film or a sound file.")
            boxes = look_at_boxes(file, size)
    except PermissionError:
        raise BadInput("may not be read", path.name, "Check its permissions.") from None
    if boxes is None or boxes.is_fragmented:
        return
    if not boxes.has_index:
        raise Unfinished(
            "the recording was not finished, so it has no index",
            path.name,
            "Copy it again from the camera; if it is the same there, a repair program for MP4 files may save it.",
        )
    if boxes.missing_bytes:
        have, whole = size / 1e6, (size + boxes.missing_bytes) / 1e6
        raise Unfinished(
            f"only the first {have:.1f} of {whole:.1f} MB are there", path.name, "Copy it again from where it came."
        )
