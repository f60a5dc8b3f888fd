"""Stills are the picture asked for, upright and in the colours of the playable copy."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np
import pytest
from numpy.typing import NDArray

from annotate.errors import NotMedia
from annotate.intake.colours import to_sdr_filter
from annotate.intake.probe import probe
from annotate.lesson.cutting import frames, tone
from tests import media
from tests.lesson import films


def number_at(path: Path, at_ms: int) -> int:
    return media.read_number(frames.picture_at(path, probe(path), at_ms))


def shown_by_ffmpeg(path: Path, chain: str, name: str) -> NDArray[np.int64]:
    """The picture at 1 s, turned to RGB by the ffmpeg program."""
    png = media.make(name, "-ss", "1", "-i", path, "-vf", chain, "-frames:v", "1")
    with av.open(str(png)) as still:
        return next(still.decode(video=0)).to_ndarray(format="rgb24").astype(np.int64)


@pytest.mark.parametrize("path", [films.with_b_pictures, films.long_group, films.open_groups])
def test_case_52_every_picture_is_found_by_its_time(path: object) -> None:
    assert callable(path)
    for number in (0, 1, 29, 30, 31, 58, 59, 60, 149, 298, 299):
        at_ms = round(number * 1000 / 30)
        assert number_at(path(), at_ms) == number
        assert number_at(path(), at_ms + 32) == number


def test_case_52_in_any_order_from_one_opening() -> None:
    path = films.with_b_pictures()
    asked = [9000, 100, 4567, 4533, 0, 9999]
    found = [media.read_number(one) for one in frames.pictures(path, probe(path), asked)]
    assert found == [270, 3, 137, 136, 0, 299]


def test_case_1_a_still_of_a_varying_rate() -> None:
    assert [number_at(media.vfr(), at_ms) for at_ms in (1000, 4000, 8000, 8099, 8100)] == [30, 120, 240, 240, 243]


def test_the_first_and_last_picture_of_a_clip() -> None:
    path = films.with_b_pictures()
    held = probe(path)
    assert media.read_number(frames.last_picture_before(path, held, 3877)) == 115
    assert media.read_number(frames.last_picture_before(path, held, 5100)) == 152
    assert media.read_number(frames.last_picture_before(path, held, 99_999)) == 299


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_case_3_stills_stand_upright(turn: int) -> None:
    path = media.rotated(turn)
    still = frames.picture_at(path, probe(path), 1000)
    wanted = shown_by_ffmpeg(path, "null", f"still-upright{turn}.png")
    assert still.shape == wanted.shape
    assert np.median(np.abs(still - wanted)) <= 2


def test_case_6_stills_have_the_colours_of_the_playable_copy() -> None:
    path = media.hdr()
    held = probe(path)
    assert held.picture_stream is not None
    still = frames.picture_at(path, held, 1000)
    chain = to_sdr_filter(path, held.picture_stream) + ",scale=in_color_matrix=bt709,format=rgb24"
    wanted = shown_by_ffmpeg(path, chain, "hdr-still.png")
    difference = np.abs(still - wanted)
    # The copy keeps colour for 2 x 2 pixels only, so edges differ; flat colours must not.
    assert np.median(difference) <= 3
    assert difference.mean() < 8


def test_the_colour_table_keeps_grey_grey() -> None:
    mapped = tone.mapped_grid("arib-std-b67", "bt2020").reshape(tone.GRID, tone.GRID, tone.GRID, 3)
    greys = mapped[range(tone.GRID), range(tone.GRID), range(tone.GRID)]
    assert np.ptp(greys, axis=1).max() < 0.02
    assert (np.diff(greys[:, 0]) >= -0.005).all()
    assert greys[0, 0] < 0.01
    assert greys[-1, 0] > 0.9


def test_a_still_can_be_smaller() -> None:
    assert frames.picture_at(media.base(), probe(media.base()), 1000, max_width=100).shape == (75, 100, 3)


def test_a_colour_comes_back_as_it_was() -> None:
    plain = media.make(
        "plain-colour.mp4",
        *("-f", "lavfi", "-i", "color=0xC86432:s=320x240:r=30", "-t", "2", "-pix_fmt", "yuv420p"),
    )
    still = frames.picture_at(plain, probe(plain), 1000)
    assert np.abs(still[100, 100].astype(int) - (200, 100, 50)).max() <= 3


def test_sound_alone_has_no_picture() -> None:
    with pytest.raises(NotMedia, match="has no picture"):
        frames.picture_at(media.only_sound(), probe(media.only_sound()), 1000)
