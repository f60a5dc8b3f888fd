"""Maker H, made when the points had been fitted to A-G: echoes that feed themselves, bent waves, talk rebuilt.

Crows are one reed's: those of one call share their pitch to about 20 cents.
Players miss equal temperament by about 10 cents a note.
"""

from __future__ import annotations

import numpy as np
from scipy import linalg, signal

from tests.bench.makers import talk

RATE_HZ = 16_000


def _even(made: np.ndarray) -> np.ndarray:
    return np.asarray(made / np.abs(made).max(), dtype=np.float32)


def _noise(random: np.random.Generator, size: int, low_hz: float, high_hz: float) -> np.ndarray:
    band = signal.butter(1, [low_hz, high_hz], "band", fs=RATE_HZ, output="sos")
    return np.asarray(signal.sosfilt(band, random.normal(0, 1, size)))


def rebuilt(random: np.random.Generator) -> np.ndarray:
    """Talk taken apart by linear prediction and spoken again by another throat: its own pitch, breath and size."""
    spoken = talk.joined(random).astype(float)
    frame, order = 320, 18
    window = np.hanning(2 * frame)
    mean_hz, sway = float(random.uniform(85, 240)), float(random.uniform(0.08, 0.25))
    size = spoken.size // frame * frame
    knots = random.normal(0, sway, size // 4000 + 2)
    hz = mean_hz * np.exp(np.interp(np.arange(size) / 4000, np.arange(knots.size), knots))
    turn = np.mod(np.cumsum(hz * (1 + 0.008 * random.normal(0, 1, size))) / RATE_HZ, 1)
    pulses = 6.0 * (np.diff(turn, prepend=0) < -0.5) + 0.05 * random.normal(0, 1, size)
    hiss, made = random.normal(0, 1, size), np.zeros(size + frame)
    for start in range(0, size - frame, frame):
        piece = spoken[start : start + 2 * frame] * window
        likeness = np.correlate(piece, piece, "full")[piece.size - 1 :][: order + 1]
        if likeness[0] < 1e-6:
            continue
        likeness[0] *= 1.001
        filtered = np.concatenate([[1], -linalg.solve_toeplitz(likeness[:-1], likeness[1:])])
        voiced = float(np.mean(np.abs(np.diff(np.sign(piece)))) < 0.35)
        source = (0.06 + 0.94 * (1 - voiced)) * hiss[start : start + 2 * frame] + voiced * pulses[start:][: 2 * frame]
        one = signal.lfilter([1], filtered, source) * window[: source.size]
        made[start : start + 2 * frame] += one * np.sqrt(likeness[0] / (np.sum(one**2) + 1e-9))
    return _even(made)


def _phrase(random: np.random.Generator) -> list[tuple[float, float]]:
    """Length (s) and pitch (Hz) of each note of something played to try a reed; 0 Hz is a rest."""
    root = int(random.integers(36, 62) if random.random() < 0.7 else random.integers(58, 74))
    kind = str(random.choice(["held", "two held", "thirds", "chord", "half steps", "repeated", "song"]))
    beat = float(random.uniform(0.16, 0.6))
    choices: dict[str, list[int | None]] = {
        "held": [0], "two held": [0, None, int(random.choice([-7, -5, 5, 7, 12]))],
        "thirds": [0, 4, 2, 5, 4, 7, 5, 9, 7], "chord": [0, 4, 7, 12, 7, 4, 0],
        "half steps": list(range(10)), "repeated": [0, None] * int(random.integers(4, 10)),
        "song": [int(one) for one in np.cumsum(random.choice([-4, -2, -1, 1, 2, 3], 10))],
    }  # fmt: skip
    if kind.endswith("held"):
        beat = float(random.uniform(2.5, 8.0))
    tuned, miss = float(random.uniform(-30, 30)), float(random.uniform(4, 12))
    notes = []
    for step in choices[kind]:
        cents = 0.0 if step is None else 100 * (root + step - 69) + tuned + miss * random.normal()
        rest = min(beat * 0.3, 0.35)
        notes.append(
            (rest, 0.0) if step is None else (beat * float(random.uniform(0.9, 1.1)), 440 * 2 ** (cents / 1200))
        )
    return notes


def shaped(random: np.random.Generator) -> np.ndarray:
    """Playing: a sine driven into a bent curve, the harder the louder, then through a tube's resonances."""
    notes = _phrase(random)
    hz = np.concatenate([np.full(int(length * RATE_HZ), pitch) for length, pitch in notes])
    heard = (hz > 0).astype(float)
    filled = np.maximum.accumulate(np.where(hz > 0, np.arange(hz.size), 0))
    glide = signal.lfilter([0.01], [1, -0.99], np.log(hz[filled] / hz[0]))
    shake = float(random.choice([0.0, 6.0, 14.0])) * np.sin(2 * np.pi * 5.4 * np.arange(hz.size) / RATE_HZ)
    turn = np.cumsum(hz[0] * np.exp(glide) * 2 ** (shake / 1200)) / RATE_HZ
    tongued = random.random() < 0.5
    edges = np.concatenate([[0], np.cumsum([int(length * RATE_HZ) for length, _ in notes])])[:-1]
    push = heard.copy()
    if tongued:
        for edge in edges:
            push[edge : edge + 480] = 0
    rise = 1 / (RATE_HZ * float(random.uniform(0.008, 0.03)))
    push = signal.lfilter([rise], [1, rise - 1], push)
    push = push * np.interp(np.linspace(0, 4, push.size), np.arange(5), random.uniform(0.55, 1.0, 5))
    bent = np.tanh(3.5 * push * np.sin(2 * np.pi * turn) + 0.9 * push) - np.tanh(0.9 * push)
    made = np.diff(bent, prepend=0) + 0.1 * bent
    for centre, height in ((random.uniform(430, 600), 2.0), (random.uniform(1100, 1500), 1.0), (2900.0, 0.5)):
        made = made + height * signal.lfilter(*signal.iirpeak(centre, 4, fs=RATE_HZ), made)
    air = _noise(random, made.size, 1200, 6000)
    return _even(made / np.abs(made).max() + float(random.uniform(0.004, 0.02)) * air * push)


def _echo(random: np.random.Generator, seconds: float, hz: float) -> np.ndarray:
    """A breath fed back upside down through half a period's echo and a valve that closes."""
    size, near = int(seconds * 2 * RATE_HZ), int(RATE_HZ / hz)
    share = RATE_HZ / hz - near
    push = (1.6 + 0.4 * np.interp(np.linspace(0, 3, size), np.arange(4), random.uniform(0, 1, 4))).tolist()
    hiss, loop, smooth = (0.02 * random.normal(0, 1, size)).tolist(), [0.0] * size, 0.0
    for at in range(near + 2, size):
        smooth += 0.6 * ((1 - share) * loop[at - near] + share * loop[at - near - 1] - smooth)
        loop[at] = float(np.tanh(0.25 - push[at] * smooth)) + hiss[at]
    return np.asarray(signal.resample_poly(loop, 1, 2))


def fed_back(random: np.random.Generator) -> np.ndarray:
    """One to three crows of one reed: peeps, or two pitches that do not agree and bend each other, with a flutter."""
    hz, other = float(random.uniform(270, 540)), float(random.uniform(0.55, 1.8))
    mixed = 0.0 if random.random() < 0.3 else float(random.uniform(0.4, 1.0))
    flutter = float(random.uniform(0.1, 0.7)) if mixed else 0.0
    rate = float(random.uniform(18, 80))
    parts: list[np.ndarray] = []
    for _ in range(int(random.integers(1, 4))):
        seconds = float(random.uniform(0.4, 2.2))
        pitch = hz * 2 ** (20 * float(random.normal()) / 1200)
        made = _echo(random, seconds, pitch)
        if mixed:
            made = np.tanh(made + mixed * _echo(random, seconds, pitch * other) + 0.3)
        time = np.arange(made.size) / RATE_HZ
        made = np.diff(made, prepend=0) + 0.2 * made
        made = made * (1 + flutter * np.sin(2 * np.pi * rate * time + random.normal(0, 0.02, time.size).cumsum()))
        ends = np.clip(time / random.uniform(0.01, 0.1), 0, 1) * np.clip(
            (time[-1] - time) / random.uniform(0.02, 0.15), 0, 1
        )
        parts += [made * ends / np.abs(made).max(), np.zeros(int(float(random.uniform(0.1, 0.3)) * RATE_HZ))]
    whole = np.concatenate(parts[:-1])
    whole = signal.sosfilt(signal.butter(2, 200, "high", fs=RATE_HZ, output="sos"), whole)
    whole = whole + float(random.uniform(0.5, 2)) * signal.lfilter(*signal.iirpeak(2400, 2, fs=RATE_HZ), whole)
    return _even(whole + 0.008 * np.abs(whole).max() * random.normal(0, 1, whole.size))


def torn(random: np.random.Generator) -> np.ndarray:
    """Scraping: fibres that tear; bursts of bursts, each fibre louder the harder the hand presses, through the cane."""
    seconds = float(random.choice([random.uniform(0.8, 2.5), random.uniform(2, 9), random.uniform(6, 18)]))
    parts: list[np.ndarray] = []
    now, rate = 0.0, float(random.uniform(0.9, 5.0))
    share, both = float(random.uniform(0.45, 0.95)), bool(random.random() < 0.5)
    while now < seconds or not parts:
        size = int(share / rate * float(random.uniform(0.75, 1.3)) * RATE_HZ)
        press = signal.windows.tukey(size, 0.6) * float(random.uniform(0.5, 1.2))
        if both and len(parts) % 4 == 2:
            press = press * 0.5
        fibres = np.abs(_noise(random, size, 20, 300)) ** 1.5
        parts += [random.standard_t(4, size) * press * (0.3 + fibres / fibres.max())]
        parts += [np.zeros(int((1 - share) / rate * float(random.uniform(0.7, 1.3)) * RATE_HZ))]
        now += (parts[-1].size + size) / RATE_HZ
    made = np.concatenate(parts[:-1])
    made = signal.sosfilt(signal.butter(2, float(random.uniform(400, 2200)), "high", fs=RATE_HZ, output="sos"), made)
    cane = random.normal(0, 1, 160) * np.exp(-np.arange(160) / float(random.uniform(6, 30)))
    return _even(np.asarray(signal.fftconvolve(made, cane)[: made.size]))
