"""Runs the ffmpeg program that a dependency carries: progress, cancel, clear errors, no child left behind."""

from __future__ import annotations

import queue
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import imageio_ffmpeg

from annotate.errors import Cancelled, ToolFailed
from annotate.intake.keep import no_space

_POLL_S = 0.1
_GRACE_S = 2.0
_NO_WINDOW = 0x08000000 if sys.platform == "win32" else 0  # CREATE_NO_WINDOW
_FULL = ("No space left on device", "Disk quota exceeded", "not enough space on the disk")


def run(
    arguments: Sequence[str],
    subject: Path,
    duration_ms: int,
    progress: Callable[[float], None],
    cancelled: Callable[[], bool],
) -> None:
    """Run ffmpeg with these arguments until it is done.

    Parameters
    ----------
    subject : Path
        The file the errors name.
    duration_ms : int
        Length of what is written, for the progress.

    Raises
    ------
    Cancelled, NoSpace, ToolFailed
    """
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-hide_banner", "-loglevel", "error", "-nostdin", "-y"]
    command += ["-progress", "pipe:1", "-stats_period", "0.2", *arguments]
    with tempfile.TemporaryFile() as complaints:
        with _child(command, complaints) as process:
            _follow(process, subject, duration_ms, progress, cancelled)
            status = process.wait()
        if status:
            complaints.seek(0)
            _fail(complaints.read().decode("utf-8", "replace"), subject)
    progress(1.0)


@contextmanager
def _child(command: list[str], complaints: IO[bytes]) -> Iterator[subprocess.Popen[bytes]]:
    """The running program; however the block is left, it has ended afterwards."""
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=complaints, creationflags=_NO_WINDOW)
    try:
        yield process
    finally:
        if process.poll() is None:
            process.terminate()
            try:
                process.wait(_GRACE_S)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
        if process.stdout:
            process.stdout.close()


def _follow(
    process: subprocess.Popen[bytes],
    subject: Path,
    duration_ms: int,
    progress: Callable[[float], None],
    cancelled: Callable[[], bool],
) -> None:
    """Report progress until the program closes its output; a thread reads, so that a stuck read cannot hold us."""
    lines: queue.Queue[bytes | None] = queue.Queue()
    assert process.stdout is not None
    reader = threading.Thread(target=_pump, args=(process.stdout, lines), daemon=True)
    reader.start()
    furthest = 0.0  # the program's own time steps back when it turns to the other stream
    while True:
        if cancelled():
            raise Cancelled("making the copy was stopped", subject.name)
        try:
            line = lines.get(timeout=_POLL_S)
        except queue.Empty:
            continue
        if line is None:
            reader.join()
            return
        key, _, value = line.decode("ascii", "replace").strip().partition("=")
        if key == "out_time_us" and value.lstrip("-").isdigit():
            furthest = min(1.0, max(furthest, int(value) / 1000 / max(1, duration_ms)))
            progress(furthest)


def _pump(source: IO[bytes], lines: queue.Queue[bytes | None]) -> None:
    try:
        for line in source:
            lines.put(line)
    except ValueError:  # closed while the program was being stopped
        pass
    finally:
        lines.put(None)


def _fail(words: str, subject: Path) -> None:
    if any(sign in words for sign in _FULL):
        raise no_space(subject.parent)
    last = next((line.strip() for line in reversed(words.splitlines()) if line.strip()), "no reason given")
    raise ToolFailed(f"the encoder gave up ({last[:300]})", subject.name, "Check that the file plays elsewhere.")
