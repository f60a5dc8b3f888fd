"""Writing safely: a part file in the target's folder, and a full disk told as such."""

from __future__ import annotations

import errno
import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import av

from annotate.errors import BadInput, BenchreelError, NoSpace, ToolFailed

# EFBIG: the file system takes no file this large, or the user may not write one.
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG} if hasattr(errno, "EDQUOT") else {errno.ENOSPC, errno.EFBIG}


def part_of(target: Path) -> Path:
    """A new name beside the target, short and plain, for the file while it grows."""
    return target.with_name(f".part-{os.getpid()}-{secrets.token_hex(4)}{target.suffix}")


@contextmanager
def disk_errors(target: Path) -> Iterator[None]:
    """Turn what writing may raise into the house's errors."""
    try:
        yield
    except BenchreelError:
        raise
    except (OSError, av.error.FFmpegError) as error:
        number = getattr(error, "errno", None)
        where = str(target.parent)
        if number in _FULL:
            raise NoSpace("The disk is full", where, "Make room, or choose another folder, and start again.") from error
        if number in (errno.EACCES, errno.EPERM, errno.EROFS):
            raise BadInput("may not be written to", where, "Choose another folder.") from error
        if number == errno.ENOENT:
            raise BadInput("is not there", where, "Choose a folder that is there.") from error
        raise ToolFailed(f"The film could not be made ({error})", target.name, "Start it again.") from error


def flush_to_disk(path: Path) -> None:
    """Wait until the file's bytes are on the disk."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())
