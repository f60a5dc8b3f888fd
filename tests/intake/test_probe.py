"""Reading a media file: clock, size, rate, streams. The numbers in names are kinds of files known to break readers."""

from __future__ import annotations

import pickle
from fractions import Fraction
from pathlib import Path

import pytest

from annotate.errors import BadInput
from annotate.intake.probe import probe
from demo_media import media_path
from tests import media


def test_ordinary_file_plays_as_it_is() -> None:
    found = probe(media.base())
    assert (found.container, found.duration_ms, found.origin) == ("mp4", 6000, Fraction(0))
    assert (found.width, found.height, found.rotation) == (320, 240, 0)
    assert found.rate == Fraction(30)
    assert not found.is_variable_rate
    assert not found.needs_playable
    assert found.why_playable == ""
    assert [(one.kind, one.codec) for one in found.streams] == [("picture", "h264"), ("sound", "aac")]
    assert pickle.loads(pickle.dumps(found)) == found


def test_variable_rate_is_told_from_packet_times() -> None:  # case 1
    found = probe(media.vfr())
    assert found.is_variable_rate
    assert found.rate is None
    assert found.duration_ms == 10000


def test_matroska_milliseconds_still_count_as_constant() -> None:  # case 1
    found = probe(media.mkv())
    assert found.rate == Fraction(30)
    assert not found.is_variable_rate


def test_ntsc_rate_is_an_exact_fraction() -> None:
    source = ("-f", "lavfi", "-i", "testsrc2=s=160x120:r=30000/1001")
    path = media.make("ntsc.mkv", *source, "-t", "4", *media.H264)
    assert probe(path).rate == Fraction(30000, 1001)


@pytest.mark.parametrize("suffix", ["mp4", "mov"])
@pytest.mark.parametrize(
    ("turn", "expected"),
    [(0, (320, 240, 0)), (90, (240, 320, 270)), (180, (320, 240, 180)), (270, (240, 320, 90))],
)
def test_size_is_the_upright_one(turn: int, suffix: str, expected: tuple[int, int, int]) -> None:  # cases 3, 5
    found = probe(media.rotated(turn, suffix))
    assert (found.width, found.height, found.rotation) == expected


def test_oblong_pixels_are_counted_as_shown() -> None:
    path = media.make("oblong.mp4", *media.PICTURE, "-t", "1", "-vf", "setsar=4/3", *media.H264)
    found = probe(path)
    assert (found.width, found.height) == (427, 240)


def test_high_dynamic_range_is_seen() -> None:  # cases 6, 7
    found = probe(media.hdr())
    assert found.is_hdr
    assert found.needs_playable
    assert found.why_playable == (
        "browsers do not open mov files; the picture is stored as yuv420p10le; the picture has high dynamic range"
    )


@pytest.mark.parametrize(
    ("suffix", "origin_s"),
    # In MP4 the copied AAC keeps its 1024 priming samples as sound: 5 s - 1024/44100 s.
    [("mkv", Fraction(5)), ("mp4", 5 - Fraction(1024, 44100))],
)
def test_clock_starts_where_the_file_does(suffix: str, origin_s: Fraction) -> None:  # case 9
    found = probe(media.start_offset(suffix))
    assert found.origin == origin_s
    assert found.duration_ms == round((11 - origin_s) * 1000)
    assert found.needs_playable
    assert "its times begin at" in found.why_playable


def test_late_sound_keeps_its_offset() -> None:  # case 10
    found = probe(media.late_sound())
    picture, sound = found.streams
    assert found.origin == 0
    assert picture.start == 0
    assert sound.start == Fraction(109226, 44100)  # 2.5 s less the priming
    assert found.duration_ms == 8500
    assert found.why_playable == "the sound begins 2.477 s late"


def test_late_picture_keeps_its_offset() -> None:  # case 10
    found = probe(media.late_picture())
    assert [one.start for one in found.streams] == [Fraction(5, 2), Fraction(0)]
    assert found.duration_ms == 8500


def test_no_sound_is_fine() -> None:  # case 11
    found = probe(media.no_sound())
    assert found.sound_stream is None
    assert found.picture_stream == 0
    assert found.duration_ms == 6000
    assert not found.needs_playable


@pytest.mark.parametrize(
    ("suffix", "container"), [("m4a", "mp4"), ("wav", "wav"), ("flac", "flac"), ("ogg", "ogg"), ("mp3", "mp3")]
)
def test_sound_alone_is_fine(suffix: str, container: str) -> None:
    found = probe(media.only_sound(suffix))
    assert found.picture_stream is None
    assert found.sound_stream == 0
    assert found.container == container
    assert (found.width, found.height, found.rate, found.is_variable_rate) == (0, 0, None, False)
    assert found.duration_ms == pytest.approx(3000, abs=6)  # MP3 frames are 26 ms; the last is padded
    assert not found.needs_playable


def test_cover_of_a_sound_file_is_no_picture() -> None:
    path = media.make(
        "cover.mp3", "-i", media.only_sound("mp3"), "-i", media.picture_file(), "-map", "0", "-map", "1", "-c:a", "copy"
    )
    assert probe(path).picture_stream is None


def test_length_is_read_from_packets_when_not_stated() -> None:  # case 19
    found = probe(media.webm_live())
    assert found.duration_ms == pytest.approx(3000, abs=2)
    assert found.rate == Fraction(30)
    assert found.needs_playable
    assert found.why_playable == "it does not state its length, so a browser cannot seek in it"
    assert not probe(media.webm()).needs_playable


def test_default_sound_track_is_chosen_and_all_are_listed() -> None:  # case 20
    found = probe(media.two_tracks())
    sounds = [one for one in found.streams if one.kind == "sound"]
    assert [(one.index, one.language, one.title, one.is_default) for one in sounds] == [
        (1, "deu", "", False),
        (2, "eng", "Lapel", True),
    ]
    assert found.sound_stream == 2
    assert "there are 2 sound tracks" in found.why_playable


def test_the_maker_may_choose_another_track() -> None:  # case 20
    assert probe(media.two_tracks(), sound_stream=1).sound_stream == 1
    with pytest.raises(BadInput, match=r"has no sound track 0\. Its sound tracks are: 1, 2\."):
        probe(media.two_tracks(), sound_stream=0)


def test_time_of_filming_is_read() -> None:
    path = media.make("dated.mp4", "-i", media.base(), "-c", "copy", "-metadata", "creation_time=2026-03-14T09:26:53Z")
    assert probe(path).recorded_at == "2026-03-14T09:26:53+00:00"
    assert probe(media.base()).recorded_at is None


def test_a_day_alone_is_read_as_a_day() -> None:
    path = media.make("day.mkv", "-i", media.base(), "-c", "copy", "-metadata", "date=2026-03-01")
    assert probe(path).recorded_at == "2026-03-01"


@pytest.mark.parametrize("name", ["-a: b.mp4", "it's a [reed] 50%d.mp4", "面取り 😆.mp4", "http:x.mp4"])
def test_odd_names_are_only_names(name: str, tmp_path: Path) -> None:  # case 22
    path = tmp_path / name
    path.write_bytes(media.base().read_bytes())
    assert probe(path).duration_ms == 6000


def test_reading_leaves_the_original_untouched(tmp_path: Path) -> None:
    path = tmp_path / "own.mp4"
    path.write_bytes(media.base().read_bytes())
    path.chmod(0o444)
    before = path.stat().st_mtime_ns
    probe(path)
    assert path.read_bytes() == media.base().read_bytes()
    assert path.stat().st_mtime_ns == before


def _first_part(path: Path, share: float) -> Path:
    whole = path.read_bytes()
    return media.written(f"part{int(share * 1000)}{path.suffix}", whole[: int(len(whole) * share)])


def test_a_whole_matroska_is_not_called_cut_short() -> None:
    assert probe(media.mkv()).cut_short == ""


def test_a_matroska_that_broke_off_is_used_and_marked() -> None:
    found = probe(_first_part(media_path("h5-window-light.mkv"), 0.5))
    assert found.cut_short == "only the first 0.8 of 1.7 MB are there"
    assert found.duration_ms == 33_160  # of 72 240


def test_a_few_bytes_missing_are_counted() -> None:
    whole = media.mkv().read_bytes()
    assert probe(media.written("bit.mkv", whole[:-100])).cut_short == "its last 100 bytes are missing"


def test_a_segment_of_open_size_is_told_by_the_length_it_states() -> None:
    """The size of the segment is set to unknown (RFC 8794, section 6.2), as a recorder that streams leaves it."""
    whole = bytearray(media_path("h5-window-light.mkv").read_bytes())
    at = whole.index(bytes.fromhex("18538067")) + 4
    whole[at : at + 8] = bytes.fromhex("01ffffffffffffff")
    assert probe(media.written("open.mkv", bytes(whole))).cut_short == ""
    half = probe(media.written("open-half.mkv", bytes(whole[: len(whole) // 2])))
    assert half.cut_short == "it should last 1:12, and 0:33 are there"
