"""The demo scenario holds together: media open, times lie inside, ids are words of the trade, cards are readable."""

from __future__ import annotations

import itertools
import re
from decimal import Decimal
from functools import cache
from typing import Any

import av
import cv2
import numpy as np
import numpy.typing as npt
import pytest
import zxingcpp

import demo_media
from annotate.intake.probe import probe
from annotate.listen.audio import RATE_HZ, sound_blocks, sound_of
from annotate.listen.sounds import hear
from annotate.model import MODES, REED_STATES, SOUND_KINDS, Clip, Lesson, Reed, Session
from annotate.vocabulary.words import vocabulary

FILES = ("b12-first-sitting.mp4", "b12-second-sitting.mp4", "h5-window-light.mkv")
QUANTITIES = (
    "tip_opening", "thickness", "length", "width", "wire_distance", "diameter", "humidity", "temperature", "grit",
    "strokes", "time", "pitch", "cents", "count",
)  # fmt: skip
Pixels = npt.NDArray[np.uint8]


@cache
def _recordings() -> dict[str, dict[str, Any]]:
    return {one["file"]: one for session in demo_media.scenario()["sessions"] for one in session["recordings"]}


def _upright(frame: av.VideoFrame) -> Pixels:
    picture = frame.to_ndarray(format="gray")
    return np.ascontiguousarray(np.rot90(picture, round(frame.rotation / 90)))


@cache
def _card_pictures(name: str) -> tuple[Pixels, ...]:
    """The upright pictures of the first seconds, two a second, while the card is shown."""
    card = demo_media.truth()[name]["card"]
    found: list[Pixels] = []
    with av.open(str(demo_media.media_path(name))) as box:
        for frame in box.decode(video=0):
            at = round(frame.time * 1000)
            if at >= card["end_ms"]:
                break
            if at >= card["start_ms"] + 500 * len(found):
                found.append(_upright(frame))
    return tuple(found)


def test_three_files_and_no_more() -> None:
    assert tuple(_recordings()) == FILES
    assert tuple(demo_media.truth()) == FILES


def test_all_media_together_are_small() -> None:
    assert sum(demo_media.media_path(name).stat().st_size for name in FILES) <= 6_000_000


def test_unknown_file_is_refused_in_words() -> None:
    with pytest.raises(FileNotFoundError, match=r"no file named 'other\.mp4'"):
        demo_media.media_path("other.mp4")


@pytest.mark.parametrize(
    ("name", "codec", "stored", "rotation", "rate"),
    [
        ("b12-first-sitting.mp4", "h264", (960, 540), 0, 30),
        ("b12-second-sitting.mp4", "h264", (960, 540), 90, 30),
        ("h5-window-light.mkv", "hevc", (960, 540), 0, 25),
    ],
)
def test_media_are_what_the_readme_says(
    name: str, codec: str, stored: tuple[int, int], rotation: int, rate: int
) -> None:
    with av.open(str(demo_media.media_path(name))) as box:
        picture, sound = box.streams.video[0], box.streams.audio[0]
        assert (picture.codec_context.name, picture.codec_context.pix_fmt) == (codec, "yuv420p")
        assert (picture.codec_context.width, picture.codec_context.height) == stored
        assert picture.average_rate == rate
        assert (sound.codec_context.name, sound.codec_context.sample_rate) == ("aac", 48000)
        assert box.duration is not None
        assert abs(box.duration / 1000 - demo_media.truth()[name]["duration_ms"]) < 60
        assert next(box.decode(video=0)).rotation == rotation


@pytest.mark.parametrize("name", FILES)
def test_no_place_or_device_is_written_in_the_files(name: str) -> None:
    with av.open(str(demo_media.media_path(name))) as box:
        keys = {key.lower() for key in box.metadata}
    assert not {key for key in keys if re.search(r"location|gps|make|model|artist|comment", key)}


@pytest.mark.parametrize("name", FILES)
def test_timeline_of_sounds_is_without_gaps(name: str) -> None:
    facts = demo_media.truth()[name]
    sounds = facts["sounds"]
    assert sounds[0]["start_ms"] == 0
    assert sounds[-1]["end_ms"] == facts["duration_ms"]
    assert all(one["end_ms"] == two["start_ms"] for one, two in itertools.pairwise(sounds))
    assert {one["kind"] for one in sounds} == set(SOUND_KINDS)


@pytest.mark.parametrize("name", FILES)
def test_sentences_lie_in_speech_and_in_order(name: str) -> None:
    facts = demo_media.truth()[name]
    speech = [(one["start_ms"], one["end_ms"]) for one in facts["sounds"] if one["kind"] == "speech"]
    sentences = facts["sentences"]
    assert [(one["start_ms"], one["end_ms"]) for one in sentences] == speech
    assert all(one["mode"] in ("", *MODES) and one["text"].endswith(".") for one in sentences)


def test_the_story_carries_what_the_demo_needs() -> None:
    facts = demo_media.truth().values()
    modes = {one["mode"] for each in facts for one in each["sentences"]}
    assert {"plan", "recap", "negated"} <= modes
    notes = [(one["note"], one["end_ms"] - one["start_ms"] >= 3000) for each in facts for one in each["notes"]]
    assert [note for note, _ in notes] == ["E3", "C♯3", "E3", "C♯3", "A4", "D4"]
    assert all(is_held for note, is_held in notes)
    assert [len(each["crows"]) for each in facts] == [1, 2, 2]


@pytest.mark.parametrize("name", FILES)
def test_played_notes_have_the_pitch_that_is_told(name: str) -> None:
    """Autocorrelation of the decoded middle third, against 440 * 2**((midi - 69 + cents / 100) / 12) Hz (ISO 16)."""
    with av.open(str(demo_media.media_path(name))) as box:
        parts = [frame.to_ndarray().reshape(-1) for frame in box.decode(audio=0)]
    samples = np.concatenate(parts).astype(np.float64)
    for note in demo_media.truth()[name]["notes"]:
        start, third = note["start_ms"], (note["end_ms"] - note["start_ms"]) // 3
        part = samples[(start + third) * 48 : (start + 2 * third) * 48]
        power = np.abs(np.fft.rfft(part, 2 * part.size)) ** 2
        match = np.fft.irfft(power)[: part.size]
        told_hz = 440.0 * 2 ** ((note["midi"] - 69 + note["cents"] / 100) / 12)
        # Twenty periods give the resolution; the sag inside the third stays within ten cents of its middle.
        near = round(20 * 48000 / told_hz)
        span = np.arange(round(near * 0.994), round(near * 1.006))
        found_hz = 20 * 48000 / span[np.argmax(match[span])]
        assert abs(1200 * np.log2(found_hz / told_hz)) < 10


def test_reeds_sessions_and_lessons_pass_the_model() -> None:
    story = demo_media.scenario()
    assert [one["id"] for one in story["instruments"]] == ["bassoon", "oboe"]
    reeds = [Reed(**one) for one in story["reeds"]]
    assert [(one.name, one.instrument) for one in reeds] == [("B-12", "bassoon"), ("H-5", "oboe")]
    assert all(one.state in REED_STATES for one in reeds)
    sessions = [_session(one) for one in story["sessions"]]
    assert [one.date for one in sessions] == ["2026-03-03", "2026-03-07", "2026-03-10"]
    assert [one.humidity_percent for one in sessions] == [44, 71, 48]
    lessons = [_lesson(one) for one in story["lessons"]]
    assert [len(one.clips) for one in lessons] == [8, 5]


def _session(told: dict[str, Any]) -> Session:
    air = (Decimal(told["temperature_c"]), Decimal(told["humidity_percent"]))
    return Session(told["date"], told["title"], told["place"], *air, told["note"])


def _lesson(told: dict[str, Any]) -> Lesson:
    clips = []
    for clip in told["clips"]:
        assert 0 <= clip["start_ms"] < clip["end_ms"] <= demo_media.truth()[clip["file"]]["duration_ms"]
        number = FILES.index(clip["file"]) + 1
        clips.append(Clip(number, clip["start_ms"], clip["end_ms"], clip["title"], clip.get("note", "")))
    parts = {key: told[key] for key in ("title", "goal", "audience", "review")}
    return Lesson(**parts, tools=tuple(told["tools"]), clips=tuple(clips))


@pytest.mark.parametrize("name", FILES)
def test_tags_use_words_of_the_trade_and_lie_inside(name: str) -> None:
    recording, duration = _recordings()[name], demo_media.truth()[name]["duration_ms"]
    words = vocabulary("oboe" if recording["reed"] == "H-5" else "bassoon")
    assert len(recording["tags"]) >= 8
    for tag in recording["tags"]:
        assert 0 <= tag["start_ms"] < tag["end_ms"] <= duration
        assert tag["reed"] == recording["reed"]
        words.check("steps", tag["step"])
        words.check("zones", tuple(tag.get("zones", ())))
        words.check("symptoms", tuple(tag.get("symptoms", ())))
        words.check("blades", tag.get("blade"))
        words.check("sides", tag.get("side"))


@pytest.mark.parametrize("name", FILES)
def test_readings_and_corrections_lie_on_what_was_said(name: str) -> None:
    recording, facts = _recordings()[name], demo_media.truth()[name]
    words = vocabulary("oboe" if recording["reed"] == "H-5" else "bassoon")
    assert len(recording["readings"]) >= 3
    for reading in recording["readings"]:
        assert reading["quantity"] in QUANTITIES
        assert reading["unit"] in ("mm", "thou", "%", "cents")
        assert 0 <= reading["at_ms"] < facts["duration_ms"]
        words.check("zones", reading.get("zone"))
    for correction in recording.get("corrections", ()):
        said = [one for one in facts["sentences"] if one["start_ms"] == correction["start_ms"]]
        assert correction["said"] in said[0]["text"]
        assert correction["end_ms"] == said[0]["end_ms"]


def test_two_mistakes_are_corrected() -> None:
    assert [len(_recordings()[name].get("corrections", ())) for name in FILES] == [1, 0, 1]


@pytest.mark.parametrize("name", FILES)
def test_card_is_read_by_two_readers_in_every_picture(name: str) -> None:
    pictures = _card_pictures(name)
    text = demo_media.truth()[name]["card"]["text"]
    assert text == f"BENCHREEL REED {_recordings()[name]['reed']}"
    assert len(pictures) >= 6
    reader = cv2.QRCodeDetector()
    assert [reader.detectAndDecode(picture)[0] for picture in pictures] == [text] * len(pictures)
    assert [[code.text for code in zxingcpp.read_barcodes(picture)] for picture in pictures] == [[text]] * len(pictures)


@pytest.mark.parametrize("name", FILES)
def test_each_crow_and_note_is_heard_as_what_it_is(name: str) -> None:
    path = demo_media.media_path(name)
    samples = np.concatenate(list(sound_blocks(sound_of(path, probe(path)), RATE_HZ))).astype(np.float32)
    tones = [one for one in hear(samples) if one.kind in ("crow", "play")]
    told = [one for one in demo_media.truth()[name]["sounds"] if one["kind"] in ("crow", "play")]
    pairs = [(one.kind, two["kind"]) for one, two in zip(tones, _joined(told), strict=True)]
    assert all(heard == made for heard, made in pairs)


def _joined(told: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Notes with only a breath between them are one stretch of playing."""
    found: list[dict[str, Any]] = []
    for one in told:
        if found and one["start_ms"] - found[-1]["end_ms"] < 500:
            found[-1] = {**found[-1], "end_ms": one["end_ms"]}
        else:
            found.append(one)
    return found
