"""What the choices of a lesson cost: fast scraping, short quiet, even loudness, burned captions, before and after.

    python -m tests.bench.lesson_choices [--clips 20] [--seconds 20] [--folder FOLDER]

A lesson of clips from the 1080p recording of ``cut_speed``, with cards. In each
clip somebody talks, scrapes for long and is quiet. Each line is a run of its
own: how long making it took, how long the film is, how much was copied, and the
most memory that its process held (bar: under 500 MB).
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from annotate.intake.probe import probe
from annotate.lesson.cutting.cut import make_film
from annotate.lesson.cutting.pieces import Caption, FilmOptions
from annotate.lesson.shown.ready import make_ready
from annotate.lesson.told.material import Material, Step
from annotate.model import Before, Clip, Lesson, Line, Recording, Session, Showing, Sound, Word
from tests.bench.cut_speed import peak_mb, repeated

PLAIN = Showing(evens_loudness=False)
KINDS = {
    "as it was": PLAIN,
    "even loudness": Showing(),
    "scraping 4 times as fast": Showing(4, 5000, evens_loudness=False),
    "scraping 4 times as fast, heard": Showing(4, 5000, "low", evens_loudness=False),
    "quiet cut short": Showing(quiet_longer_ms=2000, evens_loudness=False),
    "burned captions": Showing(evens_loudness=False, burns_captions=True),
    "side by side": PLAIN,
    "all of it": Showing(4, 5000, "low", 2000, True, True),
}


def lesson(path: Path, name: str, clips: int, length_ms: int) -> Material:
    """Clips one after another; in each 30 % talk, 50 % scraping, 20 % quiet."""
    known = probe(path)
    recording = Recording(1, path.name, str(path), False, "f" * 64, 1, known, id=1)
    steps = []
    for number in range(clips):
        start = 30_217 + number * (length_ms + 1377)
        talk, quiet = start + 3 * length_ms // 10, start + 8 * length_ms // 10
        words = tuple(Word(at, at + 300, "word") for at in range(start, talk - 500, 400))
        line = Line(1, words[0].start_ms, words[-1].end_ms, " ".join(word.text for word in words), words)
        sounds = (Sound(talk, quiet, "scrape"), Sound(quiet, start + length_ms, "quiet"))
        session = Session("2026-03-14")
        before = None
        if name in ("side by side", "all of it"):
            before = Before(1, number * 1000, number * 1000 + 3000)
        clip = Clip(1, start, start + length_ms, f"Clip {number + 1}", before=before)
        other = before and Step(number + 1, Clip(1, before.start_ms, before.end_ms), path, recording, session)
        steps.append(Step(number + 1, clip, path, recording, session, lines=(line,), sounds=sounds, before=other))
    made = Lesson("Bench", "To see what it costs", clips=tuple(one.clip for one in steps), showing=KINDS[name])
    return Material(made, tuple(steps))


def one(path: Path, target: Path, name: str, clips: int, length_ms: int) -> None:
    before = peak_mb()
    start = time.perf_counter()
    laid, cues = make_ready(lesson(path, name, clips, length_ms), FilmOptions())
    ready = time.perf_counter() - start
    captions = [Caption(cue.start_ms, cue.end_ms, cue.text) for cue in cues]
    result = make_film(laid.pieces, target, chapters=laid.chapters, captions=captions)
    took, film_s = time.perf_counter() - start, result.plan.duration_ms / 1000
    print(f"{name}: film of {film_s:.0f} s in {took:.1f} s (getting ready {ready:.1f} s), ", end="")
    print(f"{result.copied} of {result.plan.pictures} pictures copied, ", end="")
    print(f"peak {peak_mb():.0f} MB ({before:.0f} MB before)", flush=True)


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--clips", type=int, default=20)
    words.add_argument("--seconds", type=int, default=20)
    words.add_argument("--folder", type=Path, help="keep the recordings here for the next run")
    words.add_argument("--only", choices=KINDS, help=argparse.SUPPRESS)
    told = words.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = told.folder or Path(scratch)
        folder.mkdir(parents=True, exist_ok=True)
        path = repeated(folder, 20)
        if told.only:
            one(path, Path(scratch) / "lesson.mp4", told.only, told.clips, told.seconds * 1000)
            return
        for name in KINDS:
            numbers = ["--clips", str(told.clips), "--seconds", str(told.seconds), "--folder", str(folder)]
            command = [sys.executable, "-m", "tests.bench.lesson_choices", "--only", name, *numbers]
            subprocess.run(command, check=True)


if __name__ == "__main__":
    main()
