"""Words only where someone speaks, on the right clock, in parts, never past the end."""

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from annotate.errors import BadInput, Cancelled, NoModel
from annotate.listen.audio import SoundPlace, read_place, sound_blocks
from annotate.listen.line_cut import Utterance
from annotate.listen.recognise import Recogniser, Watch, Wishes
from annotate.model import Word
from tests.listen import noises
from tests.listen.test_audio import write

RATE = 16_000
ENGLISH = Wishes("en")
SENTENCE = "the tube by hand until it sits on the mandrel"


def words_of(lines: tuple[Utterance, ...]) -> list[Word]:
    return [word for line in lines for word in line.words]


def check_times(lines: tuple[Utterance, ...], end_ms: int) -> None:
    """Inside the recording, in order, no empty word, lines as long as their words."""
    words = words_of(lines)
    assert words[0].start_ms >= 0
    assert words[-1].end_ms <= end_ms
    assert all(word.start_ms < word.end_ms for word in words)
    assert all(before.end_ms <= after.start_ms for before, after in pairwise(words))
    for line in lines:
        assert (line.start_ms, line.end_ms) == (line.words[0].start_ms, line.words[-1].end_ms)


def test_lines_are_sentences_with_words_in_time(recogniser: Recogniser, talk: np.ndarray) -> None:
    found = recogniser.recognise(talk)
    assert [line.text for line in found.utterances][::2] == [
        "I'm scraping the left channel of the lower blade.",
        "Now the crow is a little high, so I open the tip with the first wire.",
    ]
    assert [round(line.start_ms, -2) for line in found.utterances] == [300, 3000, 4300]
    assert found.language == "en"
    assert found.is_language_sure
    check_times(found.utterances, 8010)


@pytest.mark.parametrize(
    "sound",
    [
        noises.silence(40),
        noises.white(10),
        noises.brown(10),
        noises.scrapes(10),
        noises.tones([58.3, 116.5, 174.6, 233.1, 311.1, 440.0]),
        noises.crows(10),
    ],
    ids=["silence", "white noise", "brown noise", "scraping", "playing", "crow"],
)
def test_no_word_where_nobody_speaks(recogniser: Recogniser, sound: np.ndarray) -> None:
    """Silence alone makes the plain recogniser say 'You'."""
    assert recogniser.recognise(sound, ENGLISH).utterances == ()


def test_nothing_is_a_recognition_too(recogniser: Recogniser) -> None:
    found = recogniser.recognise(np.zeros(0, np.float32))
    assert (found.utterances, found.language, found.language_score) == ((), "", 0.0)


def test_text_before_and_after_a_long_noise_is_kept_and_said_once(recogniser: Recogniser, short: np.ndarray) -> None:
    """A minute of room noise is where repetition loops begin."""
    noise = noises.white(60, rms=0.01)
    found = recogniser.recognise(np.concatenate([short, noise, short]), ENGLISH)
    assert [line.text.rstrip(".").endswith(SENTENCE) for line in found.utterances] == [True, True]
    assert found.utterances[1].start_ms == pytest.approx(60_000 + len(short) / 16 + 200, abs=200)


def test_a_line_ends_with_its_last_word(recogniser: Recogniser, short: np.ndarray) -> None:
    """Six seconds of silence between two sentences belong to neither."""
    length_ms = len(short) // 16
    found = recogniser.recognise(np.concatenate([short, noises.silence(6), short]), ENGLISH)
    alone = recogniser.recognise(short, ENGLISH).utterances[0]
    first, second = found.utterances
    assert first.end_ms == pytest.approx(alone.end_ms, abs=200)
    assert second.start_ms == pytest.approx(length_ms + 6000 + alone.start_ms, abs=200)
    assert second.end_ms == pytest.approx(length_ms + 6000 + alone.end_ms, abs=200)


def test_sound_cut_in_a_word_has_no_time_past_its_end(recogniser: Recogniser, short: np.ndarray) -> None:
    cut = short[: int(2.1 * RATE)]
    check_times(recogniser.recognise(cut, ENGLISH).utterances, 2100)


def test_thirty_seconds_without_a_pause_end_in_time(recogniser: Recogniser, talk: np.ndarray) -> None:
    tight = np.concatenate([talk[RATE // 4 : -RATE // 4]] * 4)[: int(29.9 * RATE)]
    lines = recogniser.recognise(tight, ENGLISH).utterances
    check_times(lines, 29_900)
    assert sum("crow" in word.text for word in words_of(lines)) == 4


def test_too_many_hints_are_trimmed_and_named(recogniser: Recogniser, short: np.ndarray) -> None:
    """A long word list stops the plain recogniser with a position error."""
    many = tuple(f"{word} {number}" for number in range(200) for word in ("mandrel", "plaque"))
    found = recogniser.recognise(short, Wishes("en", many))
    assert found.hints_used == many[: len(found.hints_used)]
    assert 20 < len(found.hints_used) < 100
    assert found.hints_used + found.hints_left == many
    assert len(found.utterances) == 1
    assert found.utterances[0].text.lower().rstrip(".").endswith(SENTENCE)


def test_hints_are_not_heard_in_silence(recogniser: Recogniser) -> None:
    sound = np.concatenate([noises.silence(5), noises.white(5, 0.01)])
    assert recogniser.recognise(sound, Wishes("en", ("bocal", "plaque", "reamer"))).utterances == ()


def test_batches_keep_every_word(recogniser: Recogniser, short: np.ndarray) -> None:
    """Seven times the same sentence, with pauses: a batch leaves out copies when it is run without time stamps."""
    sound = np.concatenate([np.concatenate([short, noises.silence(2)])] * 7)
    lines = recogniser.recognise(sound, ENGLISH).utterances
    assert [len(line.words) for line in lines] == [13] * 7
    assert all(line.end_ms - line.start_ms < 4000 for line in lines)


@pytest.mark.parametrize("lead", [noises.silence(40), noises.brown(40)], ids=["silence", "noise"])
def test_the_language_is_that_of_the_voice(recogniser: Recogniser, short: np.ndarray, lead: np.ndarray) -> None:
    """The first 30 s hold no voice: plain detection scores 0.37 or names another language."""
    found = recogniser.recognise(np.concatenate([lead, short]))
    assert found.language == "en"
    assert found.language_score > 0.9
    assert found.utterances[0].start_ms == pytest.approx(40_200, abs=200)


def test_a_language_the_model_lacks_is_refused(recogniser: Recogniser, short: np.ndarray) -> None:
    with pytest.raises(BadInput, match="“zz” is not a language"):
        recogniser.recognise(short, Wishes("zz"))


def test_sounds_known_already_bound_the_words(recogniser: Recogniser, talk: np.ndarray) -> None:
    """Only the first sentence lies in the given span."""
    found = recogniser.recognise(talk, Wishes("en", spans=((0, 2900),)))
    assert [line.text.rstrip(".") for line in found.utterances] == ["I'm scraping the left channel of the lower blade"]


def test_a_late_sound_has_words_on_the_recordings_clock(
    recogniser: Recogniser, short: np.ndarray, tmp_path: Path
) -> None:
    """Sound 2.5 s after the picture."""
    path = write(tmp_path / "late.mkv", [short[None]], RATE, first=(40_000,), picture_seconds=7)
    alone = recogniser.recognise(short, ENGLISH).utterances[0]
    late = recogniser.recognise(read_place(SoundPlace(path, 1)), ENGLISH).utterances[0]
    assert late.start_ms == pytest.approx(alone.start_ms + 2500, abs=40)


def in_blocks(sound: np.ndarray, seconds: int = 30) -> Iterator[np.ndarray]:
    yield from (sound[at : at + seconds * RATE] for at in range(0, len(sound), seconds * RATE))


def test_a_long_sound_comes_in_parts_that_end_in_pauses(recogniser: Recogniser, short: np.ndarray) -> None:
    """Eleven minutes: a sentence lies across the five-minute mark, and is in one part, whole."""
    sound = noises.white(660, 0.001)
    at = 298 * RATE
    sound[at : at + len(short)] += short
    parts = list(recogniser.parts(in_blocks(sound), ENGLISH))
    assert [len(part.utterances) for part in parts] == [0, 1, 0]
    assert parts[0].end_ms <= 298_100
    assert [part.start_ms for part in parts] == [0, *(part.end_ms for part in parts[:-1])]
    assert parts[-1].end_ms == 660_000
    line = parts[1].utterances[0]
    assert line.text.rstrip(".").endswith(SENTENCE)
    assert line.start_ms == pytest.approx(298_200, abs=200)


def test_a_killed_run_goes_on_from_its_last_part(recogniser: Recogniser, short: np.ndarray, tmp_path: Path) -> None:
    sound = noises.white(330, 0.001)
    for second in (10, 320):
        sound[second * RATE : second * RATE + len(short)] += short
    path = write(tmp_path / "long.wav", [sound[None]], RATE)
    first = next(recogniser.parts(sound_blocks(SoundPlace(path, 0)), ENGLISH))
    rest = list(
        recogniser.parts(
            sound_blocks(SoundPlace(path, 0, start_ms=first.end_ms)), ENGLISH, start_ms=first.end_ms, total_ms=330_000
        )
    )
    assert [line.text.rstrip(".").endswith(SENTENCE) for line in first.utterances] == [True]
    assert [(len(part.utterances), part.end_ms) for part in rest] == [(1, 330_000)]
    assert rest[0].utterances[0].start_ms == pytest.approx(320_200, abs=200)


def test_progress_rises_to_one_and_cancel_stops(recogniser: Recogniser, short: np.ndarray) -> None:
    seen: list[float] = []
    recogniser.recognise(short, ENGLISH, watch=Watch(seen.append))
    assert seen == sorted(seen)
    assert seen[-1] == 1.0
    with pytest.raises(Cancelled):
        recogniser.recognise(short, ENGLISH, watch=Watch(seen.append, lambda: True))


def test_without_fast_8_bit_arithmetic_it_still_runs(speech_model_dir: Path, short: np.ndarray) -> None:
    slow = Recogniser(speech_model_dir, threads=2, supported=lambda: {"float32"})
    assert slow.compute_type == "float32"
    assert "takes longer" in slow.note
    assert slow.recognise(short, ENGLISH).utterances[0].text.rstrip(".").endswith(SENTENCE)


def test_a_folder_that_is_no_model_is_refused(tmp_path: Path) -> None:
    (tmp_path / "model.bin").write_bytes(b"not a model")
    with pytest.raises(NoModel, match="cannot be loaded"):
        Recogniser(tmp_path)
