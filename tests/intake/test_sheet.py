"""The contact sheet: upright, evenly spread, with true times."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from annotate.errors import BadInput, Cancelled
from annotate.intake.probe import probe
from annotate.intake.sheet import picture_count, tile_size, write_sheet
from tests import media


def test_times_are_those_of_the_pictures(tmp_path: Path) -> None:  # case 1
    target = tmp_path / "sheets" / "a.jpg"
    sheet = write_sheet(media.vfr(), probe(media.vfr()), target)
    assert sheet.times_ms == (1000, 3000, 5000, 7000, 9000)
    assert json.loads(target.with_suffix(".json").read_text()) == {
        "tile_width": 160,
        "tile_height": 120,
        "columns": 5,
        "times_ms": [1000, 3000, 5000, 7000, 9000],
    }
    with Image.open(target) as whole:
        assert whole.size == (800, 120)
        pixels = np.asarray(whole)
    numbers = [media.read_number(pixels[:, x : x + 160]) for x in range(0, 800, 160)]
    assert numbers == [30, 90, 150, 210, 270]
    assert sorted(one.name for one in target.parent.iterdir()) == ["a.jpg", "a.json"]


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_pictures_stand_upright(turn: int, tmp_path: Path) -> None:  # cases 3, 5
    path = media.rotated(turn)
    sheet = write_sheet(path, probe(path), tmp_path / "a.jpg")
    # Reference: the ffmpeg program's own turning.
    want = tmp_path / "want.png"
    at_s = str(sheet.times_ms[0] / 1000)
    size = f"{sheet.tile_width}:{sheet.tile_height}"
    media.ffmpeg("-ss", at_s, "-i", path, "-frames:v", "1", "-vf", f"scale={size}:flags=area", want)
    with Image.open(want) as picture, Image.open(tmp_path / "a.jpg") as whole:
        expected = np.asarray(picture.convert("RGB"), float)
        found = np.asarray(whole, float)[: sheet.tile_height, : sheet.tile_width]
    assert found.shape == expected.shape
    assert np.abs(found - expected).mean() < 12  # JPEG


def test_start_offset_is_taken_off(tmp_path: Path) -> None:  # case 9
    path = media.start_offset("mkv")
    assert write_sheet(path, probe(path), tmp_path / "a.jpg").times_ms == (1000, 3000, 5000)


def test_file_without_index(tmp_path: Path) -> None:  # case 19
    sheet = write_sheet(media.webm_live(), probe(media.webm_live()), tmp_path / "a.jpg")
    assert len(sheet.times_ms) == 1
    assert abs(sheet.times_ms[0] - 1500) <= 34


def test_long_recording_takes_key_pictures(tmp_path: Path) -> None:
    source = ("-f", "lavfi", "-i", "testsrc2=s=160x120:r=2")
    path = media.make("long-slow.mp4", *source, "-t", "1500", *media.H264, "-g", "10")
    sheet = write_sheet(path, probe(path), tmp_path / "a.jpg")
    assert len(sheet.times_ms) == 100
    assert all(at_ms % 5000 == 0 for at_ms in sheet.times_ms)
    assert all(abs(at_ms - (7500 + 15_000 * number)) <= 5000 for number, at_ms in enumerate(sheet.times_ms))


def test_how_many_and_how_large() -> None:
    assert [picture_count(ms) for ms in (1, 1999, 4000, 200_000, 10**8)] == [1, 1, 2, 100, 100]
    assert [tile_size(*size) for size in ((1920, 1080), (1080, 1920), (3, 3000))] == [(160, 90), (90, 160), (1, 160)]


def test_sound_alone_has_no_sheet(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="has no picture"):
        write_sheet(media.only_sound(), probe(media.only_sound()), tmp_path / "a.jpg")


def test_cancel_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(Cancelled):
        write_sheet(media.base(), probe(media.base()), tmp_path / "a.jpg", cancelled=lambda: True)
    assert list(tmp_path.iterdir()) == []
