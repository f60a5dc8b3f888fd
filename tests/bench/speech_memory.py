"""Memory over a long recording: the most that is resident while a file of hours is heard part by part.

    python -m tests.bench.speech_memory [--hours 4] [--speech-every 600]

The file is made here: room noise at -60 dBFS as Opus, with a spoken sentence
every so many seconds. The bar is 1.5 GB.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import psutil

from annotate.listen.audio import SoundPlace, read_sound, sound_blocks
from annotate.listen.model_files import find_model
from annotate.listen.recognise import Recogniser, Wishes

RATE = 48_000
SPEECH = Path(__file__).parents[1] / "listen" / "speech" / "short.ogg"


def write_long(path: Path, hours: float, speech_every: int) -> None:
    rng = np.random.default_rng(0)
    speech = read_sound(SPEECH, 0, rate_hz=RATE)
    with av.open(str(path), "w") as out:
        stream = out.add_stream("libopus", rate=RATE, layout="mono")
        stream.bit_rate = 16_000
        for second in range(0, int(hours * 3600), 10):
            sound = (0.001 * rng.standard_normal(10 * RATE)).astype(np.float32)
            if second % speech_every == 0:
                sound[: len(speech)] += speech
            frame = av.AudioFrame.from_ndarray((sound * 32767).astype(np.int16)[None], format="s16", layout="mono")
            frame.sample_rate, frame.pts, frame.time_base = RATE, second * RATE, Fraction(1, RATE)
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=4)
    parser.add_argument("--speech-every", type=int, default=600)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "long.ogg"
        write_long(path, given.hours, given.speech_every)
        process = psutil.Process()
        recogniser = Recogniser(find_model().folder, threads=2)
        most = process.memory_info().rss
        lines, started = 0, time.perf_counter()
        for part in recogniser.parts(sound_blocks(SoundPlace(path, 0)), Wishes("en")):
            lines += len(part.utterances)
            most = max(most, process.memory_info().rss)
        seconds = time.perf_counter() - started
    print(
        f"{given.hours:g} hours: {most / 1e9:.2f} GB resident at most, {lines} lines, "
        f"{given.hours * 3600 / seconds:.0f} times real time"
    )


if __name__ == "__main__":
    main()
