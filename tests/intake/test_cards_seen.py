"""Cards shown to the camera: found when shown, never imagined, on the recording's clock."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import demo_media
from annotate.errors import Cancelled
from annotate.formats.card_sheet import reed_name
from annotate.intake.card_codes import Reader
from annotate.intake.card_frames import Gap, gaps, joined
from annotate.intake.card_places import Grey, places
from annotate.intake.cards_seen import CardSeen, find_cards, merged
from annotate.intake.probe import probe
from tests import media
from tests.drawn_cards import Coding, Pose, Shown, Trouble, bench, film, hard_cases, held

SMALL = (640, 360)


def read(picture: Grey) -> set[str]:
    """Every reed read in one picture."""
    reader = Reader()
    return {name for place in places(picture) for name in reader.names(picture, place)}


def test_cards_are_read_small_tilted_blurred_and_partly_lit() -> None:
    # In a film every card comes in several pictures; here each has two chances, with other noise.
    ground, missed = bench(1280, 720), []
    for number, (what, pose, trouble) in enumerate(hard_cases()):
        looks = (held(ground, "B-12", pose, trouble, np.random.default_rng((number, look))) for look in range(2))
        if not any(read(look) == {"B-12"} for look in looks):
            missed.append(what)
    assert missed == []


@pytest.mark.parametrize("size", [0.2, 0.3, 0.5, 0.8])
def test_large_cards_are_read_too(size: float) -> None:
    picture = held(bench(), "H-5", Pose(size, 20, 10, 15), Trouble(noise=3), np.random.default_rng(1))
    assert read(picture) == {"H-5"}


@pytest.mark.parametrize("name", ["葦七", "кларнет-3", "Rohr №7", "the green one", "🎋4"])
def test_any_script_is_read(name: str) -> None:
    picture = held(bench(), name, Pose(0.2, 10, 20, 5), Trouble(), np.random.default_rng(1))
    assert read(picture) == {name}


def test_two_cards_in_one_picture_are_both_read() -> None:
    rng = np.random.default_rng(1)
    one = held(bench(), "B-12", Pose(0.2, x=0.3), Trouble(), rng)
    assert read(held(one, "H-5", Pose(0.2, x=0.6), Trouble(), rng)) == {"B-12", "H-5"}


def test_codes_that_are_no_reed_card_are_ignored() -> None:
    assert reed_name("https://example.org/B-12") is None
    assert reed_name("BENCHREEL REED ") is None
    assert reed_name("benchreel reed B-12") is None
    assert reed_name("BENCHREEL REED B-12") == "B-12"


@pytest.mark.parametrize("seed", range(6))
def test_print_cloth_and_nested_squares_are_no_card(seed: int) -> None:
    assert read(bench(1280, 720, seed, printed=True)) == set()


@pytest.mark.parametrize("keys", [250, 15])
def test_a_card_shown_for_a_second_is_found_when_it_was_shown(tmp_path: Path, keys: int) -> None:
    told = [
        Shown("B-12", 1.3, 2.3, Pose(0.25, 20, 20, 10)),
        Shown("H-5", 3.4, 4.4, Pose(0.25, -20, 10, 80)),
    ]
    ground = bench(*SMALL)
    path = film(tmp_path / "two.mp4", told, 5.2, Coding(key_every=keys, rate=15), lambda _: ground)
    found = find_cards(path, probe(path))
    assert [one.name for one in found] == ["B-12", "H-5"]
    for one, card in zip(found, told, strict=True):
        assert card.start_s * 1000 - 70 <= one.at_ms < one.until_ms <= card.end_s * 1000 + 70


def test_times_are_on_the_recordings_clock(tmp_path: Path) -> None:
    ground = bench(*SMALL)
    plain = film(tmp_path / "plain.mp4", [Shown("B-12", 0.6, 1.9, Pose(0.3))], 2.5, Coding(rate=15), lambda _: ground)
    moved = tmp_path / "moved.mkv"
    media.ffmpeg("-i", plain, "-c", "copy", "-output_ts_offset", "5", moved)
    assert find_cards(moved, probe(moved)) == find_cards(plain, probe(plain))
    assert [one.name for one in find_cards(plain, probe(plain))] == ["B-12"]


def test_ten_bit_pictures_are_read(tmp_path: Path) -> None:
    ground = bench(*SMALL)
    coding = Coding("libx265", (("preset", "ultrafast"), ("x265-params", "log-level=none")), 15, 10, "yuv420p10le")
    path = film(tmp_path / "ten.mp4", [Shown("B-12", 0.2, 1.9, Pose(0.3))], 2, coding, lambda _: ground)
    assert [one.name for one in find_cards(path, probe(path))] == ["B-12"]


@pytest.mark.parametrize(
    ("name", "reed"),
    [("b12-first-sitting.mp4", "B-12"), ("b12-second-sitting.mp4", "B-12"), ("h5-window-light.mkv", "H-5")],
)
def test_the_demo_shows_its_card_once(name: str, reed: str) -> None:
    path = demo_media.media_path(name)
    found = find_cards(path, probe(path))
    card = demo_media.truth()[name]["card"]
    assert [one.name for one in found] == [reed]
    assert found[0].at_ms <= card["start_ms"] + 1000
    assert found[0].until_ms >= card["end_ms"] - 1000


def test_a_recording_without_picture_shows_no_card() -> None:
    path = media.only_sound()
    assert find_cards(path, probe(path)) == []


def test_it_can_be_stopped_and_tells_how_far_it_is() -> None:
    path, told = media.base(), []
    assert find_cards(path, probe(path), told.append) == []
    assert told == sorted(told)
    assert told[-1] == 1.0
    with pytest.raises(Cancelled):
        find_cards(path, probe(path), cancelled=lambda: True)


def test_sightings_become_showings() -> None:
    assert merged([(1000, "A"), (1450, "A"), (3900, "A"), (9000, "A")]) == [
        CardSeen(1000, 3940, "A"),
        CardSeen(9000, 9040, "A"),
    ]
    # Another card came between: the first is shown anew, and is in hand again.
    assert merged([(1000, "A"), (2000, "B"), (3000, "A")]) == [
        CardSeen(1000, 1040, "A"),
        CardSeen(2000, 2040, "B"),
        CardSeen(3000, 3040, "A"),
    ]
    # A card that lies on the bench all the time is one showing, whatever else is shown meanwhile.
    assert merged([(t, "A") for t in range(0, 5000, 500)] + [(2000, "B"), (2500, "B")]) == [
        CardSeen(0, 4540, "A"),
        CardSeen(2000, 2540, "B"),
    ]


def test_gaps_between_pictures() -> None:
    assert gaps([0, 1001, 2002], 0, 3000) == []
    assert gaps([0, 8000], 0, 8500) == [Gap(0, 8000)]
    assert gaps([], 0, 2000) == [Gap(0, 2000)]
    assert joined([Gap(4, 9), Gap(0, 5), Gap(9, 12), Gap(20, 30), Gap(21, 22)]) == [Gap(0, 12), Gap(20, 30)]
