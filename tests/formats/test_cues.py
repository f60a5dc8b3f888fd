"""Cues made fit for players: in order, none empty, none overlapping."""

from __future__ import annotations

from annotate.formats import subrip, webvtt
from annotate.formats.cues import Cue, tidy


def test_overlapping_cues_no_longer_hide_each_other() -> None:  # case 56
    given = [
        Cue(1000, 3000, "second"),
        Cue(0, 2000, "first"),
        Cue(500, 500, "never seen"),
        Cue(2208998, 2210000, "late"),
    ]
    assert tidy(given) == [Cue(0, 999, "first"), Cue(1000, 3000, "second"), Cue(2208998, 2210000, "late")]


def test_cues_at_one_moment_become_one() -> None:  # case 56
    assert tidy([Cue(0, 2000, "up"), Cue(0, 1500, "down")]) == [Cue(0, 2000, "down\nup")]


def test_empty_cues_go() -> None:  # case 56
    assert tidy([Cue(0, 1000, " \n "), Cue(1000, 2000, "x"), Cue(3000, 2500, "backwards")]) == [Cue(1000, 2000, "x")]


def test_both_formats_carry_the_same_milliseconds() -> None:  # case 56
    cue = Cue(2208998, 2209100, "late")
    assert "00:36:48.998 --> 00:36:49.100" in webvtt.write([cue])
    assert "00:36:48,998 --> 00:36:49,100" in subrip.write([cue])
