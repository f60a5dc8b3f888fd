"""One or several, in words."""

from annotate.vocabulary.counted import counted


def test_one_is_one_and_all_else_is_several() -> None:
    assert [counted(n, "clip") for n in (0, 1, 2)] == ["0 clips", "1 clip", "2 clips"]
    assert [counted(n, "half", "halves") for n in (1, 2)] == ["1 half", "2 halves"]
