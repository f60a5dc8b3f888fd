"""Lessons with choices as films: which pictures are seen, what is heard when, what is drawn, what is said."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np
import pytest

from annotate.formats.cues import Cue
from annotate.intake.probe import probe
from annotate.lesson.cutting.cut import make_film
from annotate.lesson.cutting.pieces import FilmOptions, FilmResult
from annotate.lesson.shown.film import LaidOut
from annotate.lesson.shown.ready import make_ready
from annotate.lesson.told.material import Material, Step
from annotate.lesson.told.summary import summarise
from annotate.model import Before, Clip, Correction, Lesson, Line, Recording, Session, Showing, Sound, Word
from tests import media
from tests.lesson import films

# At every whole second a tone of 1 kHz for 0.1 s; picture number 30 n belongs to second n.
TICKS = "aevalsrc='0.5*sin(2*PI*1000*t)*lt(mod(t,1),0.1)':s=48000"
AS_IT_WAS = Showing(evens_loudness=False)


def ticking() -> Path:
    return films.numbered("ticking.mp4", *films.x264(gop=30), sound=TICKS)


def a_step(clip: Clip, path: Path, *sounds: Sound, number: int = 1, **told: object) -> Step:
    """A step of a recording that lies at ``path``."""
    known = probe(path)
    recording = Recording(1, path.name, str(path), False, f"{path.name:0>64}", 1, known, id=clip.recording_id)
    return Step(number, clip, path, recording, Session("2026-03-14"), sounds=sounds, **told)  # type: ignore[arg-type]


def a_lesson(showing: Showing, *steps: Step, has_title_cards: bool = False) -> Material:
    clips = tuple(step.clip for step in steps)
    return Material(Lesson("x", clips=clips, showing=showing, has_title_cards=has_title_cards), steps)


def filmed(material: Material, target: Path) -> tuple[FilmResult, LaidOut, list[Cue]]:
    laid, cues = make_ready(material, FilmOptions(preset="ultrafast"))
    return make_film(laid.pieces, target, options=FilmOptions(preset="ultrafast")), laid, cues


def onsets(samples: np.ndarray, level: float = 0.05) -> list[float]:
    """When a tone sets in (seconds)."""
    loud = np.abs(samples).max(axis=1) > level
    starts = np.flatnonzero(loud[1:] & ~loud[:-1]) + 1
    made: list[float] = []
    for one in starts:
        if not made or one / 48000 - made[-1] > 0.12:
            made.append(one / 48000)
    return made


def test_long_scraping_runs_faster_and_what_follows_is_in_step(tmp_path: Path) -> None:
    scraping = Sound(1000, 9000, "scrape")
    step = a_step(Clip(1, 0, 10_000), ticking(), scraping)
    showing = Showing(4, 3000, "off", evens_loudness=False)
    result, laid, cues = filmed(a_lesson(showing, step), tmp_path / "film.mp4")
    # 0-2 s as it was, 2-8 s in a quarter of the time, 8-10 s as it was.
    seen = films.numbers(result.path)
    assert seen[:60] == list(range(60))
    assert seen[60:105] == [60 + 4 * n for n in range(45)]
    assert seen[105:] == list(range(240, 300))
    # The tone of each second against the picture of that second: 0 to 1, and 8 to 9 after the change of speed.
    heard = onsets(films.stereo(result.path))
    assert len(heard) == 4
    for at, number in zip(heard, (0, 30, 240, 270), strict=True):
        assert abs(at - seen.index(number) / 30) <= 0.010
    assert [(one.start_ms, one.text) for one in cues] == [(1000, "[scraping]"), (2000, "[scraping, 4 times as fast]")]
    assert laid.shown[0].clip.film_ms(9000) == 4500


@pytest.mark.parametrize("speed", [2, 4, 8])
def test_fast_scraping_is_heard_softly_in_step(tmp_path: Path, speed: int) -> None:
    step = a_step(Clip(1, 0, 10_000), ticking(), Sound(1000, 9000, "scrape"))
    showing = Showing(speed, 3000, "low", evens_loudness=False)
    result, laid, _ = filmed(a_lesson(showing, step), tmp_path / "film.mp4")
    samples = films.stereo(result.path)
    for second in range(2, 8):
        # Where the middle of the second's tone is heard, against where its picture is seen.
        middle = (laid.shown[0].clip.film_ms(1000 * second) + 50 / speed) / 1000
        part = samples[round((middle - 0.06) * 48000) : round((middle + 0.06) * 48000)]
        energy = (part.astype(float) ** 2).sum(axis=1)
        heard = (energy * np.arange(len(part))).sum() / energy.sum() / 48000 - 0.06
        assert abs(heard) <= 0.010
    loud = np.abs(samples[: 2 * 48000]).max()
    soft = np.abs(samples[round(2.1 * 48000) : round(2.6 * 48000)]).max()
    assert 20 * np.log10(soft / loud) == pytest.approx(-18, abs=2)


def test_long_quiet_is_cut_to_the_picture_without_a_click(tmp_path: Path) -> None:
    path = films.numbered("humming.mp4", *films.x264(gop=30), sound="aevalsrc='0.4*sin(2*PI*220*t)':s=48000")
    step = a_step(Clip(1, 0, 10_000), path, Sound(2000, 7000, "quiet"))
    showing = Showing(quiet_longer_ms=3000, evens_loudness=False)
    result, laid, _ = filmed(a_lesson(showing, step), tmp_path / "film.mp4")
    assert films.numbers(result.path) == [*range(75), *range(195, 300)]
    # All but what lies between the joint and the next keyframes is copied.
    assert (result.copied, result.encoded) == (163, 17)
    # At the joint (2.5 s) the tone has gone down: no step from one sample to the next is greater than in the tone.
    samples = films.stereo(result.path)[:, 0]
    joint = samples[round(2.4 * 48000) : round(2.6 * 48000)]
    assert np.abs(np.diff(joint)).max() <= 0.4 * 2 * np.pi * 220 / 48000 * 1.1
    assert np.abs(samples[round(2.499 * 48000) : round(2.501 * 48000)]).max() < 0.08
    assert summarise(a_lesson(showing, step), laid.starts_ms).steps[0].done == ("0:04 of quiet is left out.",)


def test_without_choices_everything_is_copied_as_before(tmp_path: Path) -> None:
    step = a_step(Clip(1, 2000, 8000), ticking(), Sound(2000, 8000, "scrape"))
    result, laid, _ = filmed(a_lesson(Showing(), step), tmp_path / "film.mp4")
    assert (result.copied, result.encoded) == (180, 0)
    assert summarise(a_lesson(Showing(), step), laid.starts_ms).steps[0].done == ()


def test_words_and_corrections_after_fast_scraping_come_when_they_are_said(tmp_path: Path) -> None:
    line = Line(1, 8200, 9200, "Now listen.", (Word(8200, 8600, "Now"), Word(8600, 9200, "listen.")))
    fix = Correction(1, 8600, 9200, "listen", "look")
    step = a_step(Clip(1, 0, 10_000), ticking(), Sound(1000, 7900, "scrape"), lines=(line,), corrections=(fix,))
    laid, cues = make_ready(a_lesson(Showing(4, 3000, evens_loudness=False), step), FilmOptions())
    # 2.0-6.9 s take 1.225 s; 8.2 s falls on 2.0 + 1.225 + 1.3.
    said = [one for one in cues if not one.text.startswith("[scraping")]
    assert [one.text for one in said] == ["Now listen.", "[Correction: look]"]
    assert said[0].start_ms == pytest.approx(4525, abs=17)
    notes = [(n, one) for n, piece in enumerate(laid.pieces) for one in piece.overlays if one.x < 40]
    assert [n for n, _ in notes] == [2]
    assert laid.plan.placed[2].start_ms + notes[0][1].start_ms == pytest.approx(4925, abs=17)


def brightness(path: Path, at_s: float, box: tuple[slice, slice]) -> float:
    with av.open(str(path)) as film:
        for frame in film.decode(video=0):
            if frame.time is not None and frame.time >= at_s - 0.001:
                return float(frame.to_ndarray(format="rgb24")[box].mean())
    raise AssertionError("the film is shorter")


def test_the_speed_is_said_on_the_picture_only_while_it_is_fast(tmp_path: Path) -> None:
    white = media.make(
        "white.mp4",
        *("-f", "lavfi", "-i", "color=white:s=640x360:r=30:d=10", "-f", "lavfi", "-t", "10", "-i", TICKS),
        *films.x264(gop=30),
        *("-c:a", "aac"),
    )
    step = a_step(Clip(1, 0, 10_000), white, Sound(1000, 9000, "scrape"))
    result, laid, _ = filmed(a_lesson(Showing(4, 3000, evens_loudness=False), step), tmp_path / "film.mp4")
    (badge,) = laid.pieces[1].overlays
    box = slice(badge.y + 4, badge.y + 12), slice(badge.x + 4, badge.x + 20)
    assert brightness(result.path, 1.9, box) > 240
    assert brightness(result.path, 2.5, box) < 110
    assert brightness(result.path, 3.6, box) > 240


def test_burned_captions_stand_where_the_track_says_inside_the_safe_area(tmp_path: Path) -> None:
    line = Line(1, 1000, 3000, "Thin the tip before the heart, always.", (Word(1000, 3000, "Thin the tip, always."),))
    step = a_step(Clip(1, 0, 5000), ticking(), lines=(line,))
    showing = Showing(evens_loudness=False, burns_captions=True)
    result, laid, cues = filmed(a_lesson(showing, step), tmp_path / "film.mp4")
    (drawn,) = laid.pieces[0].overlays
    assert (drawn.start_ms, drawn.end_ms) == (cues[0].start_ms, cues[0].end_ms)
    plan, picture = laid.plan, drawn.picture
    assert drawn.x >= 0.05 * plan.width - 1
    assert drawn.x + picture.width <= 0.95 * plan.width + 1
    assert drawn.y + picture.height <= 0.95 * plan.height + 1
    with av.open(str(result.path)) as film:
        shots = [frame.to_ndarray(format="gray") for frame in film.decode(video=0)]
    with av.open(str(ticking())) as film:
        plain = [frame.to_ndarray(format="gray") for frame in film.decode(video=0)]
    box = slice(drawn.y, drawn.y + picture.height), slice(drawn.x, drawn.x + picture.width)
    changed = [bool(np.abs(a[box].astype(int) - b[box]).mean() > 20) for a, b in zip(shots, plain, strict=False)]
    assert [n for n, one in enumerate(changed) if one] == list(range(30, round(cues[0].end_ms * 30 / 1000)))


def two(is_beside: bool) -> Material:
    """Second 6 to 9 of one recording, set against second 1 to 3 of another."""
    old = films.numbered("old.mp4", *films.x264(gop=30), sound=TICKS)
    clip = Clip(1, 6000, 9000, before=Before(2, 1000, 3000, is_beside))
    before = a_step(Clip(2, 1000, 3000), old)
    return a_lesson(AS_IT_WAS, a_step(clip, ticking(), before=before))


def test_before_and_after_in_turn(tmp_path: Path) -> None:
    result, laid, _ = filmed(two(is_beside=False), tmp_path / "film.mp4")
    assert films.numbers(result.path) == [*range(30, 90), *range(180, 270)]
    assert [len(piece.overlays) for piece in laid.pieces] == [1, 1]
    shown = laid.shown[0]
    assert shown.before is not None
    assert (shown.before.film_ms(2000), shown.clip.film_ms(7000)) == (1000, 3000)
    assert onsets(films.stereo(result.path)) == pytest.approx([0, 1, 2, 3, 4], abs=0.010)


def test_before_and_after_side_by_side_play_one_after_the_other(tmp_path: Path) -> None:
    result, laid, _ = filmed(two(is_beside=True), tmp_path / "film.mp4")
    first, second = (piece.stage for piece in laid.pieces)  # type: ignore[union-attr]
    assert first is not None and second is not None
    assert first.x + first.width <= second.x
    with av.open(str(result.path)) as film:
        shots = [frame.to_ndarray(format="rgb24") for frame in film.decode(video=0)]

    def number(shot: np.ndarray, side: object) -> int:
        part = shot[side.y : side.y + side.height, side.x : side.x + side.width]  # type: ignore[attr-defined]
        whole = av.VideoFrame.from_ndarray(np.ascontiguousarray(part), "rgb24")
        return media.read_number(whole.reformat(320, 240).to_ndarray(format="rgb24"))

    assert [number(shot, first) for shot in shots] == [*range(30, 90), *[89] * 90]
    assert [number(shot, second) for shot in shots] == [*[180] * 60, *range(180, 270)]
    assert onsets(films.stereo(result.path)) == pytest.approx([0, 1, 2, 3, 4], abs=0.010)


def test_a_caption_of_one_clip_does_not_run_on_in_the_next() -> None:
    """The last words of what is shown before and the first of the clip are two captions."""
    old = films.numbered("old.mp4", *films.x264(gop=30), sound=TICKS)
    clip = Clip(1, 6000, 9000, before=Before(2, 1000, 3000, is_beside=False))
    one, two = Word(2000, 2990, "tight,"), Word(6010, 7000, "now")
    before = a_step(Clip(2, 1000, 3000), old, lines=(Line(2, 2000, 2990, "tight,", (one,)),))
    after = a_step(clip, ticking(), before=before, lines=(Line(1, 6010, 7000, "now", (two,)),))
    _, cues = make_ready(a_lesson(AS_IT_WAS, after), FilmOptions())
    assert [(cue.start_ms, cue.text) for cue in cues] == [(1000, "tight,"), (2010, "now")]
    assert cues[0].end_ms <= 2000
