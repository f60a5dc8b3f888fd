"""Bassoon and oboe tones with known pitch: from General MIDI sound sets and by additive synthesis."""

from __future__ import annotations

import subprocess
import tempfile
from functools import cache
from pathlib import Path

import mido
import numpy as np
import pretty_midi
import soundfile
import soxr
from scipy import signal

RATE_HZ = 16_000
BASSOON, OBOE = 70, 68  # General MIDI programs, counted from 0
SOUND_SETS = {
    "fluid": Path("/usr/share/sounds/sf2/FluidR3_GM.sf2"),  # Debian's fluid-soundfont-gm
    "pretty_midi": Path(pretty_midi.__file__).parent / "TimGM6mb.sf2",
}


def render(
    sound_set: str, program: int, notes: list[tuple[float, float, int, int]], cents: float = 0.0, rate_hz: int = RATE_HZ
) -> np.ndarray:
    """Notes (start s, length s, MIDI number, velocity) of one program, detuned by ``cents`` with pitch bend."""
    midi = mido.MidiFile(ticks_per_beat=480)
    track = mido.MidiTrack()
    midi.tracks.append(track)
    track.append(mido.MetaMessage("set_tempo", tempo=500_000))
    track.append(mido.Message("program_change", program=program))
    track.append(mido.Message("pitchwheel", pitch=round(cents / 200 * 8192)))
    events: list[tuple[float, str, int, int]] = []
    for start, length, number, velocity in notes:
        events += [(start, "note_on", number, velocity), (start + length, "note_off", number, 0)]
    now = 0.0
    for at, kind, number, velocity in sorted(events, key=lambda event: (event[0], event[1])):
        ticks = round((at - now) * 960)
        now += ticks / 960
        track.append(mido.Message(kind, note=number, velocity=velocity, time=ticks))
    with tempfile.TemporaryDirectory() as folder:
        score, sound = Path(folder) / "a.mid", Path(folder) / "a.wav"
        midi.save(score)
        # Reverb and chorus off: chorus alone moves the pitch.
        command = ["fluidsynth", "-ni", "-q", "-g", "0.8", "-R", "0", "-C", "0", "-r", "44100", "-F", str(sound)]
        subprocess.run([*command, str(SOUND_SETS[sound_set]), str(score)], check=True, capture_output=True)
        samples, rate = soundfile.read(sound, dtype="float32", always_2d=True)
    mono = samples.mean(axis=1)
    return np.asarray(mono if rate == rate_hz else soxr.resample(mono, rate, rate_hz), dtype=np.float32)


def phrase(random: np.random.Generator, program: int) -> list[tuple[float, float, int, int]]:
    """A scale, an arpeggio, a slurred tune, repeated attacks or one long tone in the instrument's range."""
    low, high = (34, 72) if program == BASSOON else (58, 86)
    kind = random.choice(["scale", "arpeggio", "long", "tune", "repeat"])
    root = int(random.integers(low, high - 12))
    velocity = int(random.integers(60, 120))
    if kind == "long":
        return [(0.0, float(random.uniform(2.0, 6.0)), int(random.integers(low, high)), velocity)]
    steps = {
        "scale": [0, 2, 4, 5, 7, 9, 11, 12, 11, 9, 7, 5, 4, 2, 0],
        "arpeggio": [0, 4, 7, 12, 7, 4, 0],
        "tune": list(np.cumsum(random.integers(-3, 4, 12)).clip(-5, 12)),
        "repeat": [0] * 8,
    }[str(kind)]
    length = float(random.uniform(0.14, 0.7))
    held = length * float(random.choice([0.6, 0.85, 1.0]))
    return [(i * length, held, root + int(step), velocity) for i, step in enumerate(steps)]


@cache
def _bank(sound_set: str, program: int, seed: int) -> tuple[np.ndarray, ...]:
    random = np.random.default_rng(seed)
    pieces = []
    for _ in range(24):
        made = render(sound_set, program, phrase(random, program), float(random.uniform(-40, 40)))
        loud = np.nonzero(np.abs(made) > 0.01 * np.abs(made).max())[0]
        pieces.append(made[loud[0] : loud[-1] + 1])
    return tuple(pieces)


def from_set(random: np.random.Generator, sound_set: str, seed: int) -> np.ndarray:
    """One phrase of a bassoon (three times in four) or an oboe, silent ends cut at -40 dB."""
    program = BASSOON if random.random() < 0.75 else OBOE
    bank = _bank(sound_set, program, seed)
    return bank[random.integers(len(bank))]


def additive_tone(
    random: np.random.Generator, hz: float, seconds: float, formant_hz: float, vibrato_cents: float
) -> np.ndarray:
    """A harmonic tone under two formants with attack, vibrato, slow drift and breath noise."""
    time = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    wobble = vibrato_cents * np.sin(2 * np.pi * 5.2 * time + random.uniform(0, 6)) * np.clip(time / 0.4, 0, 1)
    drift = np.cumsum(random.normal(0, 1, time.size)) / np.sqrt(RATE_HZ) * 2.0
    phase = 2 * np.pi * np.cumsum(hz * 2 ** ((wobble + drift) / 1200)) / RATE_HZ
    tone = np.zeros_like(time)
    for k in range(1, min(40, int(7000 / hz)) + 1):
        at = k * hz
        gain = 1 / (1 + ((at - formant_hz) / (0.45 * formant_hz)) ** 2)
        gain += 0.25 / (1 + ((at - 2.3 * formant_hz) / 400) ** 2) + 0.03 * np.exp(-at / 2500)
        tone += gain * np.sin(k * phase + random.uniform(0, 6))
    tone /= np.abs(tone).max()
    tone += 0.01 * random.normal(0, 1, time.size)
    rise = float(random.uniform(0.015, 0.09))
    return tone * np.clip(time / rise, 0, 1) * np.clip((seconds - time) / 0.05, 0, 1)


def additive(random: np.random.Generator) -> np.ndarray:
    """One phrase by additive synthesis."""
    program = BASSOON if random.random() < 0.75 else OBOE
    notes = phrase(random, program)
    formant = float(random.uniform(420, 560) if program == BASSOON else random.uniform(900, 1400))
    vibrato = float(random.choice([0, 0, 8, 20]))
    cents = float(random.uniform(-40, 40))
    made = np.zeros(int((notes[-1][0] + notes[-1][1]) * RATE_HZ) + 1)
    for start, length, number, velocity in notes:
        hz = 440 * 2 ** ((number - 69) / 12 + cents / 1200)
        one = additive_tone(random, hz, length, formant, vibrato) * velocity / 127
        at = int(start * RATE_HZ)
        made[at : at + one.size] += one[: made.size - at]
    return made.astype(np.float32)


def blown(random: np.random.Generator) -> np.ndarray:
    """One phrase by source and filter: closing-reed pulses with a bend into each note, through three resonances."""
    program = BASSOON if random.random() < 0.75 else OBOE
    notes = phrase(random, program)
    size = int((notes[-1][0] + notes[-1][1] + 0.05) * RATE_HZ)
    pitch_hz, loud = np.zeros(size), np.zeros(size)
    cents = float(random.uniform(-40, 40))
    for start, length, number, velocity in notes:
        first, last = int(start * RATE_HZ), int((start + length) * RATE_HZ)
        time = np.arange(last - first) / RATE_HZ
        bend = cents - random.uniform(0, 40) * np.exp(-time / 0.015) + random.normal(0, 3)
        pitch_hz[first:last] = 440 * 2 ** ((number - 69) / 12 + bend / 1200)
        loud[first:last] = velocity / 127 * np.clip(time / 0.02, 0, 1) * np.clip((length - time) / 0.03, 0, 1)
    pitch_hz[pitch_hz == 0] = 100
    phase = np.mod(np.cumsum(pitch_hz) / RATE_HZ, 1)
    open_part = float(random.uniform(0.15, 0.35))
    puff = np.where(phase < open_part, np.sin(np.pi * phase / open_part) ** 2, 0)
    puff = np.diff(puff, prepend=0) + 0.004 * random.normal(0, 1, size)
    body = np.zeros(size)
    for centre, width in ((500, 150), (1150, 250), (2500, 600)) if program == BASSOON else ((1400, 300), (3000, 500)):
        body += signal.lfilter(*signal.iirpeak(centre, centre / width, fs=RATE_HZ), puff)
    return ((body + 0.3 * puff) * loud).astype(np.float32)
