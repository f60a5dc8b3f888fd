"""Writing from right to left in the picture: the order of UAX #9, Arabic letters joined, the same as FriBidi's."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont, features

from annotate.formats.fonts import PLAIN
from annotate.lesson.shown.cards import CardText, draw_card
from annotate.lesson.writing import draw_line, from_left, is_from_right, length

BASIC, RAQM = ImageFont.Layout.BASIC, ImageFont.Layout.RAQM
HEBREW, ARABIC = "קצה הקנה (3) דק: 0.12 מ״מ", "رأس القصبة (3) رقيق، سلام"
SIZE = (900, 80)


def drawn(line: str, layout: ImageFont.Layout) -> np.ndarray:
    font = ImageFont.truetype(str(PLAIN), 40, layout_engine=layout)
    coloured = Image.new("RGB", SIZE)
    draw_line(ImageDraw.Draw(coloured), (10, 10), line, font, (255, 255, 255), is_from_right(line))
    return np.asarray(coloured.convert("L"))


def test_hebrew_is_turned_numbers_stay_and_brackets_close() -> None:
    assert from_left("אב 12 (ג)", rtl=True) == "(ג) 12 בא"
    assert from_left("Tip: אב", rtl=False) == "Tip: בא"
    assert from_left("Tip: אב.", rtl=True) == ".בא :Tip"


def test_arabic_letters_are_joined() -> None:
    """Salam: seen initial, lam with alef final, meem isolated (Unicode, Arabic Presentation Forms-B)."""
    assert from_left("سلام", rtl=True) == "\ufee1\ufefc\ufeb3"


def test_the_first_letter_with_a_direction_says_how_a_text_runs() -> None:
    assert [is_from_right(one) for one in ("12 אב", "Tip אב", "سلام Tip", "12:30", "")] == [
        True,
        False,
        True,
        False,
        False,
    ]


@pytest.mark.skipif(not features.check("raqm"), reason="Pillow finds no FriBidi library here")
@pytest.mark.parametrize("line", [HEBREW, ARABIC, "Reed B-14: קצה דק", "Tip 0.12 mm"])
def test_it_looks_as_with_fribidi(line: str) -> None:
    """The same letters in the same places, but for a few pixels of what HarfBuzz places more finely."""
    ours, theirs = drawn(line, BASIC) > 128, drawn(line, RAQM) > 128
    near = np.zeros_like(theirs)
    for across in range(-3, 4):
        for down in (-1, 0, 1):
            near |= np.roll(theirs, (down, across), (0, 1))
    assert theirs.sum() > 500
    assert (ours & ~near).sum() <= 0.02 * ours.sum()


def test_a_title_from_right_to_left_stands_at_the_right() -> None:
    card = draw_card(CardText("קצה הקנה"), 640, 360)
    dark = (card.sum(axis=2) < 300)[: 360 * 3 // 4].any(axis=0)
    columns = np.flatnonzero(dark)
    assert columns[-1] >= 640 * 0.91 - 4
    assert columns[0] > 640 * 0.4


def test_lengths_are_those_of_the_joined_letters() -> None:
    font = ImageFont.truetype(str(PLAIN), 40, layout_engine=BASIC)
    assert length("سلام", font) == font.getlength("\ufee1\ufefc\ufeb3") != font.getlength("سلام")
