"""Clipped and gated sound is marked in files as they come: other rates, several channels, lossy codecs."""

from pathlib import Path

import numpy as np
import pytest

from annotate.intake.probe import probe
from annotate.listen.marks import Tops
from annotate.model import Sound
from annotate.work.hearing import RATE_HZ, decoded, measured
from tests.listen.test_audio import write


def wave(hz: float, rate_hz: int, over: float, seconds: float = 2.0) -> np.ndarray:
    """A tone with harmonics, ``over`` times as high as full scale and cut there."""
    at = np.arange(int(seconds * rate_hz)) / rate_hz
    tone = sum(np.sin(2 * np.pi * hz * k * at + k) / k for k in (1, 2, 3))
    return np.clip(over * tone / np.abs(tone).max(), -1, 1).astype(np.float32)


def clipped(path: Path) -> bool:
    tops = Tops()
    with decoded(path, probe(path), path.parent, lambda done: None, tops) as samples:
        (told,) = measured(samples, [Sound(200, 1800, "play")], 440.0, tops=tops)
    return told["marks"]["is_clipped"]


@pytest.mark.parametrize("rate_hz", [16_000, 44_100, 48_000, 96_000])
@pytest.mark.parametrize("hz", [58.27, 300.0, 700.0])
def test_cut_tops_are_marked_at_any_rate(tmp_path: Path, rate_hz: int, hz: float) -> None:
    assert clipped(write(tmp_path / "cut.mkv", [wave(hz, rate_hz, 2.0)[None]], rate_hz))
    assert not clipped(write(tmp_path / "whole.mkv", [wave(hz, rate_hz, 0.99)[None]], rate_hz))


def test_one_clipped_channel_of_two_is_enough(tmp_path: Path) -> None:
    loud, soft = wave(300, 48_000, 3.0), wave(300, 48_000, 0.3)
    assert clipped(write(tmp_path / "two.mkv", [np.stack([soft, loud])], 48_000))


def test_cut_tops_are_marked_after_a_lossy_codec(tmp_path: Path) -> None:
    assert clipped(write(tmp_path / "cut.mp4", [wave(300, 48_000, 3.0)[None]], 48_000, "aac"))
    assert not clipped(write(tmp_path / "whole.mp4", [wave(300, 48_000, 0.7)[None]], 48_000, "aac"))


def test_a_lone_crow_in_gated_hush_is_marked() -> None:
    at = np.arange(RATE_HZ) / RATE_HZ
    crow = 0.1 * np.sin(2 * np.pi * 420 * at) * np.clip(at / 0.02, 0, 1) * np.clip((1 - at) / 0.02, 0, 1)
    silence = np.zeros(RATE_HZ)
    hush = np.random.default_rng(1).normal(0, 0.0003, 3 * RATE_HZ)
    gated = np.concatenate([silence, crow, silence]).astype(np.float32)
    (told,) = measured(gated, [Sound(1000, 2000, "crow")], 440.0)
    assert told["marks"]["is_gated"]
    (told,) = measured((gated + hush).astype(np.float32), [Sound(1000, 2000, "crow")], 440.0)
    assert not told["marks"]["is_gated"]
