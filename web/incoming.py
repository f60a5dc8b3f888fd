"""Files on their way into the library, in pieces.

A recording may be larger than any one request: the page sends it in pieces,
each goes straight to a part file in the library's own folder, and a piece
that was lost is sent again. Only when the file is whole does intake look at
it; the part file is removed whatever comes of that.
"""

from __future__ import annotations

import secrets
import shutil
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO

from annotate.errors import BadInput, NoSpace, NotFound
from annotate.library.store import Library
from web.fields import Fields
from web.refusals import TooLarge

LIMIT_BYTES = 64 * 10**9  # one file; ten hours at 12 Mbit/s, and more than a phone's card usually holds
PIECE_BYTES = 8 * 1024 * 1024
READ_BYTES = 1024 * 1024
SPARE_BYTES = 200 * 10**6  # left free for the database and what is made for the pages
NAME_LIMIT = 1000
LEFTOVER_S = 2 * 24 * 3600.0  # a part file untouched for so long belongs to a run that has ended


@dataclass
class Upload:
    """One file on its way; ``got_bytes`` have arrived."""

    key: str
    name: str
    size_bytes: int
    session_id: int
    reed_id: int | None
    path: Path
    got_bytes: int = 0
    lock: threading.Lock = field(default_factory=threading.Lock)


class Uploads:
    """The files on their way into one library."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        remove_leftovers(folder)
        self._open: dict[str, Upload] = {}
        self._lock = threading.Lock()

    def begin(self, store: Library, fields: Fields) -> Upload:
        """Check name, size, room on the disk and session before the first byte is sent."""
        name = fields.text("name").strip()[:NAME_LIMIT] or "recording"
        size = fields.integer("size_bytes")
        check_size(name, size, shutil.disk_usage(store.folder).free)
        store.sessions.get(fields.integer("session_id"))
        self._folder.mkdir(parents=True, exist_ok=True)
        key = secrets.token_hex(16)
        ending = Path(name).suffix if Path(name).suffix.isascii() and len(Path(name).suffix) <= 8 else ""
        upload = Upload(
            key,
            name,
            size,
            fields.integer("session_id"),
            fields.optional_integer("reed_id"),
            self._folder / f"{key}{ending if ending[1:].isalnum() else ''}",
        )
        upload.path.touch()
        with self._lock:
            self._open[key] = upload
        return upload

    def get(self, key: str) -> Upload:
        """The upload of that key."""
        with self._lock:
            if key not in self._open:
                raise NotFound("This file is no longer on its way", next_step="Choose it again.")
            return self._open[key]

    def drop(self, key: str) -> None:
        """Forget an upload and remove what has arrived of it."""
        with self._lock:
            upload = self._open.pop(key, None)
        if upload:
            upload.path.unlink(missing_ok=True)


def check_size(name: str, size: int, free_bytes: int) -> None:
    """Raise unless a file of that size may come and has room on a disk with ``free_bytes``."""
    if size <= 0:
        raise BadInput("is empty", name, "Choose a recording.")
    if size > LIMIT_BYTES:
        raise TooLarge(
            f"is larger than {LIMIT_BYTES // 10**9} GB, the most that can be sent through the page",
            name,
            "Add it in place with the field below, or with: benchreel add.",
        )
    if free_bytes < size + SPARE_BYTES:
        raise NoSpace("there is not enough room on the disk for it", name, "Free some space, or add it in place.")


def remove_leftovers(folder: Path) -> None:
    """Remove what earlier runs left half sent."""
    for path in folder.glob("*"):
        if time.time() - path.stat().st_mtime > LEFTOVER_S:
            path.unlink(missing_ok=True)


def append(upload: Upload, offset: int, stream: IO[bytes]) -> None:
    """Write what the stream holds to the end of the part file; a piece for another place is passed over."""
    with upload.lock:
        if offset == upload.got_bytes:
            _append(upload, stream)


def _append(upload: Upload, stream: IO[bytes]) -> None:
    try:
        with upload.path.open("r+b") as out:
            out.seek(upload.got_bytes)
            arrived = 0
            while chunk := stream.read(READ_BYTES):
                arrived += len(chunk)
                if upload.got_bytes + arrived > upload.size_bytes:
                    raise BadInput("has grown while it was sent", upload.name, "Wait until it is whole, then add it.")
                out.write(chunk)
            out.truncate()
    except OSError as error:
        raise NoSpace(
            f"could not be stored ({error.strerror})", upload.name, "Free some space and try again."
        ) from error
    upload.got_bytes += arrived
