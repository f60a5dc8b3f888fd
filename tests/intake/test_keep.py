"""Copies in the library: own plain names, whole or not at all."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import BinaryIO

import pytest

from annotate.errors import Cancelled, NoSpace, StillChanging
from annotate.intake.fingerprint import fingerprint
from annotate.intake.keep import display_name, keep, kept_path

MARK = "0123456789abcdef" * 4


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("面取り.mp4", "面取り.mp4"),
        ("фото.mov", "фото.mov"),
        ("😆.mp4", "😆.mp4"),
        (".mp4", ".mp4"),
        ('it\'s "the" reed: 3/4.mp4', "4.mp4"),
        ('a "good" reed\'s <tip> & more.mp4', 'a "good" reed\'s <tip> & more.mp4'),
        ("C:\\Films\\reed 7.MP4", "reed 7.MP4"),
        ("a\x00b\nc.mp4", "abc.mp4"),
        ("cafe\u0301.mp4", "café.mp4"),
        ("gpj\u202e4pm.exe", "gpj4pm.exe"),
        ("", "recording"),
        ("r" * 300 + ".mp4", "r" * 115 + "….mp4"),
    ],
)
def test_name_for_display(name: str, expected: str) -> None:  # case 22
    assert display_name(name) == expected
    assert len(display_name(name)) <= 120


@pytest.mark.parametrize(
    ("name", "ending"),
    [("面取り.MP4", "mp4"), ("😆", "media"), (".mp4", "media"), ("a.mp4; rm", "media"), ("a.jp😆", "media")],
)
def test_name_on_disk_is_plain(name: str, ending: str) -> None:  # case 22
    assert kept_path(MARK, Path(name)) == f"recordings/0123456789abcdef.{ending}"


@pytest.fixture
def source(tmp_path: Path) -> Path:
    path = tmp_path / "card" / "面取り 'a' 😆.mp4"
    path.parent.mkdir()
    path.write_bytes(bytes(range(256)) * 10_000)
    return path


def test_copy_is_whole_and_the_original_stays(source: Path, tmp_path: Path) -> None:
    mark, library = fingerprint(source), tmp_path / "library"
    library.mkdir()
    before = source.stat().st_mtime_ns
    relative = keep(source, library, mark)
    assert relative == f"recordings/{mark[:16]}.mp4"
    assert (library / relative).read_bytes() == source.read_bytes()
    assert source.stat().st_mtime_ns == before
    assert [one.name for one in (library / "recordings").iterdir()] == [f"{mark[:16]}.mp4"]
    assert keep(source, library, mark) == relative


def test_broken_copy_of_before_is_replaced(source: Path, tmp_path: Path) -> None:
    mark = fingerprint(source)
    there = tmp_path / kept_path(mark, source)
    there.parent.mkdir()
    there.write_bytes(b"half")
    keep(source, tmp_path, mark)
    assert fingerprint(there) == mark


def test_cancel_leaves_nothing(source: Path, tmp_path: Path) -> None:
    with pytest.raises(Cancelled):
        keep(source, tmp_path, fingerprint(source), cancelled=lambda: True)
    assert list((tmp_path / "recordings").iterdir()) == []


def test_file_that_changed_since_it_was_read(source: Path, tmp_path: Path) -> None:  # case 17
    with pytest.raises(StillChanging):
        keep(source, tmp_path, MARK)
    assert list((tmp_path / "recordings").iterdir()) == []


@pytest.mark.skipif(sys.platform != "linux", reason="/dev/full is Linux's always-full disk")
def test_full_disk(source: Path, tmp_path: Path) -> None:
    def on_full_disk(part: Path) -> BinaryIO:
        part.touch()
        return Path("/dev/full").open("wb")

    with pytest.raises(NoSpace, match=r"the disk is full\. Make room there, then try again\. Nothing was lost"):
        keep(source, tmp_path, fingerprint(source), open_part=on_full_disk)
    assert list((tmp_path / "recordings").iterdir()) == []
    assert source.stat().st_size == 2_560_000
