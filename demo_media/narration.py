"""Makes the narrator's sentences with the ``flite`` speech synthesiser."""

from __future__ import annotations

import subprocess
import tempfile
from pathlib import Path

import numpy as np
import numpy.typing as npt
import soundfile  # type: ignore[import-untyped]
import soxr
from scipy import signal

RATE_HZ = 48_000
VOICE = "rms"  # heard best by Whisper base of the voices tried; see README.md
STRETCH = 0.94  # a little quicker than the voice's own pace
EDGE = 0.012  # part of the peak below which a sentence's ends count as silence

Samples = npt.NDArray[np.float64]


def sentence(text: str) -> Samples:
    """One sentence at 48 kHz, mono, trimmed to what is heard, loudness evened."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "line.wav"
        subprocess.run(
            ["flite", "-voice", VOICE, "--setf", f"duration_stretch={STRETCH}", "-t", text, "-o", str(file)],
            check=True,
        )
        raw, rate = soundfile.read(file, dtype="float64")
    loud = np.flatnonzero(np.abs(raw) > EDGE * np.abs(raw).max())
    raw = raw[max(0, loud[0] - rate // 100) : loud[-1] + rate // 50]
    voice: Samples = soxr.resample(raw, rate, RATE_HZ)
    voice = signal.sosfilt(signal.butter(2, 90, "highpass", fs=RATE_HZ, output="sos"), voice)
    level = np.sqrt(np.mean(voice**2))
    return np.asarray(voice * (0.075 / level))
