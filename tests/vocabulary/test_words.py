"""The trade words: ids that never change, aliases that grow, the maker's own additions."""

from __future__ import annotations

import pytest

from annotate.errors import BadInput, BadWord
from annotate.tagging import build, understand
from annotate.vocabulary import vocabulary

STEPS = """soak form wires ream profile opening clip scrape sand clear inspect measure leak crow play break_in rest
retire"""
ZONES = """tip corners wings heart spine channels rails back collar opening inside tube throat butt wire_1 wire_2 wire_3
binding whole"""


def test_the_ids_of_the_bassoon_are_the_agreed_ones() -> None:
    words = vocabulary("bassoon")
    assert list(words.steps) == STEPS.split()
    assert list(words.zones) == ZONES.split()
    assert list(words.blades) == ["up", "down", "both"]
    assert list(words.sides) == ["left", "right", "both"]
    assert len(words.symptoms) == 28


def test_every_word_can_be_said() -> None:
    for instrument in ("bassoon", "oboe"):
        words = vocabulary(instrument)
        for group in ("steps", "zones", "blades", "sides", "symptoms"):
            assert all(word.aliases for word in words.group(group).values())


def test_british_and_american_names_of_the_middle_are_one_place() -> None:
    for said in ("centre line", "center line"):
        assert understand(f"two strokes on the {said}").labels[0].zones == ("spine",)


def test_own_aliases_are_understood() -> None:
    own = vocabulary().with_own_words('[zones.rails]\naliases = ["selvedge"]\n[steps.scrape]\naliases = ["fettle"]\n')
    label = understand("I fettle the left selvedge", words=build(own)).labels[0]
    assert (label.step, label.zones, label.side) == ("scrape", ("rails",), "left")
    assert "selvedge" not in vocabulary().zones["rails"].aliases


def test_own_aliases_need_a_known_id() -> None:
    with pytest.raises(BadWord, match=r"“railing” is not one of the zones"):
        vocabulary().with_own_words('[zones.railing]\naliases = ["x"]\n')
    with pytest.raises(BadWord, match=r"“colours” is not a group"):
        vocabulary().with_own_words('[colours.red]\naliases = ["x"]\n')


def test_own_aliases_that_are_no_list_are_refused() -> None:
    with pytest.raises(BadInput, match=r"needs aliases"):
        vocabulary().with_own_words("[zones.rails]\naliases = 3\n")
    with pytest.raises(BadInput, match=r"cannot be read"):
        vocabulary().with_own_words("[zones.rails\n")
