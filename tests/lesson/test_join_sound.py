"""The film's sound lies under its pictures to the sample, without drift and without clicks."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from annotate.lesson.cutting import sound, source
from annotate.lesson.cutting.cut import film_sound, make_film
from annotate.lesson.cutting.layout import lay_out, lay_out_with
from annotate.lesson.cutting.pieces import FilmOptions, Piece, SourcePiece
from tests import media
from tests.lesson import films
from tests.lesson.films import piece

# A short beep of 1 kHz at every whole second, silence between.
BEEPS = "aevalsrc='0.5*sin(2*PI*1000*t)*lt(mod(t,1),0.05)':s=48000"


def heard(*pieces: Piece) -> NDArray[np.float32]:
    """The film's sound before it is encoded."""
    with source.Shelf() as shelf:
        plan = lay_out_with(shelf, pieces, FilmOptions())
        return np.concatenate(list(film_sound(shelf, pieces, plan)))


def beeping(rate: int = 48000, channels: int = 1) -> Path:
    layout = {1: "mono", 2: "stereo", 6: "5.1"}[channels]
    shape = f",aformat=channel_layouts={layout},aresample={rate}"
    return films.numbered(f"beeps{rate}-{channels}.mp4", *films.x264(gop=30), sound=BEEPS + shape)


@pytest.mark.parametrize(("rate", "channels"), [(48000, 1), (44100, 1), (44100, 2), (48000, 6), (22050, 1)])
def test_a_beep_stays_under_its_picture(rate: int, channels: int) -> None:
    samples = heard(piece(beeping(rate, channels), 1500, 4500))
    assert len(samples) == 3 * 48000
    # Beeps of 2, 3 and 4 s lie at 0.5, 1.5 and 2.5 s of the film.
    for second in (0.5, 1.5, 2.5):
        assert abs(films.onset_s(samples, second - 0.2, second + 0.2, 0.08) - second) < 0.002


def test_one_channel_is_heard_on_both_sides_as_loud() -> None:
    samples = heard(piece(films.with_b_pictures(), 2000, 3000))
    height = np.sqrt(2 * (samples[4800:-4800] ** 2).mean(axis=0))
    assert height == pytest.approx([0.3, 0.3], abs=0.01)


def test_case_10_sound_that_starts_later_stays_later(tmp_path: Path) -> None:
    path = media.late_sound()
    result = make_film([piece(path, 2000, 4000)], tmp_path / "film.mp4")
    samples = films.stereo(result.path)
    assert abs(films.onset_s(samples, 0, 2, 0.01) - 0.5) < 0.03  # AAC may announce itself a little early
    assert np.abs(samples[: round(0.45 * 48000)]).max() < 1e-3


def test_case_10_the_click_and_the_flash_stay_together(tmp_path: Path) -> None:
    result = make_film([piece(media.click(), 1000, 4000)], tmp_path / "film.mp4")
    assert result.plan.rate == 25
    assert abs(films.onset_s(films.stereo(result.path), 1.9, 2.2, 0.1) - 2.0) < 0.01


def test_case_44_many_pieces_do_not_drift(tmp_path: Path) -> None:
    path = beeping()
    # Every piece begins 0.1 s before a beep and is 11 pictures long.
    pieces = [piece(path, 1000 * (n % 8) + 900, 1000 * (n % 8) + 900 + 370) for n in range(20)]
    result = make_film(pieces, tmp_path / "film.mp4")
    assert result.plan.pictures == 20 * 11
    samples = films.stereo(result.path)
    assert abs(len(samples) / 48000 - 220 / 30) < 0.0213  # at most one AAC frame of silence at the end
    for n in range(20):
        start = n * 11 / 30
        assert abs(films.onset_s(samples, start + 0.02, start + 0.3, 0.1) - start - 0.1) < 0.003


def test_case_44_no_piece_is_off_by_a_sample() -> None:
    plan = lay_out([piece(beeping(), 1000, 1370)] * 200, FilmOptions(rate=Fraction(30000, 1001)))
    ends = [one.first_sample + one.samples for one in plan.placed]
    assert [one.first_sample for one in plan.placed[1:]] == ends[:-1]
    assert ends[-1] == round(plan.pictures * Fraction(1001, 30000) * 48000)


def test_case_47_no_click_where_clips_meet() -> None:
    tone = films.with_b_pictures()
    samples = heard(piece(tone, 300, 800), piece(tone, 2111, 2600))
    joint = 15 * 1600
    steps = np.abs(np.diff(samples[:, 0]))
    # A 440 Hz tone of 0.3 moves by at most 0.3 * 2 pi * 440 / 48000 = 0.0173 from sample to sample.
    assert steps[joint - 800 : joint + 800].max() < 0.0175
    assert np.abs(samples[joint - 4 : joint + 4]).max() < 0.002


def test_clips_that_go_on_are_not_faded() -> None:
    tone = films.with_b_pictures()
    whole = heard(piece(tone, 1000, 3000))
    parts = heard(piece(tone, 1000, 2000), piece(tone, 2000, 3000))
    assert np.abs(whole - parts).max() < 2e-3


def test_sound_can_be_lowered_and_left_out() -> None:
    tone = films.with_b_pictures()
    lower = heard(piece(tone, 1000, 2000, gain_db=-20.0))
    assert np.sqrt(2 * (lower[4800:-4800] ** 2).mean()) == pytest.approx(0.03, abs=0.001)
    assert np.abs(heard(piece(tone, 1000, 2000, gain_db=None))).max() == 0


def test_faster_sound_keeps_its_pitch_and_length() -> None:
    samples = heard(piece(films.with_b_pictures(), 0, 8000, speed=Fraction(4)))
    assert len(samples) == 2 * 48000
    part = samples[24000:72000, 0]
    peak = np.argmax(np.abs(np.fft.rfft(part * np.hanning(len(part)))))
    assert abs(peak - 440) <= 2  # 1 Hz per bin


def test_without_sound_there_is_silence() -> None:
    samples = heard(piece(media.no_sound(), 0, 1000))
    assert samples.shape == (48000, 2)
    assert not samples.any()


def test_blocks_are_exactly_as_long_as_the_piece() -> None:
    one = piece(films.with_b_pictures(), 9000, 10_000)
    with source.Shelf() as shelf:
        plan = lay_out_with(shelf, [one, one], FilmOptions())
        assert isinstance(one, SourcePiece)
        total = sum(len(block) for block in sound.piece_sound(shelf, one, plan.placed[1]))
    assert total == 48000
