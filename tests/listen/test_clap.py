"""Claps in made scenes: found in quiet, talk, scraping and a fan's noise; none is imagined where there is none."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from annotate.errors import BadInput
from annotate.listen.clap import find_claps

RATE = 16_000
Floats = npt.NDArray[np.float64]


def noise(chance: np.random.Generator, seconds: float, level: float) -> Floats:
    return chance.normal(0.0, level, round(seconds * RATE))


def clap(chance: np.random.Generator, level: float = 0.8, echo_s: float = 0.05) -> Floats:
    """Wide noise with an edge of 1 ms, a fast fall and a weaker echo of a small room."""
    time = np.arange(round(0.4 * RATE)) / RATE
    shape = np.minimum(time / 0.001, 1.0) * (np.exp(-time / 0.008) + 0.15 * np.exp(-time / echo_s))
    return level * shape * chance.uniform(-1, 1, time.size)


def talk(chance: np.random.Generator, seconds: float, level: float = 0.12) -> Floats:
    """Syllables: a buzz of 120 Hz through two resonances, a hiss before some of them, pauses between phrases."""
    time = np.arange(round(seconds * RATE)) / RATE
    parts = [np.sin(2 * np.pi * 120 * k * time) / (1 + ((120 * k - 700) / 500) ** 2) for k in range(1, 30)]
    buzz = np.sum(parts, axis=0)
    out = np.zeros(time.size)
    at = 0.1
    while at < seconds - 0.4:
        long = chance.uniform(0.09, 0.22)
        inside = (time >= at) & (time < at + long)
        out[inside] += (buzz[inside] / 3) * np.hanning(inside.sum()) * chance.uniform(0.5, 1.0)
        if chance.random() < 0.5:  # a stop: a puff of noise with an edge of its own
            puff = (time >= at - 0.02) & (time < at)
            out[puff] += chance.normal(0, 0.25, puff.sum()) * np.exp(-np.arange(puff.sum()) / (0.006 * RATE))
        at += long + chance.uniform(0.03, 0.12) + (0.5 if chance.random() < 0.15 else 0.0)
    return np.asarray(level * out)


def scraping(chance: np.random.Generator, seconds: float, level: float = 0.1) -> Floats:
    """Strokes of hiss, three a second."""
    time = np.arange(round(seconds * RATE)) / RATE
    return np.asarray(level * chance.normal(0, 1, time.size) * np.clip(np.sin(2 * np.pi * 3 * time), 0, 1) ** 2)


def knocks(chance: np.random.Generator, seconds: float) -> Floats:
    """A row of knocks, two a second: sharp, but none of them lone."""
    out = np.zeros(round(seconds * RATE))
    for at in range(0, out.size - RATE, RATE // 2):
        out[at : at + round(0.4 * RATE)] += clap(chance, 0.5)
    return out


def put(scene: Floats, piece: Floats, at_s: float) -> Floats:
    out = scene.copy()
    at = round(at_s * RATE)
    out[at : at + piece.size] += piece[: out.size - at]
    return out


SCENES = {
    "quiet": lambda chance: noise(chance, 20, 0.0005),
    "talk": lambda chance: talk(chance, 20) + noise(chance, 20, 0.0005),
    "scraping": lambda chance: scraping(chance, 20) + noise(chance, 20, 0.0005),
    "fan": lambda chance: noise(chance, 20, 0.02),
}


@pytest.mark.parametrize("name", SCENES)
@pytest.mark.parametrize("seed", range(4))
def test_one_clap_is_found_where_it_is(name: str, seed: int) -> None:
    chance = np.random.default_rng(seed)
    at_s = 5.0 + 2.347 * seed
    (found,) = find_claps(put(SCENES[name](chance), clap(chance), at_s), RATE)
    assert abs(found.at_ms - round(at_s * 1000)) <= 6
    assert found.above_db > 9


@pytest.mark.parametrize("name", SCENES)
@pytest.mark.parametrize("seed", range(4))
def test_none_is_imagined(name: str, seed: int) -> None:
    assert find_claps(SCENES[name](np.random.default_rng(100 + seed)), RATE) == []


def test_a_row_of_knocks_and_a_note_are_no_clap() -> None:
    chance = np.random.default_rng(7)
    assert find_claps(knocks(chance, 10) + noise(chance, 10, 0.0005), RATE) == []
    time = np.arange(10 * RATE) / RATE
    note = np.where((time > 3) & (time < 6), sum(0.1 * np.sin(2 * np.pi * 220 * k * time) for k in range(1, 20)), 0)
    assert find_claps(note + noise(chance, 10, 0.0005), RATE) == []


def test_a_long_echo_is_no_clap_and_two_far_apart_are_two() -> None:
    chance = np.random.default_rng(8)
    quiet = noise(chance, 20, 0.0005)
    two = put(put(quiet, clap(chance), 4.0), clap(chance, 0.4), 12.0)
    assert [round(one.at_ms, -1) for one in find_claps(two, RATE)] == [4000, 12_000]
    time = np.arange(2 * RATE) / RATE
    slow = 0.8 * np.exp(-time / 0.6) * chance.uniform(-1, 1, time.size)  # a cymbal, not a clap
    assert find_claps(put(quiet, slow, 6.0), RATE) == []


def test_silence_little_sound_and_wrong_sound() -> None:
    assert find_claps(np.zeros(RATE), RATE) == []
    assert find_claps(np.zeros(10), RATE) == []
    with pytest.raises(BadInput, match="too low a rate"):
        find_claps(np.zeros(RATE), 8000)
    with pytest.raises(BadInput, match="2 dimensions"):
        find_claps(np.zeros((2, RATE)), RATE)
