"""Playing of maker F: General MIDI double reeds with reverberation, legato, vibrato by pitch bend and swells."""

from __future__ import annotations

import subprocess
import tempfile
from functools import cache
from pathlib import Path

import mido
import numpy as np
import soundfile
import soxr

from tests.bench.makers import bores, tones

RATE_HZ = 16_000
PROGRAMS = (70, 70, 70, 68, 68, 69, 71)  # bassoon, oboe, English horn, clarinet (counted from 0)


def _score(random: np.random.Generator, program: int) -> mido.MidiFile:
    midi = mido.MidiFile(ticks_per_beat=500)  # with the tempo below a tick is a millisecond
    track = mido.MidiTrack()
    midi.tracks.append(track)
    track.append(mido.MetaMessage("set_tempo", tempo=500_000))
    track.append(mido.Message("program_change", program=program))
    notes = bores.player(random)
    events: list[tuple[int, int, mido.Message]] = []
    for start, length, hz, loud in notes:
        number = round(69 + 12 * np.log2(hz / 440))
        if program != 70:
            number += 12 * max(0, int(np.ceil((58 - number) / 12)))
        over = 0.03 if random.random() < 0.3 else 0.0
        events.append((round(start * 1000), 1, mido.Message("note_on", note=number, velocity=int(50 + 70 * loud))))
        events.append((round((start + length + over) * 1000), 0, mido.Message("note_off", note=number)))
    end = round((notes[-1][0] + notes[-1][1]) * 1000)
    tuned, deep, rate = random.uniform(-40, 40), float(random.choice([0, 12, 25])), float(random.uniform(4.5, 6.5))
    swells = random.random() < 0.5
    for at in range(0, end, 20):
        cents = tuned + deep * np.sin(2 * np.pi * rate * at / 1000) * min(1.0, at / 600)
        events.append((at, 0, mido.Message("pitchwheel", pitch=round(cents / 200 * 8192))))
        level = 70 + 57 * np.sin(np.pi * at / end) if swells else 120
        events.append((at, 0, mido.Message("control_change", control=11, value=int(level))))
    now = 0
    for at, _, message in sorted(events, key=lambda event: event[:2]):
        track.append(message.copy(time=at - now))
        now = at
    return midi


@cache
def _phrase(seed: int) -> np.ndarray:
    random = np.random.default_rng(seed)
    program = int(random.choice(PROGRAMS))
    sound_set = str(random.choice(list(tones.SOUND_SETS)))
    with tempfile.TemporaryDirectory() as folder:
        score, sound = Path(folder) / "a.mid", Path(folder) / "a.wav"
        _score(random, program).save(score)
        room = ["-o", "synth.reverb.room-size=0.4", "-o", "synth.reverb.level=0.5", "-R", "1", "-C", "0"]
        command = ["fluidsynth", "-ni", "-q", "-g", "0.8", *room, "-r", "44100", "-F", str(sound)]
        subprocess.run([*command, str(tones.SOUND_SETS[sound_set]), str(score)], check=True, capture_output=True)
        samples, rate = soundfile.read(sound, dtype="float32", always_2d=True)
    made = np.asarray(soxr.resample(samples.mean(axis=1), rate, RATE_HZ))
    loud = np.nonzero(np.abs(made) > 0.02 * np.abs(made).max())[0]
    made = made[loud[0] : loud[-1] + 1]
    return np.asarray(made / np.abs(made).max(), dtype=np.float32)


def wet(random: np.random.Generator) -> np.ndarray:
    """One phrase, silent ends cut at -34 dB."""
    return _phrase(int(random.integers(1 << 30)))
