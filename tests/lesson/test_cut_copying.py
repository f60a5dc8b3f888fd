"""What is copied is copied bit for bit, and only what has to be is encoded."""

from __future__ import annotations

import hashlib
import os
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from annotate.lesson.cutting import cache
from annotate.lesson.cutting.cut import make_film
from annotate.lesson.cutting.pieces import FilmOptions, Overlay, StillPiece
from tests import media
from tests.lesson import films
from tests.lesson.films import piece


def prints(path: Path) -> list[str]:
    """A hash of each decoded picture, in the order shown."""
    with av.open(str(path)) as film:
        return [hashlib.md5(frame.to_ndarray().tobytes()).hexdigest() for frame in film.decode(video=0)]


def test_copied_pictures_decode_to_the_same_bytes(tmp_path: Path) -> None:
    path = films.with_b_pictures()
    result = make_film([piece(path, 1234, 3877), piece(path, 5033, 8400)], tmp_path / "film.mp4")
    # Groups begin with the pictures 60, 90, 120 ... The clips show 37..115 and 151..251.
    # Copied: 60..89, 90..114; 180..239, 240..248 and up to the last whole run of B pictures.
    assert result.plan.pictures == 79 + 101
    ours, theirs = prints(result.path), prints(path)
    same = [
        n for n, (one, number) in enumerate(zip(ours, films.numbers(result.path), strict=True)) if one == theirs[number]
    ]
    assert [n for n in same if n < 79][:53] == list(range(23, 76))
    assert set(range(79 + 29, 79 + 29 + 69)) <= set(same)
    assert result.copied >= 53 + 69
    assert result.copied + result.encoded == 180


def test_whole_groups_are_all_copied(tmp_path: Path) -> None:
    result = make_film([piece(films.with_b_pictures(), 2000, 5000)], tmp_path / "film.mp4")
    assert (result.copied, result.encoded) == (90, 0)
    assert prints(result.path) == prints(films.with_b_pictures())[60:150]


@pytest.mark.parametrize(
    "path",
    [films.open_groups, media.vfr, lambda: media.rotated(90), media.hdr, films.long_group, media.base],
    ids=["open groups", "varying rate", "turned", "HDR", "no keyframe inside", "BT.601"],
)
def test_what_cannot_be_copied_is_encoded(path: object, tmp_path: Path) -> None:
    assert callable(path)
    result = make_film([piece(path(), 500, 1700)], tmp_path / "film.mp4")
    assert (result.copied, result.encoded) == (0, result.plan.pictures)


def test_another_size_is_encoded_and_the_rest_copied(tmp_path: Path) -> None:
    small = films.numbered("small.mp4", *films.x264(gop=30)[2:], "-vf", "scale=160:120")
    pieces = [piece(films.with_b_pictures(), 2000, 5000), piece(small, 1000, 2000)]
    result = make_film(pieces, tmp_path / "film.mp4")
    assert (result.copied, result.encoded) == (90, 30)
    assert films.numbers(result.path) == [*range(60, 150), *range(30, 60)]


def test_recordings_whose_headers_differ_come_out_right(tmp_path: Path) -> None:
    other = films.numbered("other-header.mp4", *films.x264(gop=30, more="open-gop=0:ref=1:cabac=0"))
    pieces = [piece(films.with_b_pictures(), 2000, 4000), piece(other, 4000, 6000)]
    result = make_film(pieces, tmp_path / "film.mp4")
    assert films.numbers(result.path) == [*range(60, 120), *range(120, 180)]
    assert result.copied >= 60


def test_only_what_lies_under_an_overlay_is_encoded(tmp_path: Path) -> None:
    note = np.full((40, 60, 4), 255, np.uint8)
    one = piece(films.with_b_pictures(), 2000, 6000, overlays=(Overlay(1100, 1800, note, x=100, y=100),))
    result = make_film([one], tmp_path / "film.mp4")
    # The overlay lies over 33..53; the groups 30..59 is encoded from near there to its end.
    assert films.numbers(result.path) == list(range(60, 180))
    assert 120 - 30 <= result.copied < 100


def test_cards_and_copies_go_together(tmp_path: Path) -> None:
    card = StillPiece(np.full((240, 320, 3), 30, np.uint8), 700)
    pieces = [card, piece(films.with_b_pictures(), 2000, 3100), card, piece(films.with_b_pictures(), 4000, 4900)]
    result = make_film(pieces, tmp_path / "film.mp4")
    assert films.times(result.path) == [Fraction(n, 30) for n in range(21 + 33 + 21 + 27)]
    shown = films.numbers(result.path)
    assert shown[21:54] == list(range(60, 93))
    assert shown[75:] == list(range(120, 147))


def test_a_title_changed_renders_one_card(tmp_path: Path) -> None:
    options = FilmOptions(cache_folder=tmp_path / "cache", may_copy=False)
    clip = piece(films.with_b_pictures(), 2000, 3000)
    cards = [StillPiece(np.full((240, 320, 3), shade, np.uint8), 500) for shade in (30, 60, 90)]
    first = make_film([cards[0], clip, cards[1]], tmp_path / "film.mp4", options=options)
    assert (first.encoded, first.reused) == (60, 0)
    again = make_film([cards[0], clip, cards[2]], tmp_path / "film.mp4", options=options)
    assert (again.encoded, again.reused) == (15, 45)
    assert films.numbers(again.path)[15:45] == list(range(60, 90))


def test_a_broken_cache_file_is_made_again(tmp_path: Path) -> None:
    options = FilmOptions(cache_folder=tmp_path / "cache", may_copy=False)
    clip = piece(films.with_b_pictures(), 2000, 3000)
    make_film([clip], tmp_path / "film.mp4", options=options)
    (kept,) = (tmp_path / "cache").iterdir()
    kept.write_bytes(kept.read_bytes()[:500])
    result = make_film([clip], tmp_path / "film.mp4", options=options)
    assert (result.encoded, result.reused) == (30, 0)
    assert films.numbers(result.path) == list(range(60, 90))


def test_the_cache_forgets_what_was_used_longest_ago(tmp_path: Path) -> None:
    for age, name in enumerate(("newest", "middle", "oldest")):
        path = tmp_path / f"{name}.mp4"
        path.write_bytes(bytes(100))
        os.utime(path, (1_000_000 - age, 1_000_000 - age))
    cache.trim(tmp_path, 250)
    assert sorted(one.stem for one in tmp_path.iterdir()) == ["middle", "newest"]


def test_only_old_leftovers_are_swept(tmp_path: Path) -> None:
    for name in (".part-1-old.mp4", ".part-2-new.mp4", "film.mp4"):
        (tmp_path / name).write_bytes(b"x")
    os.utime(tmp_path / ".part-1-old.mp4", (1_000_000, 1_000_000))
    os.utime(tmp_path / "film.mp4", (1_000_000, 1_000_000))
    cache.sweep(tmp_path)
    assert sorted(one.name for one in tmp_path.iterdir()) == [".part-2-new.mp4", "film.mp4"]
