"""The film's MP4 read by programs other than the one that wrote it.

Sources: mutagen 1.48.1 (its own reader of the MP4 chapter list ``chpl`` and of
tags), PyAV/FFmpeg (reads the chapter track), the ffmpeg program of
imageio-ffmpeg (caption track), ISO/IEC 14496-12 (order of boxes, read here).
"""

from __future__ import annotations

import struct
import subprocess
from pathlib import Path

import av
import imageio_ffmpeg
import pytest
from mutagen.mp4 import MP4

from annotate.lesson.cutting.cut import make_film
from annotate.lesson.cutting.pieces import Caption, Chapter
from tests import media
from tests.lesson import films
from tests.lesson.films import piece

pytestmark = pytest.mark.outside

TITLES = ["Goal", "glue #2; 50% = ok", "Übung №1 — 面取り", "back\\slash 'quotes' \"double\"", "🎵 crow", "あ" * 85]


def read_back(path: Path) -> list[tuple[float, float, str]]:
    with av.open(str(path)) as film:
        return [
            (float(one["start"] * one["time_base"]), float(one["end"] * one["time_base"]), one["metadata"]["title"])
            for one in film.chapters()
        ]


def made(tmp_path: Path, chapters: list[Chapter], **told: object) -> Path:
    pieces = [piece(films.with_b_pictures(), 0, 6000)]
    return make_film(pieces, tmp_path / "film.mp4", chapters=chapters, **told).path  # type: ignore[arg-type]


def test_every_title_and_time_is_read_back(tmp_path: Path) -> None:
    path = made(tmp_path, [Chapter(1000 * n, title) for n, title in enumerate(TITLES)])
    assert read_back(path) == [(n, n + 1, title) for n, title in enumerate(TITLES)]
    chapters = MP4(path).chapters
    assert chapters is not None
    assert [(one.start, one.title) for one in chapters] == list(enumerate(TITLES))


def test_case_26_one_chapter(tmp_path: Path) -> None:
    path = made(tmp_path, [Chapter(0, "only")])
    assert read_back(path) == [(0, 6, "only")]
    chapters = MP4(path).chapters
    assert chapters is not None
    assert [(one.start, one.title) for one in chapters] == [(0, "only")]


def test_case_27_a_late_first_chapter_is_read_at_its_time(tmp_path: Path) -> None:
    path = made(tmp_path, [Chapter(2500, "late")], title="Film")
    assert read_back(path) == [(0, 2.5, "Film"), (2.5, 6, "late")]


def test_case_30_nothing_lies_past_the_end(tmp_path: Path) -> None:
    path = made(tmp_path, [Chapter(5990, "last"), Chapter(0, "first")])
    assert [one[1] for one in read_back(path)] == [5.99, 6.0]
    with av.open(str(path)) as film:
        assert film.duration is not None
        assert abs(film.duration / 1e6 - 6.0) < 1 / 30


def test_captions_are_read_back(tmp_path: Path) -> None:
    words = [Caption(500, 1500, "use <3 mm & go"), Caption(2000, 2600, "{curly} 面取り\nsecond line")]
    path = made(tmp_path, [], captions=words)
    program = imageio_ffmpeg.get_ffmpeg_exe()
    command = [program, "-v", "error", "-i", str(path), "-map", "0:s:0", "-f", "srt", "-"]
    text = subprocess.run(command, capture_output=True, check=True).stdout.decode()
    assert "00:00:00,500 --> 00:00:01,500\nuse <3 mm & go" in text
    assert "00:00:02,000 --> 00:00:02,600\n" in text
    assert "面取り\nsecond line" in text
    assert text.count("-->") == 2


def test_nothing_says_where_or_with_what_it_was_filmed(tmp_path: Path) -> None:
    tags = {
        "location": "+48.8577+002.2950/",
        "com.apple.quicktime.location.ISO6709": "+48.8577+002.2950/",
        "make": "InventedMaker",
        "model": "InventedModel",
        "artist": "Invented Owner",
        "comment": "InventedNote",
    }
    words = [word for key, value in tags.items() for word in ("-metadata", f"{key}={value}")]
    stream_words = ["-metadata:s:v:0", "handler_name=InventedHandler", "-metadata:s:a:0", "title=InventedTrack"]
    keep = ("-c", "copy", "-movflags", "use_metadata_tags")
    tagged = media.make("tagged.mp4", "-i", films.with_b_pictures(), *keep, *words, *stream_words)
    assert b"+48.8577" in tagged.read_bytes()
    assert b"InventedMaker" in tagged.read_bytes()
    path = make_film([piece(tagged, 0, 3000)], tmp_path / "film.mp4", title="Scraping the tip").path
    assert dict(MP4(path).tags or {}) == {"\xa9nam": ["Scraping the tip"]}
    content = path.read_bytes()
    for word in (b"48.85", b"Invented", b"Owner", b"Lavf", b"x264"):
        assert word not in content


def boxes(path: Path) -> list[str]:
    """Types of the top boxes, in order (ISO/IEC 14496-12, 4.2)."""
    content, at, found = path.read_bytes(), 0, []
    while at < len(content):
        size, kind = struct.unpack(">I4s", content[at : at + 8])
        found.append(kind.decode())
        at += size
    return found


def test_the_index_lies_in_front(tmp_path: Path) -> None:
    order = boxes(made(tmp_path, []))
    assert order.index("moov") < order.index("mdat")


def test_every_stream_parameter(tmp_path: Path) -> None:
    path = made(tmp_path, [])
    with av.open(str(path)) as film:
        picture, sound = film.streams.video[0], film.streams.audio[0]
        context = picture.codec_context
        assert (context.codec.canonical_name, picture.profile, picture.pix_fmt) == ("h264", "High", "yuv420p")
        assert (picture.average_rate, picture.guessed_rate, picture.start_time) == (30, 30, 0)
        assert (picture.sample_aspect_ratio or 1) == 1
        assert (context.color_primaries, context.color_trc, context.colorspace, context.color_range) == (1, 1, 1, 1)
        assert (sound.codec_context.codec.canonical_name, sound.rate, sound.channels) == ("aac", 48000, 2)
        assert len(film.streams.video) == len(film.streams.audio) == 1
