"""Which words the recogniser is told to expect."""

from annotate.listen.trade_words import hint_words


def test_the_makers_words_come_first_then_reeds_then_the_trade() -> None:
    words = hint_words(reeds=("B-14", "B-15"), own=("Juniper knife", "bocal"))
    assert words[:4] == ("Juniper knife", "bocal", "reed B-14", "reed B-15")
    told = " ".join(words[4:]).lower()
    assert all(word in told for word in ("reed", "plaque", "ream", "bassoon", "back", "knife", "low b flat"))
    assert all(sentence.endswith(".") for sentence in words[4:])


def test_the_instrument_decides_what_comes_first() -> None:
    assert "staple" in hint_words("oboe")[0]
    assert "bocal" in hint_words("bassoon")[0]
    assert set(hint_words("oboe")) == set(hint_words("bassoon"))


def test_only_the_newest_reeds_take_room() -> None:
    words = hint_words(reeds=tuple(f"R-{number}" for number in range(40)))
    assert [word for word in words if "R-" in word] == [f"reed R-{number}" for number in range(8)]


def test_empty_and_double_words_are_dropped() -> None:
    words = hint_words(own=("", "  Mandrel ", "mandrel"))
    assert words[0] == "Mandrel"
    assert [word for word in words if word.lower() == "mandrel"] == ["Mandrel"]
