"""Decoding onto the recording's own clock. Inputs are made here with PyAV."""

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from annotate.errors import BadTime, Missing, NotMedia
from annotate.listen.audio import SoundPlace, channel_weights, read_place, read_sound, sound_blocks

RATE = 16_000


def tone(hz: float, seconds: float, rate: int, level: float = 0.5) -> np.ndarray:
    return (level * np.sin(2 * np.pi * hz * np.arange(int(seconds * rate)) / rate)).astype(np.float32)


def clicks(at_seconds: list[float], seconds: float, rate: int) -> np.ndarray:
    sound = np.zeros(int(seconds * rate), np.float32)
    for at in at_seconds:
        start = round(at * rate)
        sound[start : start + rate // 100] = tone(1000, 0.01, rate, 0.8)
    return sound


def write(
    path: Path,
    tracks: list[np.ndarray],
    rate: int,
    codec: str = "pcm_s16le",
    first: tuple[int, ...] = (),
    layout: str | None = None,
    picture_seconds: float = 0,
    skip: range = range(0),
) -> Path:
    """One sound stream per track, shape (channels, n); ``first`` its first time stamps, ``skip`` blocks left out."""
    with av.open(str(path), "w") as out:
        picture = None
        if picture_seconds:
            picture = out.add_stream("mpeg4", rate=25)
            picture.width, picture.height, picture.pix_fmt = 64, 48, "yuv420p"
        streams = []
        for track in tracks:
            stream = out.add_stream(codec, rate=rate, layout=layout or ("mono" if len(track) == 1 else "stereo"))
            streams.append(stream)
        if picture is not None:
            for number in range(int(picture_seconds * 25)):
                frame = av.VideoFrame.from_ndarray(np.full((48, 64, 3), number % 255, np.uint8))
                frame.pts, frame.time_base = number, Fraction(1, 25)
                out.mux(picture.encode(frame))
            out.mux(picture.encode(None))
        for number, (track, stream) in enumerate(zip(tracks, streams, strict=True)):
            start = first[number] if first else 0
            for block, at in enumerate(range(0, track.shape[1], 1024)):
                if block in skip:
                    continue
                values = np.clip(track[:, at : at + 1024] * 32767, -32768, 32767).astype(np.int16)
                frame = av.AudioFrame.from_ndarray(
                    np.ascontiguousarray(values.T.reshape(1, -1)), format="s16", layout=stream.layout.name
                )
                frame.sample_rate, frame.pts, frame.time_base = rate, start + at, Fraction(1, rate)
                out.mux(stream.encode(frame))
            out.mux(stream.encode(None))
    return path


def onsets(sound: np.ndarray) -> list[float]:
    """Seconds at which the sound rises after 0.2 s of quiet."""
    loud = np.flatnonzero(np.abs(sound) > 0.2)
    return [round(n / RATE, 3) for k, n in enumerate(loud) if k == 0 or n - loud[k - 1] > RATE // 5]


def test_samples_lie_on_the_clock_and_blocks_join_without_a_seam(tmp_path: Path) -> None:
    path = write(tmp_path / "a.wav", [clicks([0.5, 1.5, 2.25], 3, 44_100)[None]], 44_100)
    sound = read_sound(path, 0)
    assert sound.dtype == np.float32
    assert len(sound) == 3 * RATE
    assert onsets(sound) == pytest.approx([0.5, 1.5, 2.25], abs=0.001)
    blocks = list(sound_blocks(SoundPlace(path, 0), block_seconds=1))
    assert [len(block) for block in blocks] == [RATE, RATE, RATE]
    assert np.array_equal(np.concatenate(blocks), sound)


def test_no_sound_stream_is_an_empty_sound(tmp_path: Path) -> None:
    path = write(tmp_path / "silent film.mp4", [], 16_000, picture_seconds=1)
    assert len(read_sound(path, None)) == 0
    with pytest.raises(NotMedia, match="has no sound stream 1"):
        read_sound(path, 1)


def test_a_late_stream_keeps_its_lead(tmp_path: Path) -> None:
    """Sound 2.5 s after the picture: a click half a second into it is at 3.0 s."""
    path = write(tmp_path / "late.mkv", [clicks([0.5], 1, 48_000)[None]], 48_000, first=(120_000,), picture_seconds=4)
    sound = read_sound(path, 1)
    assert onsets(sound) == pytest.approx([3.0], abs=0.002)
    assert not sound[: int(2.4 * RATE)].any()


@pytest.mark.parametrize("suffix", ["mkv", "mp4"])
def test_a_late_aac_stream_is_within_a_few_milliseconds(tmp_path: Path, suffix: str) -> None:
    path = write(
        tmp_path / f"late.{suffix}",
        [clicks([0.5], 1, 48_000)[None]],
        48_000,
        "aac",
        first=(120_000,),
        picture_seconds=4,
    )
    assert onsets(read_sound(path, 1)) == pytest.approx([3.0], abs=0.022)


def test_the_origin_is_taken_off(tmp_path: Path) -> None:
    """A file whose clock starts at 5 s: the recording's clock starts at zero."""
    path = write(tmp_path / "start5.mkv", [clicks([0.5], 1, 48_000)[None]], 48_000, first=(240_000,))
    assert onsets(read_sound(path, 0, Fraction(5))) == pytest.approx([0.5], abs=0.002)


def test_a_hole_in_the_time_stamps_is_filled(tmp_path: Path) -> None:
    """Blocks 20 to 39 (1024 samples each) are missing: what follows stays where it was."""
    path = write(tmp_path / "hole.mkv", [clicks([0.2, 1.5], 2, 48_000)[None]], 48_000, skip=range(20, 40))
    sound = read_sound(path, 0)
    assert len(sound) == pytest.approx(2 * RATE, abs=RATE * 0.002)
    assert onsets(sound) == pytest.approx([0.2, 1.5], abs=0.002)


def test_the_chosen_stream_is_read(tmp_path: Path) -> None:
    path = write(tmp_path / "two.mkv", [tone(300, 1, 48_000)[None], tone(3000, 1, 48_000)[None]], 48_000)
    strongest = [np.argmax(np.abs(np.fft.rfft(read_sound(path, index)[:RATE]))) for index in (0, 1)]
    assert strongest == [300, 3000]


def test_a_dead_channel_does_not_halve_the_level(tmp_path: Path) -> None:
    live = tone(440, 1, 48_000)
    path = write(tmp_path / "dead.wav", [np.stack([live, np.zeros_like(live)])], 48_000)
    assert np.abs(read_sound(path, 0)).max() == pytest.approx(0.5, abs=0.01)
    both = write(tmp_path / "both.wav", [np.stack([live, live])], 48_000)
    assert np.abs(read_sound(both, 0)).max() == pytest.approx(0.5, abs=0.01)


def test_an_upside_down_channel_does_not_cancel(tmp_path: Path) -> None:
    live = tone(440, 1, 48_000)
    path = write(tmp_path / "flipped.wav", [np.stack([live, -live])], 48_000)
    assert np.abs(read_sound(path, 0)).max() == pytest.approx(0.5, abs=0.01)


def test_channel_weights_of_known_mixes() -> None:
    one = tone(440, 0.1, RATE)
    assert channel_weights(np.stack([one, 0 * one])).tolist() == [1.0, 0.0]
    assert channel_weights(np.stack([one, one])).tolist() == [0.5, 0.5]
    assert channel_weights(np.stack([one, -one])).tolist() == [0.5, -0.5]
    assert channel_weights(np.zeros((4, 9), np.float32)).tolist() == [0.25] * 4


def test_surround_8_khz_and_96_khz(tmp_path: Path) -> None:
    centre = np.zeros((6, 48_000), np.float32)
    centre[2] = tone(440, 1, 48_000)
    surround = write(tmp_path / "six.wav", [centre], 48_000, layout="5.1")
    assert np.abs(read_sound(surround, 0)).max() == pytest.approx(0.5, abs=0.01)
    for rate in (8_000, 96_000):
        path = write(tmp_path / f"{rate}.wav", [tone(440, 1, rate)[None]], rate)
        sound = read_sound(path, 0)
        assert len(sound) == RATE
        assert np.argmax(np.abs(np.fft.rfft(sound))) == 440


def test_a_damaged_tail_keeps_what_could_be_decoded(tmp_path: Path) -> None:
    whole = write(tmp_path / "whole.mkv", [clicks([0.5, 1.5, 3.5], 4, 48_000)[None]], 48_000, "aac").read_bytes()
    cut = tmp_path / "cut.mkv"
    cut.write_bytes(whole[: len(whole) // 2] + bytes(500))
    sound = read_sound(cut, 0)
    assert RATE < len(sound) < 4 * RATE
    assert onsets(sound)[0] == pytest.approx(0.5, abs=0.022)


def test_a_stretch_is_read_from_its_place(tmp_path: Path) -> None:
    rng = np.random.default_rng(1)
    path = write(tmp_path / "noise.wav", [rng.uniform(-0.5, 0.5, (1, 8 * 48_000)).astype(np.float32)], 48_000)
    whole = read_sound(path, 0)
    stretch = read_place(SoundPlace(path, 0, start_ms=5_000, end_ms=6_500))
    assert len(stretch) == 24_000
    assert np.allclose(stretch, whole[80_000:104_000], atol=1e-3)


def test_what_cannot_be_read_is_said(tmp_path: Path) -> None:
    with pytest.raises(Missing):
        read_sound(tmp_path / "gone.wav", 0)
    text = tmp_path / "text.mp4"
    text.write_text("not a film")
    with pytest.raises(NotMedia, match=r"“text\.mp4” cannot be read as sound"):
        read_sound(text, 0)
    with pytest.raises(BadTime):
        SoundPlace(text, 0, start_ms=5, end_ms=4)
