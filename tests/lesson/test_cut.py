"""Every clip starts and ends with the asked picture, whatever the recording is like."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import av
import numpy as np
import pytest

from annotate.errors import BadInput, BadTime, Missing
from annotate.intake.probe import probe
from annotate.lesson.cutting.cut import make_film
from annotate.lesson.cutting.layout import lay_out
from annotate.lesson.cutting.pieces import FilmOptions, Overlay, SourcePiece, StillPiece
from tests import media
from tests.lesson import films
from tests.lesson.films import piece

ENCODED = FilmOptions(may_copy=False)
CODINGS = {
    "copyable.mp4": films.x264(gop=30),
    "long.mp4": films.x264(gop=600),
    "open.mp4": films.x264(gop=30, more="open-gop=1"),
    "rounded-times.mkv": films.x264(gop=45),
    "stream.ts": films.x264(gop=30),
    "mjpeg.avi": ("-c:v", "mjpeg", "-q:v", "3"),
    "mpeg4.avi": ("-c:v", "mpeg4", "-g", "40", "-q:v", "2"),
    "vp9.webm": ("-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-b:v", "1M", "-g", "50"),
    "hevc.mov": ("-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=none:keyint=60:bframes=3"),
}


def coded(name: str) -> Path:
    """Ten seconds of numbered pictures in this container and coding."""
    if name.endswith(("webm", "avi")):
        sound = "libopus" if name.endswith("webm") else "pcm_s16le"
        return media.make(name, "-i", films.numbered("plain.mp4"), *CODINGS[name], "-c:a", sound)
    return films.numbered(name, *CODINGS[name])


@pytest.mark.parametrize("options", [FilmOptions(), ENCODED], ids=["copying", "encoding"])
@pytest.mark.parametrize("name", CODINGS)
def test_first_and_last_picture_are_the_asked_ones(name: str, options: FilmOptions, tmp_path: Path) -> None:
    path = coded(name)
    lead = films.lead_ms(path)
    pieces = [piece(path, lead + start, lead + end) for start, end in ((1234, 3877), (5000, 5100))]
    result = make_film(pieces, tmp_path / "film.mp4", options=options)
    # 1.234 s lies in picture 37, 3.877 s in picture 116 (not shown any more); 5.0 s is the start of 150.
    assert films.numbers(result.path) == [*range(37, 116), *range(150, 153)]
    assert films.times(result.path) == [Fraction(n, 30) for n in range(82)]


def test_ranges_that_touch_neither_repeat_nor_lose_a_picture(tmp_path: Path) -> None:
    path = films.with_b_pictures()
    cuts = [700, 1111, 1500, 2222, 2999]
    pieces = [piece(path, *cut) for cut in pairwise(cuts)]
    result = make_film(pieces, tmp_path / "film.mp4", options=ENCODED)
    assert films.numbers(result.path) == list(range(21, 89))


def test_every_picture_of_a_rounded_millisecond_is_its_own(tmp_path: Path) -> None:
    # Picture 1 begins at 33.33 ms; the page can only say 33.
    plan = lay_out([piece(films.with_b_pictures(), 33, 67)])
    assert (plan.pictures, plan.placed[0].source_start) == (1, Fraction(1, 30))


def test_case_1_a_varying_rate_keeps_its_time(tmp_path: Path) -> None:
    path = media.vfr()
    result = make_film([piece(path, 0, 10_000)], tmp_path / "film.mp4")
    shown = films.numbers(result.path)
    # 30 pictures a second for five seconds, then ten: each of those is shown three times.
    assert result.plan.rate == 30
    assert shown == [n if n < 150 else n // 3 * 3 for n in range(300)]


def test_case_1_a_clip_inside_a_varying_rate(tmp_path: Path) -> None:
    result = make_film([piece(media.vfr(), 6050, 6450)], tmp_path / "film.mp4")
    # 6.05 s is covered by the picture of 6.0 s (180), which stays until 6.1 s.
    assert films.numbers(result.path) == [180, 180, 183, 183, 183, 186, 186, 186, 189, 189, 189, 192]


@pytest.mark.parametrize("turn", [90, 180, 270])
@pytest.mark.parametrize("suffix", ["mp4", "mov"])
def test_case_3_phone_pictures_stand_upright(turn: int, suffix: str, tmp_path: Path) -> None:
    path = media.rotated(turn, suffix)
    result = make_film([piece(path, 1000, 1200)], tmp_path / "film.mp4")
    upright = media.make(f"upright{turn}{suffix}.png", "-i", path, "-vf", "select=eq(n\\,30)", "-frames:v", "1")
    with av.open(str(upright)) as shown, av.open(str(result.path)) as film:
        wanted = next(shown.decode(video=0)).to_ndarray(format="rgb24").astype(int)
        got = next(film.decode(video=0)).to_ndarray(format="rgb24").astype(int)
    assert got.shape == wanted.shape == ((320, 240, 3) if turn != 180 else (240, 320, 3))
    assert np.abs(got - wanted).mean() < 6


def test_case_9_times_that_do_not_start_at_zero(tmp_path: Path) -> None:
    for suffix in ("mkv", "mp4"):
        plain = films.with_b_pictures()
        path = media.make(f"later.{suffix}", "-i", plain, "-c", "copy", "-output_ts_offset", "5")
        lead = films.lead_ms(path)
        result = make_film([piece(path, lead + 2000, lead + 3000)], tmp_path / f"{suffix}.mp4")
        assert films.numbers(result.path) == list(range(60, 90))
        assert probe(result.path).origin == 0


def test_case_43_a_clip_is_not_black_at_its_start(tmp_path: Path) -> None:
    result = make_film([piece(films.long_group(), 7000, 9000)], tmp_path / "film.mp4")
    assert films.numbers(result.path) == list(range(210, 270))
    assert films.times(result.path)[0] == 0
    assert np.abs(films.stereo(result.path)[480:2400]).max() > 0.2


def test_case_46_three_pictures_stay_three(tmp_path: Path) -> None:
    path = films.numbered("three.mp4", count=3, rate=Fraction(24))
    result = make_film([piece(path, 0, 125)] * 5, tmp_path / "film.mp4")
    assert films.numbers(result.path) == [0, 1, 2] * 5
    assert result.plan.pictures / result.plan.rate == Fraction(15, 24)


def test_case_47_an_end_past_the_end_is_the_end(tmp_path: Path) -> None:
    path = films.with_b_pictures()
    length = probe(path).duration_ms
    result = make_film([piece(path, 9900, length + 5)], tmp_path / "film.mp4")
    assert films.numbers(result.path) == [297, 298, 299]


def test_a_clip_past_the_end_is_refused() -> None:
    with pytest.raises(BadTime, match="past the end"):
        piece(films.with_b_pictures(), 60_000, 61_000)


def test_case_49_odd_sizes_become_even(tmp_path: Path) -> None:
    path = media.make("odd.mkv", "-i", media.base(), "-vf", "scale=101:75", "-pix_fmt", "yuv444p", "-t", "2")
    result = make_film([piece(path, 500, 1500)], tmp_path / "film.mp4")
    with av.open(str(result.path)) as film:
        stream = film.streams.video[0]
        assert (stream.width, stream.height, stream.pix_fmt) == (100, 74, "yuv420p")
        assert stream.profile == "High"


def test_mixed_recordings_come_out_alike(tmp_path: Path) -> None:
    pieces = [
        piece(films.with_b_pictures(), 1000, 3000),
        piece(media.rotated(90), 0, 500),
        piece(media.hdr(), 0, 500),
        piece(media.only_sound(), 0, 500),
        piece(media.no_sound(), 0, 500),
        StillPiece(np.full((90, 160, 3), 200, np.uint8), 500),
    ]
    result = make_film(pieces, tmp_path / "film.mp4")
    with av.open(str(result.path)) as film:
        stream = film.streams.video[0]
        assert (stream.width, stream.height, stream.average_rate) == (320, 240, 30)
        assert (stream.codec_context.color_trc, stream.codec_context.colorspace) == (1, 1)
        count = sum(1 for _ in film.decode(stream))
    assert count == result.plan.pictures == 60 + 5 * 15
    assert films.times(result.path) == [Fraction(n, 30) for n in range(135)]


def test_hdr_is_mapped_to_sdr(tmp_path: Path) -> None:
    result = make_film([piece(media.hdr(), 0, 1000)], tmp_path / "film.mp4")
    with av.open(str(result.path)) as film:
        frame = next(film.decode(video=0))
    assert (int(frame.color_trc), int(frame.colorspace), frame.format.name) == (1, 1, "yuv420p")


def test_overlays_show_when_asked_and_nowhere_else(tmp_path: Path) -> None:
    note = np.zeros((41, 61, 4), np.uint8)
    note[:, :, 0], note[:, :, 3] = 255, 255
    path = films.with_b_pictures()
    pieces = [piece(path, 1000, 2000, overlays=(Overlay(200, 500, note, x=101, y=121),))]
    result = make_film(pieces, tmp_path / "film.mp4")
    with av.open(str(result.path)) as film:
        shown = [frame.to_ndarray(format="rgb24") for frame in film.decode(video=0)]
    is_red = [bool(one[140, 130, 0] > 200 and one[140, 130, 1] < 60) for one in shown]
    assert is_red == [6 <= n < 15 for n in range(30)]
    assert [media.read_number(one) for one in shown] == list(range(30, 60))
    assert abs(shown[8][60, 60].astype(int) - 128).max() < 8


def test_long_scraping_runs_faster(tmp_path: Path) -> None:
    result = make_film([piece(films.with_b_pictures(), 1000, 5000, speed=Fraction(4))], tmp_path / "film.mp4")
    assert films.numbers(result.path) == list(range(30, 150, 4))


def test_another_rate_shows_the_picture_of_its_time(tmp_path: Path) -> None:
    options = FilmOptions(rate=Fraction(25))
    result = make_film([piece(films.with_b_pictures(), 1000, 2000)], tmp_path / "film.mp4", options=options)
    assert films.numbers(result.path) == [30 + n * 30 // 25 for n in range(25)]


def test_a_card_is_shown_in_silence(tmp_path: Path) -> None:
    card = np.zeros((240, 320, 3), np.uint8)
    card[:, :, 2] = 200
    result = make_film([StillPiece(card, 1000)], tmp_path / "film.mp4")
    with av.open(str(result.path)) as film:
        shown = next(film.decode(video=0)).to_ndarray(format="rgb24")
    assert np.abs(shown.astype(int) - card).max() < 8
    assert np.abs(films.stereo(result.path)).max() < 1e-4


def test_nothing_to_show_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="nothing to show"):
        make_film([], tmp_path / "film.mp4")


def test_a_recording_that_has_gone_is_named(tmp_path: Path) -> None:
    held = probe(media.base())
    with pytest.raises(Missing, match=r"gone\.mp4"):
        make_film([SourcePiece(tmp_path / "gone.mp4", 0, 1000, held)], tmp_path / "film.mp4")
    assert list(tmp_path.iterdir()) == []


def test_before_the_first_picture_it_is_held(tmp_path: Path) -> None:
    plain = films.with_b_pictures()
    path = media.make(
        "picture-later.mp4",
        "-itsoffset",
        "2.5",
        "-i",
        plain,
        "-i",
        plain,
        *["-map", "0:v", "-map", "1:a", "-c", "copy"],
    )
    result = make_film([piece(path, 2000, 3000)], tmp_path / "film.mp4")
    lead = films.lead_ms(path) * 30 // 1000 - 60
    assert 14 <= lead <= 16
    assert films.numbers(result.path) == [0] * lead + list(range(30 - lead))


def test_after_the_last_picture_it_is_held(tmp_path: Path) -> None:
    plain = films.with_b_pictures()
    path = media.make(
        "sound-longer.mp4", "-i", plain, "-itsoffset", "1", "-i", plain, *["-map", "0:v", "-map", "1:a", "-c", "copy"]
    )
    result = make_film([piece(path, 9000, 11_000)], tmp_path / "film.mp4")
    assert films.numbers(result.path) == [*range(270, 300), *[299] * 30]
    assert np.abs(films.stereo(result.path)[round(1.5 * 48000) : round(1.9 * 48000)]).max() > 0.2
