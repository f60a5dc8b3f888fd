"""How alike words sound, from their spelling."""

import pytest

from annotate.listen.sound_key import distance, sound_key


@pytest.mark.parametrize(
    ("word", "key"),
    [("reamer", "ramar"), ("plaque", "plakw"), ("knife", "naf"), ("throat", "0rat"), ("gauge", "gag"), ("", "")],
)
def test_keys(word: str, key: str) -> None:
    assert sound_key(word) == key


def test_distance_is_a_share_between_same_and_nothing_alike() -> None:
    assert distance(sound_key("remur"), sound_key("reamer")) == 0
    assert distance(sound_key("mandrill"), sound_key("mandrel")) == 0
    assert 0 < distance(sound_key("buckle"), sound_key("bocal")) < 0.1
    assert distance(sound_key("light"), sound_key("blade")) > 0.4
    assert distance("b", "s") == 1
    assert distance("", "") == 0


def test_distance_does_not_depend_on_the_order() -> None:
    assert distance("krawl", "kraw") == distance("kraw", "krawl")
