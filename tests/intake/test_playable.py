"""The copy for the browser: right codecs, upright, and the same clock as the recording."""

from __future__ import annotations

import shutil
import sys
import threading
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from annotate.errors import Cancelled, NoSpace, NotMedia, ToolFailed
from annotate.intake import encoder
from annotate.intake.colours import sdr_filter
from annotate.intake.playable import even_size, make_playable, playable_path
from annotate.intake.probe import probe
from annotate.model import Probe
from tests import media


def copy_of(path: Path, folder: Path) -> tuple[Path, Probe]:
    """The playable copy of a file and what it probes as."""
    target = folder / "playable" / "copy.mp4"
    make_playable(path, probe(path), target)
    assert [one.name for one in target.parent.iterdir()] == ["copy.mp4"]
    return target, probe(target)


def flash_and_beep_s(path: Path) -> tuple[float, float]:
    """When the picture turns white and when the tone begins, in file time."""
    with av.open(str(path)) as container:
        flash = next(
            frame.pts * frame.time_base
            for frame in container.decode(video=0)
            if frame.to_ndarray(format="gray")[60, 160] > 128
        )
    with av.open(str(path)) as container:
        for frame in container.decode(audio=0):
            loud = np.flatnonzero(np.abs(frame.to_ndarray()[0].astype(float)) > 0.1)
            if loud.size:
                return float(flash), float(frame.pts * frame.time_base) + loud[0] / frame.sample_rate
    raise AssertionError("no beep")


SHIFTED = {
    "click0.mkv": (0, 0),
    "click5.mkv": (5, 5),
    "click5.mp4": (5, 5),
    "click5.ts": (5, 5),
    "click0.mov": (0, 0),
}


@pytest.mark.parametrize("name", SHIFTED)
def test_click_stays_where_the_recording_has_it(name: str, tmp_path: Path) -> None:  # cases 7, 9
    offset = str(SHIFTED[name][0])
    path = media.make(name, "-i", media.click(), "-c", "copy", "-output_ts_offset", offset)
    recording = probe(path)
    copy, found = copy_of(path, tmp_path)
    assert not found.needs_playable
    assert found.origin == 0
    in_recording = [moment - float(recording.origin) for moment in flash_and_beep_s(path)]
    assert flash_and_beep_s(copy) == pytest.approx(in_recording, abs=0.001)
    # Within the AAC priming (1024 samples of 48 kHz, 21 ms) of where it was made.
    assert in_recording == pytest.approx([3.0, 3.0], abs=0.03)


@pytest.mark.parametrize(("picture_s", "sound_s"), [(0, 0.5), (0.5, 0)])
def test_late_stream_is_led_in(picture_s: float, sound_s: float, tmp_path: Path) -> None:  # case 10
    inputs = ("-itsoffset", str(picture_s), "-i", media.click(), "-itsoffset", str(sound_s), "-i", media.click())
    path = media.make(f"late{picture_s}{sound_s}.mp4", *inputs, "-map", "0:v", "-map", "1:a", "-c", "copy")
    copy, found = copy_of(path, tmp_path)
    assert not found.needs_playable
    assert [one.start for one in found.streams] == [0, 0]
    assert flash_and_beep_s(copy) == pytest.approx((3 + picture_s, 3 + sound_s), abs=0.001)


def test_changing_rate_keeps_every_picture_at_its_time(tmp_path: Path) -> None:  # case 1
    path = media.make("vfr.mkv", "-i", media.vfr(), "-c:v", "libx265", "-preset", "ultrafast", "-c:a", "copy",
                      "-fps_mode", "passthrough", "-x265-params", "log-level=none")  # fmt: skip
    copy, found = copy_of(path, tmp_path)
    assert found.is_variable_rate
    with av.open(str(copy)) as container:
        shown = [
            (media.read_number(frame.to_ndarray(format="rgb24")), float(frame.pts * frame.time_base))
            for frame in container.decode(video=0)
        ]
    assert len(shown) == 200
    assert all(abs(moment - number / 30) < 0.001 for number, moment in shown)


@pytest.mark.parametrize("turn", [90, 180, 270])
@pytest.mark.parametrize("is_copied", [True, False])
def test_turned_picture_stands_upright(turn: int, is_copied: bool, tmp_path: Path) -> None:  # cases 3, 5
    mov = media.rotated(turn, "mov")
    path = mov
    if not is_copied:
        coding = ("-c:v", "libx265", "-preset", "ultrafast", "-tag:v", "hvc1", "-x265-params", "log-level=none")
        stored = media.make("stored.mov", "-i", media.base(), *coding, "-c:a", "copy")
        path = media.make(f"turned{turn}.mov", "-display_rotation", str(turn), "-i", stored, "-c", "copy")
    copy, found = copy_of(path, tmp_path)
    assert (found.width, found.height) == ((240, 320) if turn in (90, 270) else (320, 240))
    assert found.rotation == (probe(mov).rotation if is_copied else 0)
    # Reference: the ffmpeg program's own turning.
    for name, source in (("want", mov), ("have", copy)):
        media.ffmpeg("-i", source, "-frames:v", "1", "-pix_fmt", "rgb24", tmp_path / f"{name}.png")
    want, have = (_pixels(tmp_path / f"{name}.png") for name in ("want", "have"))
    assert np.abs(want - have).mean() < 6


def _pixels(path: Path) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    from PIL import Image

    with Image.open(path) as picture:
        return np.asarray(picture.convert("RGB"), float)


def test_hdr_becomes_ordinary(tmp_path: Path) -> None:  # cases 6, 7
    copy, found = copy_of(media.hdr(), tmp_path)
    assert not found.is_hdr
    assert not found.needs_playable
    with av.open(str(copy)) as container:
        stream = container.streams.video[0]
        assert (stream.codec_context.name, stream.codec_context.pix_fmt) == ("h264", "yuv420p")
        # ITU-T H.273: 1 is BT.709 for transfer, primaries and matrix.
        colours = stream.codec_context
        assert (colours.color_trc, colours.color_primaries, colours.colorspace) == (1, 1, 1)


@pytest.mark.parametrize(("transfer", "grey", "white"), [("arib-std-b67", 0.38, 0.75), ("smpte2084", 0.38, 0.58)])
def test_grey_and_white_come_out_as_such(transfer: str, grey: float, white: float, tmp_path: Path) -> None:  # case 6
    """An 18 % grey card and reference white must look so on an ordinary screen.

    Signal levels of card and white: ITU-R BT.2408, clauses 2.1 and 2.2 (from
    memory). An 18 % card has a BT.709 signal of 1.099 * 0.18**0.45 - 0.099 = 0.409.
    """
    luma = [round(64 + 876 * signal) for signal in (grey, white, 0.0)]
    planes = b"".join(
        np.full((64, 64), one, "<u2").tobytes() + np.full((2, 32, 32), 512, "<u2").tobytes() for one in luma
    )
    raw = tmp_path / "in.yuv"
    raw.write_bytes(planes)
    chain = sdr_filter(transfer, "bt2020", "bt2020nc", "tv")
    made = tmp_path / "out.yuv"
    media.ffmpeg(
        "-f", "rawvideo", "-pix_fmt", "yuv420p10le", "-s", "64x64", "-i", raw, "-vf", chain, "-f", "rawvideo", made
    )
    out = np.frombuffer(made.read_bytes(), np.uint8).reshape(3, -1)[:, : 64 * 64].mean(axis=1)
    signal = (out - 16) / 219
    assert signal[0] == pytest.approx(0.409, abs=0.03)
    assert 0.85 < signal[1] <= 1.0
    assert signal[2] == pytest.approx(0, abs=0.01)


def test_live_webm_gets_a_length(tmp_path: Path) -> None:  # case 19
    _, found = copy_of(media.webm_live(), tmp_path)
    assert found.container == "mp4"
    assert found.duration_ms == pytest.approx(3000, abs=40)


def test_recording_that_was_cut_off_plays_to_where_it_goes(tmp_path: Path) -> None:  # case 13
    whole = media.mkv().read_bytes()
    path = media.written("cut.mkv", whole[: len(whole) // 2])
    _, found = copy_of(path, tmp_path)
    assert found.duration_ms == pytest.approx(probe(path).duration_ms, abs=100)


@pytest.mark.parametrize(("choice", "tone_hz"), [(None, 3000), (1, 300), (2, 3000)])
def test_copy_has_the_chosen_track_alone(choice: int | None, tone_hz: int, tmp_path: Path) -> None:  # case 20
    path = media.two_tracks()
    target = tmp_path / "copy.mp4"
    make_playable(path, probe(path, choice), target)
    with av.open(str(target)) as container:
        assert len(container.streams.audio) == 1
        sound = np.concatenate([frame.to_ndarray()[0] for frame in container.decode(audio=0)])
        rate = container.streams.audio[0].rate
    spectrum = np.abs(np.fft.rfft(sound[: rate * 2]))
    assert np.argmax(spectrum) / 2 == pytest.approx(tone_hz, abs=1)


def test_sound_alone(tmp_path: Path) -> None:
    path = media.make("sound.aiff", *media.TONE, "-t", "3")
    recording = probe(path)
    assert recording.why_playable == "browsers do not open aiff files"
    assert playable_path("ab" * 32, recording) == "playable/abababababababab.m4a"
    _, found = copy_of(path, tmp_path)
    assert (found.picture_stream, found.duration_ms) == (None, 3000)


def test_no_sound(tmp_path: Path) -> None:  # case 11
    path = media.make("nosound.mkv", "-i", media.no_sound(), "-c", "copy")
    _, found = copy_of(path, tmp_path)
    assert (found.sound_stream, found.duration_ms) == (None, 6000)


def test_place_of_filming_is_not_carried_over(tmp_path: Path) -> None:
    words = ("-metadata", "location=+48.2082+016.3738/", "-metadata", "title=Bench", "-metadata:s:v", "language=deu")
    path = media.make("placed.mov", "-i", media.base(), "-c", "copy", *words)
    assert b"+48.2082" in path.read_bytes()
    copy, _ = copy_of(path, tmp_path)
    assert b"+48.2082" not in copy.read_bytes()
    assert b"Bench" not in copy.read_bytes()


def test_index_comes_first(tmp_path: Path) -> None:
    copy, _ = copy_of(media.mkv(), tmp_path)
    content = copy.read_bytes()
    assert content.index(b"moov") < content.index(b"mdat")


@pytest.mark.parametrize(
    ("size", "expected"),
    [
        ((320, 240), (320, 240)),
        ((101, 75), (100, 76)),
        ((3840, 2160), (1920, 1080)),
        ((2160, 3840), (1080, 1920)),
        ((1, 1), (2, 2)),
    ],
)
def test_sides_are_even_and_bounded(size: tuple[int, int], expected: tuple[int, int]) -> None:
    assert even_size(*size) == expected


def test_odd_sides(tmp_path: Path) -> None:
    source = ("-f", "lavfi", "-i", "testsrc=s=101x75:r=25")
    path = media.make("odd.mkv", *source, "-t", "1", "-c:v", "libx264", "-pix_fmt", "yuv444p")
    _, found = copy_of(path, tmp_path)
    assert (found.width, found.height) == (100, 76)
    assert not found.needs_playable


def long_film() -> Path:
    source = ("-f", "lavfi", "-i", "testsrc2=s=1280x720:r=30")
    return media.make("long.mkv", *source, "-t", "12", "-c:v", "mpeg4", "-q:v", "8")


def test_cancel_leaves_no_child_and_no_file(tmp_path: Path) -> None:
    path, before = long_film(), media.children()
    reports: list[float] = []
    with pytest.raises(Cancelled):
        make_playable(path, probe(path), tmp_path / "copy.mp4", reports.append, lambda: len(reports) > 1)
    assert reports[0] < 0.9
    assert media.children() == before
    assert list(tmp_path.iterdir()) == []


def test_error_in_a_report_leaves_no_child(tmp_path: Path) -> None:
    path, before, threads = long_film(), media.children(), threading.active_count()

    def broken(_: float) -> None:
        raise RuntimeError("page went away")

    with pytest.raises(RuntimeError, match="page went away"):
        make_playable(path, probe(path), tmp_path / "copy.mp4", broken)
    assert media.children() == before
    assert list(tmp_path.iterdir()) == []
    assert threading.active_count() <= threads + 1  # the reading thread ends by itself


def test_progress_rises_to_one(tmp_path: Path) -> None:
    reports: list[float] = []
    make_playable(media.hdr(), probe(media.hdr()), tmp_path / "copy.mp4", reports.append)
    assert reports == sorted(reports)
    assert reports[-1] == 1.0


@pytest.mark.skipif(sys.platform != "linux", reason="/dev/full is Linux's always-full disk")
def test_full_disk_is_named(tmp_path: Path) -> None:
    arguments = ["-i", f"file:{media.base()}", "-c", "copy", "-f", "mp4", "/dev/full"]
    with pytest.raises(NoSpace, match="the disk is full"):
        encoder.run(arguments, tmp_path / "copy.mp4", 6000, lambda _: None, lambda: False)


@pytest.mark.parametrize(("kind", "error"), [(media.hdr, NotMedia), (media.webm_live, ToolFailed)])
def test_failure_is_one_sentence(kind: Callable[[], Path], error: type[Exception], tmp_path: Path) -> None:
    path = tmp_path / "gone.mkv"
    shutil.copy(kind(), path)
    recording = probe(path)
    path.write_bytes(b"something else now")
    with pytest.raises(error, match=r"gone\.mkv") as caught:
        make_playable(path, recording, tmp_path / "copy.mp4")
    assert "\n" not in str(caught.value)
    assert [one.name for one in tmp_path.iterdir()] == ["gone.mkv"]


def test_rate_of_the_copy(tmp_path: Path) -> None:
    _, found = copy_of(media.mkv(), tmp_path)
    assert found.rate == Fraction(30)
