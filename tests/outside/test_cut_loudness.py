"""Loudness against pyloudnorm 0.2.0, an independent implementation of ITU-R BS.1770-4."""

from __future__ import annotations

from pathlib import Path

import pyloudnorm
import pytest

from annotate.lesson import loudness
from annotate.lesson.cut import make_film
from tests import media
from tests.lesson import films
from tests.lesson.films import piece

pytestmark = pytest.mark.outside

# Tones and noise that come and go: speech-like enough for the gate to matter.
UNEVEN = "aevalsrc='(0.02+0.2*lt(mod(t,3),1.7))*(sin(2*PI*313*t)+0.5*sin(2*PI*1700*t)+0.3*random(0))':s=48000"


def uneven() -> Path:
    return films.numbered("uneven.mp4", *films.x264(gop=30), sound=UNEVEN)


def test_measured_as_pyloudnorm_measures() -> None:
    measured = loudness.measure(piece(uneven(), 1000, 9000))
    assert measured is not None
    samples = films.stereo(uneven())[48000 : 9 * 48000]
    stereo = samples if samples.shape[1] == 2 else samples.repeat(2, axis=1)
    assert measured[0] == pytest.approx(pyloudnorm.Meter(48000).integrated_loudness(stereo), abs=0.2)


def test_an_evened_clip_has_the_asked_loudness(tmp_path: Path) -> None:
    one = piece(uneven(), 1000, 9000)
    gain = loudness.even_gain_db(loudness.measure(one), -23.0)
    film = make_film([piece(uneven(), 1000, 9000, gain_db=gain)], tmp_path / "film.mp4").path
    heard = pyloudnorm.Meter(48000).integrated_loudness(films.stereo(film))
    assert heard == pytest.approx(-23.0, abs=0.5)


def test_the_peak_is_not_lifted_too_high() -> None:
    assert loudness.even_gain_db((-30.0, -4.0)) == 3.0
    assert loudness.even_gain_db((-60.0, -50.0)) == 20.0
    assert loudness.even_gain_db((-10.0, -0.5)) == -6.0


def test_silence_is_left_alone() -> None:
    assert loudness.measure(piece(media.no_sound(), 0, 1000)) is None
    quiet = films.numbered("quiet.mp4", *films.x264(gop=30), sound="anullsrc=r=48000:cl=mono")
    assert loudness.even_gain_db(loudness.measure(piece(quiet, 0, 3000))) == 0.0
