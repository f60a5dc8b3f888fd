"""Copies that take no time go, what people repeat stays, text after a loop stays."""

from annotate.listen.loops import has_copies, is_suspect, squeezed_out
from annotate.model import Word


def spoken(text: str, ms_each: int = 200, start_ms: int = 0, pause_ms: int = 0) -> list[Word]:
    words = text.split()
    step = ms_each + pause_ms
    return [Word(start_ms + n * step, start_ms + n * step + ms_each, word) for n, word in enumerate(words)]


def text_of(words: list[Word]) -> str:
    return " ".join(word.text for word in words)


def test_copies_without_time_are_cut_and_text_after_them_is_kept() -> None:
    """As seen with 600 hints: the last phrase again, its words of zero length."""
    words = (
        spoken("drill a pilot hole.") + spoken("Pilot hole, pilot hole.", 0, 800) + spoken("Then sand it.", 200, 900)
    )
    assert text_of(squeezed_out(words)) == "drill a pilot hole. Then sand it."
    assert is_suspect(words)


def test_what_people_repeat_stays() -> None:
    words = spoken("no, no, no, not there") + spoken("a little more, a little more, a little more", 200, 2000)
    assert text_of(squeezed_out(words)) == text_of(words)
    assert not is_suspect(words)


def test_many_copies_in_one_breath_are_a_suspicion_only() -> None:
    words = spoken("I'm going to " * 6)
    assert is_suspect(words)
    assert len(squeezed_out(words)) == 18
    assert not is_suspect(spoken("scrape " * 8, 300, 0, 400))
    sentences = [word for n in range(6) for word in spoken("now the left side", 200, n * 3000)]
    assert not is_suspect(sentences)


def test_no_words() -> None:
    assert squeezed_out([]) == []
    assert not is_suspect([])


def test_a_sentence_said_twice_is_noticed() -> None:
    assert has_copies(spoken("now a little off the left wing so now a little off the left wing"))
    assert not has_copies(spoken("a little off the left wing and a little off the right wing"))
