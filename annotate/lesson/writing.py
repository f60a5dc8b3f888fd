"""Writing in the order in which it is drawn: from right to left where its letters go so, Arabic letters joined.

Where Pillow finds the FriBidi library it does all this itself, and better: it
also places the marks above and below letters. Elsewhere the order comes from the
Unicode bidirectional algorithm (UAX #9), which the PDF library carries, and the
joined forms of Arabic letters from ``arabic-reshaper``; marks are left out.
"""

from __future__ import annotations

import unicodedata
from functools import cache

from arabic_reshaper import ArabicReshaper
from fpdf.bidi import BidiParagraph, auto_detect_base_direction
from fpdf.enums import TextDirection
from PIL import ImageDraw, ImageFont

Font = ImageFont.FreeTypeFont

RIGHT_TO_LEFT = ("R", "AL", "AN")  # bidirectional classes of UAX #9
# UAX #9, rule L4: what opens on the left closes there when it is read from the right (its usual pairs).
MIRRORED = str.maketrans("()[]{}<>«»‹›", ")(][}{><»«›‹")
# Of the joined pairs only lam with alef: writing without it is wrong, and fonts lack the others.
_PAIRS = {"support_ligatures": True, "ARABIC LIGATURE ALLAH": False, "delete_harakat": True}


def is_from_right(text: str) -> bool:
    """Whether a text as a whole runs from right to left: its first letter with a direction says so."""
    return bool(auto_detect_base_direction(text) == TextDirection.RTL)


def has_from_right(text: str) -> bool:
    """Whether anything in a text runs from right to left."""
    return any(unicodedata.bidirectional(one) in RIGHT_TO_LEFT for one in text)


def length(line: str, font: Font) -> float:
    """How long a line is when it is drawn, in pixels."""
    return float(font.getlength(_drawn(line, font, is_from_right(line))))


def draw_line(
    draw: ImageDraw.ImageDraw, at: tuple[float, float], line: str, font: Font, fill: tuple[int, int, int], rtl: bool
) -> None:
    """Draw a line, its upper left corner at ``at``; ``rtl`` says which way the text runs that it is of."""
    if font.layout_engine == ImageFont.Layout.RAQM:
        draw.text(at, line, font=font, fill=fill, direction="rtl" if rtl else "ltr")
    else:
        draw.text(at, _drawn(line, font, rtl), font=font, fill=fill)


def _drawn(line: str, font: Font, rtl: bool) -> str:
    """What has to be given to the font, letter by letter from the left."""
    if not has_from_right(line) or font.layout_engine == ImageFont.Layout.RAQM:
        return line
    return from_left(line, rtl)


def from_left(line: str, rtl: bool) -> str:
    """A line as its letters stand from the left, in the forms they have there."""
    joined = _reshaper().reshape(line)
    paragraph = BidiParagraph(joined, TextDirection.RTL if rtl else TextDirection.LTR)
    ordered = paragraph.get_reordered_characters()
    return "".join(one.character.translate(MIRRORED) if one.embedding_level % 2 else one.character for one in ordered)


@cache
def _reshaper() -> ArabicReshaper:
    return ArabicReshaper(configuration=_PAIRS)
