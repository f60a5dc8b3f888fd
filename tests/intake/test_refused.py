"""Files that are no recordings get a clear sentence, at once."""

from __future__ import annotations

import os
import random
import sys
import time
from pathlib import Path

import pytest

from annotate.errors import Missing, NotMedia, Unfinished
from annotate.intake.probe import probe
from tests import media


def refusal(path: Path, kind: type[Exception]) -> str:
    """The sentence with which the file is refused."""
    with pytest.raises(kind) as caught:
        probe(path)
    assert type(caught.value) is kind
    return str(caught.value)


def test_missing_file(tmp_path: Path) -> None:
    assert refusal(tmp_path / "gone.mp4", Missing).endswith(
        "gone.mp4” is not there. Check the name, or that the drive is connected."
    )


def test_folder(tmp_path: Path) -> None:
    assert refusal(tmp_path, NotMedia) == f"“{tmp_path.name}” is a folder. Add the recordings inside it."


def test_empty_file() -> None:  # case 15
    path = media.written("zero.mp4", b"")
    assert refusal(path, NotMedia) == "“zero.mp4” is empty. Copy it again from the camera."


def test_text_named_mp4() -> None:  # case 15
    path = media.written("text.mp4", b"not a video")
    assert refusal(path, NotMedia) == (
        "“text.mp4” holds no picture or sound that can be read. Check that it plays elsewhere, or copy it again."
    )


def test_recording_cut_off_before_its_index() -> None:  # case 13
    assert refusal(media.truncated(), Unfinished) == (
        "trunc.mp4: the recording was not finished, so it has no index. Copy it again from the camera; "
        "if it is the same there, a repair program for MP4 files may save it."
    )


def test_header_alone() -> None:  # case 15
    path = media.written("tiny.mp4", media.base().read_bytes()[:110])
    assert "the recording was not finished" in refusal(path, Unfinished)


def test_half_a_file_with_its_index_in_front() -> None:  # cases 13, 17
    assert refusal(media.cut_short(), Unfinished).startswith("cut-short.mp4: only the first 0.")


def test_half_a_matroska_file_counts_what_is_there() -> None:  # case 13
    whole = media.mkv().read_bytes()
    found = probe(media.written("half.mkv", whole[: len(whole) // 2]))
    assert 2000 < found.duration_ms < 4000


@pytest.mark.parametrize("suffix", ["png", "jpg", "gif", "bmp", "webp", "tiff"])
def test_still_picture(suffix: str) -> None:
    path = media.picture_file(suffix)
    assert refusal(path, NotMedia) == (
        f"“still.{suffix}” is a still picture, not a recording. Add a film or a sound file."
    )


def test_film_of_one_picture() -> None:
    path = media.make("one.mp4", *media.PICTURE, "-frames:v", "1", *media.H264)
    assert "holds a single picture" in refusal(path, NotMedia)


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("list.txt", b"ffconcat version 1.0\nfile base.mp4\n"),
        ("list.m3u8", b"#EXTM3U\n#EXT-X-TARGETDURATION:5\n#EXTINF:5,\nbase.mp4\n#EXT-X-ENDLIST\n"),
        ("words.srt", b"1\n00:00:01,000 --> 00:00:02,000\nhello\n"),
    ],
)
def test_lists_that_name_other_files_are_not_followed(name: str, content: bytes) -> None:
    media.base()  # the file they name is there
    assert "holds no picture or sound" in refusal(media.written(name, content), NotMedia)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no named pipes in folders")
def test_named_pipe_does_not_hang(tmp_path: Path) -> None:  # case 15
    path = tmp_path / "pipe.mp4"
    os.mkfifo(path)
    assert "is not a plain file" in refusal(path, NotMedia)


@pytest.mark.parametrize("suffix", ["mp4", "mp3", "ts", "aac", "webm", "wav"])
def test_junk_is_refused_fast_whatever_its_name(suffix: str) -> None:  # case 15
    source = random.Random(4)
    started = time.monotonic()
    for number in range(6):
        path = media.written(f"junk{number}.{suffix}", source.randbytes(source.choice([10, 300, 5000, 200_000])))
        with pytest.raises(NotMedia):
            probe(path)
    assert time.monotonic() - started < 10  # the reader this was seen with waited ten seconds for each
