"""The command that hears any media file: what it prints, and what it says when it cannot."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

from annotate.model import Sound
from annotate.work.hearing import may_hold_speech
from tests.cli.conftest import Benchreel
from tests.listen.test_audio import write

RATE_HZ = 48_000
TALK = Path(__file__).parent.parent / "listen" / "speech" / "short.ogg"


def held(hz: float, seconds: float, gain: float = 0.1) -> np.ndarray:
    at = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    tone = sum(0.7**k * np.sin(2 * np.pi * hz * (k + 1) * at + k) for k in range(8))
    return gain * tone * np.clip(at / 0.04, 0, 1) * np.clip((seconds - at) / 0.05, 0, 1)


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """Hush, E3 held for two seconds, hush, a rough crow, hush."""
    at = np.arange(2 * RATE_HZ) / RATE_HZ
    crow = sum(np.sin(2 * np.pi * hz * at) * gain for hz, gain in ((410, 0.1), (836, 0.06), (1271, 0.03)))
    crow = crow * (1 + 0.8 * np.sin(2 * np.pi * 37 * at)) * np.clip(at / 0.03, 0, 1) * np.clip((2 - at) / 0.05, 0, 1)
    hush = np.zeros(3 * RATE_HZ // 2)
    samples = np.concatenate([hush, held(164.81, 2.0), hush, crow, hush])
    samples += np.random.default_rng(1).normal(0, 0.0005, samples.size)
    return write(tmp_path / "bench.mkv", [samples[None].astype(np.float32)], RATE_HZ)


def test_listen_prints_sounds_notes_crows_and_marks(benchreel: Benchreel, bench: Path, tmp_path: Path) -> None:
    call = benchreel("listen", bench, "--json", "--a4", "442", "--language", "en")
    assert call.code == 0
    told = call.json
    assert [sound["kind"] for sound in told["sounds"]] == ["quiet", "play", "quiet", "crow", "quiet"]
    assert (told["sounds"][0]["start_ms"], told["sounds"][-1]["end_ms"]) == (0, 8500)
    (note,) = told["notes"]
    assert note["note"] == "E3"
    # 164.81 Hz is E3 at A4 = 440; 442 lies 7.851 cents higher.
    assert note["cents"] == pytest.approx(-7.85, abs=0.5)
    assert (note["start_ms"], note["end_ms"]) == (pytest.approx(1500, abs=60), pytest.approx(3500, abs=60))
    (crow,) = told["crows"]
    assert crow["lowest"]["hz"] == pytest.approx(410, abs=1)
    assert crow["roughness_rate_hz"] == pytest.approx(37, rel=0.02)
    assert [(one["is_clipped"], one["is_gated"]) for one in told["marks"]] == [(False, False)] * 2
    assert told["lines"] == []
    assert not (tmp_path / "library").exists()
    lines = benchreel("listen", bench, "--language", "en").out.splitlines()
    # 410 Hz lies 22 cents under A flat 4 (415.30 Hz at A4 = 440): 1200 log2(410 / 415.30).
    heard = [line[9:] for line in lines if "[quiet]" not in line]
    assert heard == ["[play] E3 0 cents", "[crow] lowest A♭4 −22 cents"]


def test_a_tuning_that_is_none_is_refused_before_the_file_is_heard(benchreel: Benchreel, tmp_path: Path) -> None:
    call = benchreel("listen", tmp_path / "not there.mp4", "--a4", "300")
    assert call.code == 1
    assert "is not a tuning for A4" in call.err


def test_accepting_nothing_in_particular_is_refused(benchreel: Benchreel) -> None:
    assert benchreel("accept").code == 2
    call = benchreel("accept", "--session", "1", "--above", "7")
    assert call.code == 2
    assert "0<=x<=1" in call.err


def test_listen_writes_down_what_is_said(benchreel: Benchreel) -> None:
    told = benchreel("listen", TALK, "--json", "--language", "en").json
    assert [sound["kind"] for sound in told["sounds"] if sound["end_ms"] - sound["start_ms"] > 1500] == ["speech"]
    words = [word for line in told["lines"] for word in line["words"]]
    assert len(words) > 5
    assert all(word["start_ms"] < word["end_ms"] <= 4500 for word in words)
    assert told["notes"] == [] and told["crows"] == []


def test_a_missing_model_is_said_before_the_work(
    benchreel: Benchreel, bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "no model").mkdir()
    monkeypatch.setenv("BENCHREEL_MODEL", str(tmp_path / "no model"))
    call = benchreel("listen", bench, "--json")
    assert call.code == 1
    assert call.json["error"]["code"] == "no_model"


@pytest.mark.skipif(sys.platform == "win32", reason="limits a file's size the POSIX way")
def test_a_full_disk_is_said_with_what_to_do(benchreel: Benchreel, bench: Path) -> None:
    import resource

    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, before[1]))
    try:
        call = benchreel("listen", bench, "--json")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert call.code == 1
    assert call.json["error"]["code"] == "no_space"
    assert "Listening needs about 1 MB there for a while: free some and try again." in call.err


def test_the_recogniser_looks_everywhere_but_where_something_else_is_sure() -> None:
    sounds = [
        Sound(0, 5000, "speech", 0.99),
        Sound(5000, 9000, "play", 0.95),
        Sound(9000, 12_000, "scrape", 0.6),
        Sound(12_000, 12_800, "crow", 0.99),
        Sound(12_800, 20_000, "quiet", 0.98),
    ]
    # 300 ms of the sure ones are kept on either side; unsure and short ones are left to the recogniser.
    assert may_hold_speech(sounds, 20_000) == ((0, 5300), (8700, 13_100), (19_700, 20_000))
