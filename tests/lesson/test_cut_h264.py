"""The few bytes of H.264 that joining has to understand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from annotate.lesson.cutting import h264
from annotate.lesson.cutting.encode import Coding
from annotate.lesson.cutting.mp4 import encoder_sets


def coding(sets_id: int, preset: str = "veryfast") -> Coding:
    return Coding(320, 240, Fraction(30), 20, preset, sets_id)


@pytest.mark.parametrize("sets_id", [0, 1, 2, 7, 30, 31])
def test_ids_are_read_from_the_bits(sets_id: int) -> None:
    sets = encoder_sets(coding(sets_id))
    assert sets.ids == {sets_id}
    assert sets.profile == 100


def test_a_record_comes_back_as_it_was_made() -> None:
    both = encoder_sets(coding(0)).joined(encoder_sets(coding(1, "ultrafast")))
    record = h264.make_record(both)
    assert h264.parse_record(record) == (both, 4)
    assert len(both.sequence) == len(both.picture) == 2
    assert record[:2] == bytes((1, 100))


def test_one_id_with_two_meanings_is_a_conflict() -> None:
    ours, other = encoder_sets(coding(0)), encoder_sets(coding(0, "ultrafast"))
    assert ours.conflicts_with(other)
    assert not ours.conflicts_with(ours)
    assert not ours.conflicts_with(encoder_sets(coding(3, "ultrafast")))


def test_units_are_split_and_joined() -> None:
    units = [b"\x65abc", b"\x41", b"\x06sei"]
    assert list(h264.split(h264.prefixed(units), 4)) == units
    assert [h264.is_picture(one) for one in units] == [True, True, False]


@pytest.mark.parametrize("record", [b"", b"\0\0\0\1\x67", b"\1\x64\0\x1f\xff\xe0\0"])
def test_what_is_no_record_is_refused(record: bytes) -> None:
    with pytest.raises(ValueError):
        h264.parse_record(record)
