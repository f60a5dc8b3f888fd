"""What is laid over the picture: readable on anything, inside the safe area, not one on another."""

import numpy as np
import pytest
from PIL import Image, features

from annotate.formats.cues import Cue
from annotate.lesson.lettering import font_of, writable
from annotate.lesson.shown.cards import PAPER, CardText, card, draw_card
from annotate.lesson.shown.panels import badge, caption, faster_text, label, note, stacked
from annotate.lesson.shown.stage import Side, stage_for

SIZES = [(1920, 1080), (1280, 720), (540, 960), (320, 240)]
LONG = "The gauge says point one two millimetres at\nthe tip and so the tip is still much too thick."


def luminance(colour: np.ndarray) -> float:
    """Relative luminance of an sRGB colour (0..255), as WCAG 2.2 defines it."""
    part = colour / 255
    linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


@pytest.mark.parametrize("behind", [(255, 255, 255), (0, 0, 0), (130, 130, 130)])
def test_captions_have_contrast_on_any_picture(behind: tuple[int, int, int]) -> None:
    drawn = Image.fromarray(caption(Cue(0, 1000, LONG), 1280, 720).drawing.draw())
    picture = Image.new("RGBA", drawn.size, (*behind, 255))
    picture.alpha_composite(drawn)
    pixels = np.asarray(picture.convert("RGB")).reshape(-1, 3).astype(float)
    light, dark = pixels[pixels.sum(axis=1).argmax()], np.median(pixels, axis=0)
    assert (luminance(light) + 0.05) / (luminance(dark) + 0.05) >= 7  # WCAG 2.2, 1.4.6; 1.4.3 asks for 4.5


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_captions_stay_in_the_safe_area(width: int, height: int) -> None:
    one = caption(Cue(0, 1000, LONG), width, height)
    assert one.drawing.draw().shape == (one.drawing.height, one.drawing.width, 4)
    assert one.x >= 0.05 * width - 1 and one.x + one.drawing.width <= 0.95 * width + 1
    assert one.y >= 0.5 * height and one.y + one.drawing.height <= 0.95 * height + 1


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_every_panel_fits_the_picture(width: int, height: int) -> None:
    rows = ("Thickness, tip, at the edge, in the middle, wet: 0.12 mm (0.005 in)", "Crow, lowest pitch: A4 +45 cents")
    for one in (
        note(0, 1000, "Said: “three sixteenths of an inch”. Right: one eighth of an inch.", width, height),
        badge(0, 1000, faster_text(4, "off"), width, height),
        label(0, 1000, "Before · Reed B-12, 2026-03-03", rows, width, height),
    ):
        drawn = one.drawing.draw()
        assert drawn.shape == (one.drawing.height, one.drawing.width, 4)
        assert one.x >= 0 and one.y >= 0
        assert one.x + drawn.shape[1] <= width and one.y + drawn.shape[0] <= height


def test_panels_seen_together_do_not_hide_each_other() -> None:
    first, second, later = (note(*span, "Here.", 640, 360) for span in ((0, 1000), (500, 1500), (1500, 2000)))
    placed = stacked([first, second, later], 4)
    assert placed[0] == first
    assert placed[1].y == first.y + first.drawing.height + 4
    assert placed[2] == later


def test_a_drawing_is_named_by_all_that_it_shows() -> None:
    names = {
        note(0, 1, "a", 640, 360).drawing.name,
        note(0, 1, "b", 640, 360).drawing.name,
        note(0, 1, "a", 642, 360).drawing.name,
        badge(0, 1, "a", 640, 360).drawing.name,
        caption(Cue(0, 1, "a"), 640, 360).drawing.name,
        label(0, 1, "a", ("b",), 640, 360).drawing.name,
        label(0, 1, "a", ("c",), 640, 360).drawing.name,
        card(CardText("a"), 640, 360, 0.1).name,
        card(CardText("a"), 640, 360, 0.2).name,
    }
    assert len(names) == 9
    assert np.array_equal(card(CardText("a"), 640, 360, 0.5).draw(), draw_card(CardText("a"), 640, 360, 0.5))


def test_emoji_that_cannot_be_written_are_left_out_and_letters_stay() -> None:
    text = "Listen 🎵 now 👩‍🎨 👍🏽 – done ♭♯"
    font = font_of("Listen", 40, bold=False)
    assert writable(text, font) == "Listen now – done ♭♯"
    assert writable("🎵", font) == "🎵"


@pytest.mark.skipif(not features.check("raqm"), reason="Pillow finds no FriBidi library here")
def test_writing_from_right_to_left_is_drawn_from_the_right() -> None:
    """Hebrew: the first letter of the line stands at its right end. (DejaVu Sans has Hebrew and Arabic letters.)"""
    one, two = "\u05d0", "\u05d9"  # alef is wide, yod is a small mark
    drawn = caption(Cue(0, 1000, one * 6 + two * 6), 1280, 720).drawing.draw()[..., :3].sum(axis=2) > 380
    columns = drawn.any(axis=0)
    first, last = int(np.argmax(columns)), len(columns) - int(np.argmax(columns[::-1]))
    middle = (first + last) // 2
    assert drawn[:, middle:last].sum() > drawn[:, first:middle].sum()


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_captions_cover_nothing_of_what_stands_side_by_side(width: int, height: int) -> None:
    """Two full lines of 42 characters over two sides with their numbers: below its upper edge there is only paper."""
    rows = (
        "Crow, lowest pitch: A4 +45 cents",
        "Thickness, tip, at the edge, in the middle, wet: 0.12 mm (0.005 in)",
    ) * 2
    sides = [
        Side(
            head, "Reed B-12, 2026-03-03", rows, 1280, 720, head, lambda wide, high: np.zeros((high, wide, 3), np.uint8)
        )
        for head in ("Before", "After")
    ]
    stage = stage_for((sides[0], sides[1]), 1, width, height)
    words = caption(Cue(0, 1000, "The tip of the reed is thinned with a file\n" * 2), width, height)
    assert (stage.picture.draw()[words.y :] == PAPER).all()  # type: ignore[union-attr]
    assert stage.y + stage.height < words.y
    assert stage.width >= width // 5


def test_texts_of_one_size_share_their_font() -> None:
    """A font takes a fifth of a megabyte, and the drawings of a lesson keep theirs until the film is made."""
    assert font_of("Tip", 40, bold=False) is font_of("Rails", 40.2, bold=False)
    assert font_of("Tip", 40, bold=False) is not font_of("Tip", 41, bold=False)
    assert font_of("Tip", 40, bold=False) is not font_of("Tip", 40, bold=True)
