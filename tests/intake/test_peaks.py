"""The outline of the sound, on the recording's clock."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import psutil
import pytest

from annotate.errors import BadInput, Cancelled
from annotate.intake.peaks import measure_peaks, put_in_bins, read_peaks, write_peaks
from annotate.intake.probe import probe
from tests import media


def loud_ms(path: Path, level: int = 30) -> tuple[int, int]:
    """Start of the first and end of the last 50 ms with sound."""
    peaks = measure_peaks(path, probe(path))
    loud = np.flatnonzero(peaks.values[:, 1] > level)
    return int(loud[0]) * 50, int(loud[-1] + 1) * 50


def test_beep_is_where_it_sounds() -> None:
    assert loud_ms(media.click()) == (3000, 3200)


@pytest.mark.parametrize("suffix", ["mkv", "ts"])
def test_start_offset_does_not_move_it(suffix: str) -> None:  # case 9
    path = media.make(f"click5.{suffix}", "-i", media.click(), "-c", "copy", "-output_ts_offset", "5")
    start_ms, _ = loud_ms(path)
    assert start_ms == 3000  # MPEG-TS: 3021 ms, in the same 50 ms


def test_late_sound_is_late() -> None:  # case 10
    inputs = ("-i", media.click(), "-itsoffset", "0.5", "-i", media.click())
    path = media.make("late0.5.mp4", *inputs, "-map", "0:v", "-map", "1:a", "-c", "copy")
    assert loud_ms(path) == (3500, 3700)


def test_scale_is_full_scale() -> None:
    path = media.make("half.wav", "-f", "lavfi", "-i", "aevalsrc='0.5*sin(2*PI*100*t)':s=48000", "-t", "1")
    peaks = measure_peaks(path, probe(path))
    assert peaks.values.shape == (20, 2)
    assert np.all(np.abs(peaks.values[:, 0] + 64) <= 1)  # half of 127, rounded outward
    assert np.all(np.abs(peaks.values[:, 1] - 64) <= 1)


def test_chosen_track_is_drawn() -> None:  # case 20
    quiet = ("-f", "lavfi", "-i", "aevalsrc=0:s=48000")
    path = media.make("loudquiet.mkv", *media.TONE, *quiet, "-t", "1", "-map", "0", "-map", "1", "-c:a", "pcm_s16le")
    assert measure_peaks(path, probe(path, 0)).values.max() > 10
    assert measure_peaks(path, probe(path, 1)).values.max() == 0


def test_no_sound_is_flat() -> None:  # case 11
    peaks = measure_peaks(media.no_sound(), probe(media.no_sound()))
    assert peaks.values.shape == (120, 2)
    assert not peaks.values.any()


def test_samples_outside_are_left_out() -> None:
    low, high = np.zeros(2, np.float32), np.zeros(2, np.float32)
    samples = np.array([[9, -1, 1, 0.5, 9, 9]], np.float32)
    put_in_bins(samples, -1, 40, low, high)  # 40 Hz: two samples a bin, the first lies before 0
    assert (low.tolist(), high.tolist()) == ([-1.0, 0.0], [1.0, 9.0])
    put_in_bins(samples, 4, 40, low, high)
    assert high.tolist() == [1.0, 9.0]


def test_file_comes_back(tmp_path: Path) -> None:
    peaks = measure_peaks(media.click(), probe(media.click()))
    target = tmp_path / "peaks" / "a.peaks"
    write_peaks(peaks, target)
    assert target.stat().st_size == 16 + 2 * 100
    back = read_peaks(target)
    assert back.bin_ms == 50
    assert np.array_equal(back.values, peaks.values)
    assert [one.name for one in target.parent.iterdir()] == ["a.peaks"]
    target.write_bytes(target.read_bytes()[:-1])
    with pytest.raises(BadInput, match="broken or newer"):
        read_peaks(target)


def test_cancel() -> None:
    with pytest.raises(Cancelled):
        measure_peaks(media.base(), probe(media.base()), cancelled=lambda: True)


def test_memory_stays_bounded() -> None:
    path = media.make("long.flac", "-f", "lavfi", "-i", "anoisesrc=a=0.02:r=16000", "-t", "600")
    recording, process = probe(path), psutil.Process()
    before, most = process.memory_info().rss, 0

    def watch(_: float) -> None:
        nonlocal most
        most = max(most, process.memory_info().rss)

    peaks = measure_peaks(path, recording, watch)
    assert len(peaks.values) == 12_000
    assert most - before < 20_000_000  # all samples as floats would be 38 MB
