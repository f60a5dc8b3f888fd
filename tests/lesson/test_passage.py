"""What of a clip is shown, how fast, and where it falls in the film."""

from fractions import Fraction

from annotate.lesson.cutting.pieces import Placed
from annotate.lesson.told.passage import Part, Passage, parts_of
from annotate.model import Clip, Line, Showing, Sound, Word

CLIP = Clip(1, 10_000, 70_000)
FOUR = Showing(scraping_speed=4)


def said(start_ms: int, end_ms: int) -> Line:
    return Line(1, start_ms, end_ms, "here", (Word(start_ms, end_ms, "here"),))


def test_without_choices_a_clip_is_one_part() -> None:
    sounds = [Sound(20_000, 60_000, "scrape"), Sound(60_000, 70_000, "quiet")]
    assert parts_of(CLIP, Showing(), sounds, []) == (Part(10_000, 70_000),)


def test_long_scraping_runs_faster_but_for_a_second_at_both_ends() -> None:
    sounds = [Sound(12_000, 20_000, "scrape"), Sound(30_000, 50_000, "scrape")]
    assert parts_of(CLIP, FOUR, sounds, []) == (
        Part(10_000, 31_000),
        Part(31_000, 49_000, 4),
        Part(49_000, 70_000),
    )


def test_a_short_look_at_the_reed_does_not_end_long_scraping() -> None:
    sounds = [Sound(30_000, 36_000, "scrape"), Sound(36_000, 38_000, "quiet"), Sound(38_000, 44_000, "scrape")]
    assert parts_of(CLIP, FOUR, sounds, [])[1] == Part(31_000, 43_000, 4)
    crowed = [sounds[0], Sound(36_000, 38_000, "crow"), sounds[2]]
    assert parts_of(CLIP, FOUR, crowed, []) == (Part(10_000, 70_000),)


def test_talking_never_runs_faster() -> None:
    sounds = [Sound(20_000, 60_000, "scrape")]
    assert parts_of(CLIP, FOUR, sounds, [said(40_000, 40_500)]) == (
        Part(10_000, 21_000),
        Part(21_000, 38_700, 4),
        Part(38_700, 41_800),
        Part(41_800, 59_000, 4),
        Part(59_000, 70_000),
    )
    heard = [*sounds, Sound(40_000, 40_500, "speech")]
    assert all(part.speed == 1 for part in parts_of(CLIP, FOUR, heard, []) if part.end_ms > 39_500 > part.start_ms)


def test_only_what_lies_in_the_clip_counts() -> None:
    assert parts_of(CLIP, FOUR, [Sound(0, 19_000, "scrape"), Sound(69_000, 90_000, "scrape")], []) == (
        Part(10_000, 70_000),
    )


def test_a_clip_has_its_own_speed() -> None:
    sounds = [Sound(20_000, 60_000, "scrape")]
    assert parts_of(Clip(1, 10_000, 70_000, scraping_speed=8), FOUR, sounds, [])[1].speed == 8
    assert parts_of(Clip(1, 10_000, 70_000, scraping_speed=1), FOUR, sounds, []) == (Part(10_000, 70_000),)


def test_long_quiet_becomes_a_rest_of_a_second() -> None:
    sounds = [Sound(20_000, 26_000, "quiet"), Sound(30_000, 32_000, "quiet"), Sound(66_000, 80_000, "quiet")]
    assert parts_of(CLIP, Showing(quiet_longer_ms=3000), sounds, [said(68_000, 68_400)]) == (
        Part(10_000, 20_500),
        Part(25_500, 70_000),
    )
    assert parts_of(CLIP, Showing(quiet_longer_ms=2000), [Sound(9_000, 14_000, "quiet")], []) == (
        Part(10_000, 10_500),
        Part(13_500, 70_000),
    )


def test_film_time_follows_speed_and_what_is_left_out() -> None:
    rate = Fraction(30)
    # 0-4 s as it was, 4-12 s four times as fast, 12-15 s left out, 15-20 s as it was; the film so far: 10 s.
    parts = (Part(0, 4000), Part(4000, 12_000, 4), Part(15_000, 20_000))
    placed = (
        Placed(300, 120, rate, Fraction(0)),
        Placed(420, 60, rate, Fraction(4), speed=Fraction(4)),
        Placed(480, 150, rate, Fraction(15)),
    )
    passage = Passage(parts, placed)
    moments = (0, 3000, 4000, 6000, 8000, 12_000, 13_500, 15_000, 16_000, 20_000, 30_000)
    films = (10_000, 13_000, 14_000, 14_500, 15_000, 16_000, 16_000, 16_000, 17_000, 21_000, 21_000)
    assert tuple(passage.film_ms(at) for at in moments) == films
    assert passage.fast() == [(14_000, 16_000, 4)]
    assert (passage.start_ms, passage.end_ms) == (10_000, 21_000)
