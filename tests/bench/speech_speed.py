"""Speed of our recognition against plain sequential faster-whisper: same model, word times, one run.

    python -m tests.bench.speech_speed [--minutes 5] [--threads 2]

Both hear the same invented narrations (flite, with pauses) in turns, minute by
minute, so that whatever else the machine does hits both. Wall clock and
processor time are printed: on a busy machine the second is the fairer one.
Plain runs twice: with the number of beams that it has by default, and with ours.
"""

from __future__ import annotations

import argparse
import time
from dataclasses import dataclass, field

import jiwer
import numpy as np
from whisper_normalizer.english import EnglishTextNormalizer

from annotate.listen.model_files import find_model
from annotate.listen.recognise import Recogniser, Wishes
from annotate.listen.trade_words import hint_words
from tests.bench.speech_narrate import sentences, without_braces
from tests.bench.speech_voices import RATE, speak

VOICES = ("slt", "rms", "awb")
PAUSE_SECONDS = 1.0
PIECE_MINUTES = 5
PLAIN_BEAMS = 5  # faster-whisper's default


@dataclass
class Clock:
    wall: float = 0.0
    processor: float = 0.0
    heard: list[str] = field(default_factory=list)


def narration(minutes: float) -> list[tuple[np.ndarray, str]]:
    """Pieces of about five minutes, each with its text."""
    pieces: list[tuple[np.ndarray, str]] = []
    sounds: list[np.ndarray] = []
    said: list[str] = []
    total = 0.0
    all_said = [(voice, without_braces(one)) for voice in VOICES for one in sentences("measuring")]
    for voice, sentence in all_said[:: max(1, int(len(all_said) / (minutes * 17)))]:
        sounds += [speak(sentence, voice), np.zeros(int(PAUSE_SECONDS * RATE), np.float32)]
        said.append(sentence)
        seconds = sum(len(sound) for sound in sounds) / RATE
        if seconds >= PIECE_MINUTES * 60 or total + seconds >= minutes * 60:
            pieces.append((np.concatenate(sounds), " ".join(said)))
            total, sounds, said = total + seconds, [], []
        if total >= minutes * 60:
            break
    return pieces


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=5)
    parser.add_argument("--threads", type=int, default=2)
    parser.add_argument("--without-hints", action="store_true", help="without the trade words that the program gives")
    given = parser.parse_args()
    recogniser = Recogniser(find_model().folder, threads=given.threads)
    model = recogniser._model
    pieces = narration(given.minutes)
    ours, plain, alike = Clock(), Clock(), Clock()

    wishes = Wishes("en", () if given.without_hints else hint_words(reeds=("B 21", "B 22")))

    def hear_ours(sound: np.ndarray) -> str:
        return " ".join(line.text for line in recogniser.recognise(sound, wishes).utterances)

    def hear_plain(sound: np.ndarray, beams: int = PLAIN_BEAMS) -> str:
        segments, _ = model.transcribe(sound, language="en", word_timestamps=True, beam_size=beams)
        return " ".join(segment.text for segment in segments)

    def hear_alike(sound: np.ndarray) -> str:
        return hear_plain(sound, wishes.beams)

    hear_ours(pieces[0][0][: 5 * RATE])
    for sound, _ in pieces:
        for clock, hear in ((ours, hear_ours), (plain, hear_plain), (alike, hear_alike)):
            wall, processor = time.perf_counter(), time.process_time()
            clock.heard.append(hear(sound))
            clock.wall += time.perf_counter() - wall
            clock.processor += time.process_time() - processor
    seconds = sum(len(sound) for sound, _ in pieces) / RATE
    normal = EnglishTextNormalizer()
    said = [normal(text) for _, text in pieces]
    names = (
        (f"ours, batched, {wishes.beams} beams", ours),
        (f"plain, sequential, its usual {PLAIN_BEAMS} beams", plain),
        (f"plain, sequential, {wishes.beams} beams", alike),
    )
    for name, clock in names:
        rate = jiwer.wer(said, [normal(text) for text in clock.heard])
        print(
            f"{name}: {seconds / clock.wall:.1f} times real time on the wall clock, {seconds / clock.processor:.1f} "
            f"seconds of sound per processor second, word errors {100 * rate:.1f} %"
        )
    for name, clock in names[1:]:
        by_wall, by_processor = clock.wall / ours.wall, clock.processor / ours.processor
        print(f"against {name}: {by_wall:.2f} times by the wall clock, {by_processor:.2f} by processor time")


if __name__ == "__main__":
    main()
