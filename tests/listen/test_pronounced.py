"""How words sound: from the dictionary, or read by their spelling."""

import pytest

from annotate.listen.pronounced import LETTERS, sounds_of, sounds_together
from annotate.listen.sound_distance import SoundList, distance


@pytest.mark.parametrize(
    ("word", "sounds"),
    # The first four as in the CMU Pronouncing Dictionary (R IY1 D, P L AE1 K, ...), one letter a sound.
    [("reed", "ryd"), ("plaque", "plæk"), ("knife", "nIf"), ("cane", "kEn"), ("bocal", "bokʌl"), ("", "")],
)
def test_words_of_the_dictionary(word: str, sounds: str) -> None:
    assert sounds_of(word)[0] == sounds


@pytest.mark.parametrize(
    ("word", "sounds"),
    [
        ("bockel", "bakel"),
        ("crape", "krEp"),
        ("reemer", "rymɝ"),
        ("rim-it", "rimit"),
        ("rheed's", "rhydz"),
        ("b14", "b"),
    ],
)
def test_words_that_no_dictionary_has(word: str, sounds: str) -> None:
    assert sounds_of(word)[0] == sounds


def test_a_word_may_be_said_in_two_ways() -> None:
    assert set(sounds_of("read")) == {"red", "ryd"}
    assert {"ðʌredsits", "ðʌrydsits"} & set(sounds_together(("the", "read", "sits")))


def test_sounds_alike_are_near() -> None:
    assert distance("ryd", "ryd") == 0
    assert distance("bokʌl", "bʌkʌl") < distance("bokʌl", "batʌl") < distance("bokʌl", "tebʌl")
    assert distance("bark", "mark") < distance("bark", "lark")
    assert [distance("kro", "krol"), distance("krol", "kro")] == pytest.approx([0.8, 0.8])


def test_a_list_is_compared_at_once() -> None:
    sounds = SoundList(["ryd", "bokʌl", "e"])
    assert sounds.distances("ryd").tolist() == pytest.approx(
        [distance("ryd", other) for other in ("ryd", "bokʌl", "e")]
    )
    assert sounds.shares(["bokʌl", "ryd"]).tolist()[:2] == [0, 0]
    assert SoundList([]).distances("ryd").tolist() == []


def test_every_sound_is_one_letter() -> None:
    assert len(set(LETTERS.values())) == len(LETTERS) == 39
