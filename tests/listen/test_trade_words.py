"""Which words the recogniser is told to expect."""

from annotate.listen.trade_words import hint_words


def test_the_makers_words_come_first_then_reeds_then_the_trade() -> None:
    words = hint_words(reeds=("B-14", "B-15"), own=("Juniper knife", "bocal"))
    assert words[:4] == ("Juniper knife", "bocal", "B-14", "B-15")
    assert words.count("bocal") == 1
    assert {"reed", "plaque", "ream", "bassoon"} <= set(words)


def test_the_instrument_decides() -> None:
    assert "staple" in hint_words("oboe")
    assert "staple" not in hint_words("bassoon")
    assert {"bassoon", "oboe"} <= set(hint_words("oboe")) & set(hint_words("bassoon"))


def test_only_the_newest_reeds_take_room() -> None:
    words = hint_words(reeds=tuple(f"R-{number}" for number in range(40)))
    assert sum(word.startswith("R-") for word in words) == 8


def test_empty_and_double_words_are_dropped() -> None:
    words = hint_words(own=("", "  Reed ", "reed"))
    assert words[0] == "Reed"
    assert [word for word in words if word.lower() == "reed"] == ["Reed"]
