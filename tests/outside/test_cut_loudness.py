"""Loudness of films against pyloudnorm 0.2.0, an independent implementation of ITU-R BS.1770-4."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pyloudnorm
import pytest
from scipy import signal

from annotate.lesson.cutting.cut import make_film
from annotate.lesson.cutting.layout import lay_out
from annotate.lesson.cutting.peaks import held_back, true_peak_db
from annotate.lesson.cutting.pieces import SourcePiece
from annotate.lesson.shown.evened import evened
from annotate.lesson.shown.film import LaidOut, Shown
from annotate.lesson.shown.loudness import TARGET_LUFS, measure
from annotate.lesson.told.passage import Part, Passage
from tests import media
from tests.lesson import films
from tests.lesson.films import piece

pytestmark = pytest.mark.outside

# Tones and noise that come and go: speech-like enough for the gate to matter.
UNEVEN = "aevalsrc='(0.02+0.2*lt(mod(t,3),1.7))*(sin(2*PI*313*t)+0.5*sin(2*PI*1700*t)+0.3*random(0))':s=48000"
SOFT = "aevalsrc='0.2*(0.02+0.2*lt(mod(t,2.3),1.5))*(sin(2*PI*500*t)+0.3*random(0))':s=48000"
# Soft speech-like noise, and a knock of two milliseconds at nearly full scale every 2 s.
KNOCKS = "aevalsrc='0.12*(random(0)-0.5)*(1+sin(2*PI*3*t))+0.9*lt(mod(t,2),0.002)*sin(2*PI*2500*t)':s=48000"


def recorded(name: str, sound: str) -> Path:
    return films.numbered(f"{name}.mp4", *films.x264(gop=30), sound=sound)


def loudness_of(samples: np.ndarray) -> float:
    stereo = samples if samples.shape[1] == 2 else samples.repeat(2, axis=1)
    return float(pyloudnorm.Meter(48000).integrated_loudness(stereo))


def peak_of(samples: np.ndarray) -> float:
    """True peak in dBTP by an oversampling of its own (ITU-R BS.1770-4, annex 2: at least four times)."""
    fine = signal.resample(samples[: len(samples) // 2 * 2], 8 * (len(samples) // 2 * 2), axis=0)
    return float(20 * np.log10(np.abs(fine).max()))


def laid_out(pieces: list[SourcePiece]) -> LaidOut:
    """A film of clips without cards; each clip is a step."""
    plan = lay_out(pieces)
    shown = tuple(
        Shown(Passage((Part(one.start_ms, one.end_ms),), (placed,)), (number,))
        for number, (one, placed) in enumerate(zip(pieces, plan.placed, strict=True))
    )
    return LaidOut(tuple(pieces), plan, shown, (), ())


def film_of(laid: LaidOut, target: Path) -> list[np.ndarray]:
    """The decoded sound of each piece of the exported film."""
    result = make_film(laid.pieces, target)
    heard = films.stereo(result.path)
    return [heard[one.first_sample : one.first_sample + one.samples] for one in result.plan.placed]


def test_measured_as_pyloudnorm_measures() -> None:
    samples = films.stereo(recorded("uneven", UNEVEN))[48000 : 9 * 48000]
    stereo = samples if samples.shape[1] == 2 else samples.repeat(2, axis=1)
    measured = measure([stereo[:100_000], stereo[100_000:]])
    assert measured is not None
    assert measured.lufs == pytest.approx(loudness_of(stereo), abs=0.2)
    assert measured.peak_db == pytest.approx(peak_of(stereo), abs=0.2)


def test_clips_come_out_equally_loud_at_the_target(tmp_path: Path) -> None:
    pieces = [piece(recorded("uneven", UNEVEN), 1000, 9000), piece(recorded("soft", SOFT), 500, 8700)]
    before = [loudness_of(part) for part in film_of(laid_out(pieces), tmp_path / "before.mp4")]
    assert abs(before[0] - before[1]) > 10
    parts = film_of(evened(laid_out(pieces), True), tmp_path / "film.mp4")
    for part in parts:
        assert loudness_of(part) == pytest.approx(TARGET_LUFS, abs=0.5)
        assert peak_of(part) <= -1.0
    assert loudness_of(np.concatenate(parts)) == pytest.approx(TARGET_LUFS, abs=0.5)


def test_knocks_are_held_back_and_the_rest_still_reaches_the_target(tmp_path: Path) -> None:
    pieces = [piece(recorded("knocks", KNOCKS), 500, 9500)]
    laid = evened(laid_out(pieces), True)
    (part,) = film_of(laid, tmp_path / "film.mp4")
    assert isinstance(laid.pieces[0], SourcePiece) and (laid.pieces[0].gain_db or 0) > 6
    assert loudness_of(part) == pytest.approx(TARGET_LUFS, abs=0.5)
    assert peak_of(part) <= -1.0


def test_what_is_held_back_stays_in_its_place_and_whole() -> None:
    random = np.random.default_rng(5)
    samples = (0.1 * random.standard_normal((200_000, 2))).astype(np.float32)
    samples[90_000:90_040] *= 30
    blocks = [samples[n : n + 32_768] for n in range(0, 200_000, 32_768)]
    made = np.concatenate(list(held_back(iter(blocks), -3.0)))
    assert made.shape == samples.shape
    assert peak_of(made) <= -2.9
    far = np.ones(200_000, bool)
    far[89_000:91_100] = False
    high = np.abs(samples).max(axis=1) > 10 ** (-3 / 20) / 2  # near these the noise itself comes close to the ceiling
    for at in np.flatnonzero(high):
        far[max(0, at - 1100) : at + 1100] = False
    assert far.sum() > 1000
    assert np.array_equal(made[far], samples[far])
    assert true_peak_db(samples) > 0


def test_two_that_are_compared_are_equally_loud_and_neither_is_lifted(tmp_path: Path) -> None:
    pieces = [piece(recorded("soft", SOFT), 500, 8700), piece(recorded("uneven", UNEVEN), 1000, 9000)]
    laid = laid_out(pieces)
    pair = Shown(laid.shown[1].clip, (1,), laid.shown[0].clip, (0,))
    made = evened(replace(laid, shown=(pair,)), False)
    gains = [one.gain_db for one in made.pieces if isinstance(one, SourcePiece)]
    assert gains[0] == 0.0 and gains[1] is not None and gains[1] < -10
    first, second = film_of(made, tmp_path / "film.mp4")
    assert loudness_of(first) == pytest.approx(loudness_of(second), abs=0.3)


def test_silence_is_left_alone() -> None:
    quiet = recorded("quiet", "anullsrc=r=48000:cl=mono")
    pieces = [piece(media.no_sound(), 0, 1000), piece(quiet, 0, 3000)]
    made = evened(laid_out(pieces), True)
    assert [one.gain_db for one in made.pieces if isinstance(one, SourcePiece)] == [0.0, 0.0]
