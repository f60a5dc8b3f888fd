"""Knowing a file again, and waiting for one that is still being copied."""

from __future__ import annotations

import os
import threading
import time
from pathlib import Path

import pytest

from annotate.errors import Cancelled, NotMedia, StillChanging
from annotate.intake.fingerprint import Waiting, fingerprint, wait_until_still

QUICK = Waiting(quiet_s=0.4, settled_s=10, longest_s=20)


def test_known_digest(tmp_path: Path) -> None:
    # FIPS 180-2, appendix B.1: SHA-256 of "abc".
    path = tmp_path / "abc"
    path.write_bytes(b"abc")
    assert fingerprint(path) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_progress_reaches_one(tmp_path: Path) -> None:
    path = tmp_path / "three"
    path.write_bytes(bytes(3 << 20))
    seen: list[float] = []
    fingerprint(path, seen.append)
    assert seen == pytest.approx([1 / 3, 2 / 3, 1])


def test_cancel(tmp_path: Path) -> None:
    path = tmp_path / "some"
    path.write_bytes(b"some")
    with pytest.raises(Cancelled):
        fingerprint(path, cancelled=lambda: True)


def test_slow_copy_is_waited_for(tmp_path: Path) -> None:  # case 17
    path = tmp_path / "slow.mp4"
    path.write_bytes(b"")

    def copy() -> None:
        with path.open("wb", buffering=0) as out:
            for _ in range(8):
                time.sleep(0.15)
                out.write(bytes(1000))

    writer = threading.Thread(target=copy)
    writer.start()
    found = wait_until_still(path, QUICK)
    writer.join()
    assert found.size_bytes == 8000


def test_copy_without_end_is_given_up(tmp_path: Path) -> None:  # case 17
    path = tmp_path / "slow.mp4"
    path.write_bytes(b"")
    stop = threading.Event()

    def copy() -> None:
        with path.open("ab", buffering=0) as out:
            while not stop.wait(0.05):
                out.write(bytes(10))

    writer = threading.Thread(target=copy)
    writer.start()
    try:
        with pytest.raises(StillChanging, match=r"“slow\.mp4” is still being written"):
            wait_until_still(path, Waiting(quiet_s=0.4, settled_s=10, longest_s=1))
    finally:
        stop.set()
        writer.join()


def test_old_file_is_not_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "old.mp4"
    path.write_bytes(b"old")
    os.utime(path, (1_700_000_000, 1_700_000_000))
    started = time.monotonic()
    assert wait_until_still(path, Waiting(quiet_s=30)).size_bytes == 3
    assert time.monotonic() - started < 1


def test_file_that_grows_while_it_is_read(tmp_path: Path) -> None:  # case 17
    path = tmp_path / "grows.mp4"
    path.write_bytes(bytes(2 << 20))

    def grow(_: float) -> None:
        with path.open("ab") as out:
            out.write(b"more")

    with pytest.raises(StillChanging):
        fingerprint(path, grow)


def test_empty_file_is_named_after_the_wait(tmp_path: Path) -> None:
    path = tmp_path / "zero.mp4"
    path.write_bytes(b"")
    assert wait_until_still(path, QUICK).size_bytes == 0
    with pytest.raises(NotMedia, match="is empty"):
        fingerprint(path)
