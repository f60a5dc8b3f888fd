"""A printable sheet of reed cards as PDF, typeset by fpdf2, with QR codes by segno (ISO/IEC 18004).

A card carries the reed's id in large letters, its instrument, empty lines for
a date and a note, and a QR code of the text ``BENCHREEL REED <id>``. The code
is as tall as the card and its quiet zone allow: the camera reads it from
farther away. Cut marks stand outside the cards, ten on a page.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal

import segno
from fpdf import FPDF
from fpdf.errors import FPDFException

from annotate.errors import BadInput
from annotate.formats.fonts import BOLD, PLAIN, font_for, letters
from annotate.model import MAX_NAME

# What no font can show is told by missing_letters, in a sentence, and not by the library on the error output.
logging.getLogger("fpdf.output").setLevel(logging.ERROR)

PREFIX = "BENCHREEL REED "
Paper = Literal["a4", "letter"]
PAPERS_MM: dict[str, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}

COLUMNS, ROWS = 2, 5
CARD_WIDTH_MM, CARD_HEIGHT_MM = 88.0, 52.0
CODE_FIELD_MM = 50.0  # code and quiet zone; a millimetre is left for the cut
QUIET_MODULES = 4  # ISO/IEC 18004, 5.3.8 (2015: 6.3.8): four modules of empty space on every side
DOTS_PER_MODULE = 16
EDGE_MM = 1.0
TEXT_LEFT_MM = EDGE_MM + CODE_FIELD_MM + 1.0
TEXT_WIDTH_MM = CARD_WIDTH_MM - TEXT_LEFT_MM - 4.0
NAME_TOP_MM, NAME_HEIGHT_MM = 5.0, 19.0
LARGEST_PT, WHOLE_WORDS_PT, SMALLEST_PT = 44.0, 14.0, 6.0
SMALL_PT = 8.0
MM_PER_PT = 25.4 / 72
LEADING = 1.15
MARK_MM, MARK_GAP_MM = 4.0, 1.0

INK, SOFT, RULE = (0, 0, 0), (90, 90, 90), (120, 120, 120)
MADE_ON = datetime(2000, 1, 1, tzinfo=UTC)  # the file says nothing of when or where it was printed


@dataclass(frozen=True)
class Card:
    """What stands on one card: the reed's id, its instrument, and a note (else an empty line)."""

    name: str
    instrument: str
    note: str = ""

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise BadInput("A card needs a reed's id", next_step="Give the id of a reed.")
        if len(self.name) > MAX_NAME or "\x00" in self.name:
            raise BadInput("is not an id that fits a card", self.name[:40], f"Use at most {MAX_NAME} characters.")


def card_text(name: str) -> str:
    """What the code of this reed's card says."""
    return PREFIX + name


def reed_name(text: str) -> str | None:
    """The reed's id in the text of a code, or None if the code is none of ours."""
    name = text.removeprefix(PREFIX).strip()
    return name if text.startswith(PREFIX) and 0 < len(name) <= MAX_NAME and name.isprintable() else None


def code(name: str) -> segno.QRCode:
    """The QR code of a card.

    Correction level M (about 15 % of it may be unreadable) at least, and a
    higher one where it needs no larger code: larger modules serve a distant
    camera better than more correction. Text beyond ASCII is UTF-8 and says so
    (ISO/IEC 18004 takes bytes for Latin-1 otherwise; from memory).
    """
    text = card_text(name)
    if text.isascii():
        return segno.make_qr(text, error="m", boost_error=True)
    return segno.make_qr(text, error="m", boost_error=True, mode="byte", encoding="utf-8", eci=True)


def missing_letters(name: str) -> str:
    """The letters of a reed's id that no font here has: the card shows boxes for them, its code holds them all."""
    shown = _shown(name)
    have = letters(font_for(shown, bold=True))
    return "".join(dict.fromkeys(char for char in shown if not char.isspace() and ord(char) not in have))


def write(cards: Sequence[Card], paper: Paper = "a4") -> bytes:
    """The sheet as a PDF file, ten cards to a page in the order given.

    Raises
    ------
    BadInput
        If there is no card, or the paper is another than A4 or US Letter.
    """
    if paper not in PAPERS_MM:
        raise BadInput("is not a paper size for cards", str(paper), "Use a4 or letter.")
    if not cards:
        raise BadInput("There is no card to print", next_step="Choose at least one reed.")
    sheet = _Sheet(PAPERS_MM[paper])
    for start in range(0, len(cards), COLUMNS * ROWS):
        sheet.page(cards[start : start + COLUMNS * ROWS])
    return bytes(sheet.pdf.output())


class _Sheet:
    """Writes down pages of cards; every place is in millimetres from the page's upper left."""

    def __init__(self, size_mm: tuple[float, float]) -> None:
        self.left = (size_mm[0] - COLUMNS * CARD_WIDTH_MM) / 2
        self.top = (size_mm[1] - ROWS * CARD_HEIGHT_MM) / 2
        self.pdf = FPDF(format=size_mm)
        self.pdf.set_title("Reed cards")
        self.pdf.set_lang("en")
        self.pdf.set_creator("Benchreel")
        self.pdf.set_creation_date(MADE_ON)
        self.pdf.set_auto_page_break(False)
        self.pdf.set_margin(0)
        self.pdf.c_margin = 0
        self.pdf.add_font("Own", "", str(PLAIN))
        self.pdf.add_font("Own", "B", str(BOLD))
        self._families = {PLAIN: "Own", BOLD: "Own"}

    def page(self, cards: Sequence[Card]) -> None:
        self.pdf.add_page()
        self._cut_marks(rows=-(-len(cards) // COLUMNS))
        for number, card in enumerate(cards):
            row, column = divmod(number, COLUMNS)
            self._card(card, self.left + column * CARD_WIDTH_MM, self.top + row * CARD_HEIGHT_MM)

    def _cut_marks(self, rows: int) -> None:
        """Short lines outside the cards, at every edge, and small crosses where four cards meet."""
        self.pdf.set_draw_color(*RULE)
        self.pdf.set_line_width(0.15)
        right, bottom = self.left + COLUMNS * CARD_WIDTH_MM, self.top + rows * CARD_HEIGHT_MM
        for column in range(COLUMNS + 1):
            x = self.left + column * CARD_WIDTH_MM
            self.pdf.line(x, self.top - MARK_GAP_MM - MARK_MM, x, self.top - MARK_GAP_MM)
            self.pdf.line(x, bottom + MARK_GAP_MM, x, bottom + MARK_GAP_MM + MARK_MM)
        for row in range(rows + 1):
            y = self.top + row * CARD_HEIGHT_MM
            self.pdf.line(self.left - MARK_GAP_MM - MARK_MM, y, self.left - MARK_GAP_MM, y)
            self.pdf.line(right + MARK_GAP_MM, y, right + MARK_GAP_MM + MARK_MM, y)
            if 0 < row < rows:
                middle = self.left + CARD_WIDTH_MM
                self.pdf.line(middle - 1, y, middle + 1, y)
                self.pdf.line(middle, y - 1, middle, y + 1)

    def _card(self, card: Card, x: float, y: float) -> None:
        self._code(card.name, x + EDGE_MM, y + EDGE_MM)
        left = x + TEXT_LEFT_MM
        self._fitted(card.name, left, y + NAME_TOP_MM, NAME_HEIGHT_MM, LARGEST_PT, INK, bold=True)
        self._fitted(card.instrument, left, y + NAME_TOP_MM + NAME_HEIGHT_MM + 1, 4.0, SMALL_PT, SOFT)
        self._line("date", left, y + 37.0)
        if card.note.strip():
            self._fitted(card.note, left, y + 39.5, 8.5, SMALL_PT, INK)
        else:
            self._line("note", left, y + 46.5)

    def _code(self, name: str, x: float, y: float) -> None:
        """The code with its quiet zone, filling the field."""
        picture = io.BytesIO()
        code(name).save(picture, kind="png", scale=DOTS_PER_MODULE, border=QUIET_MODULES)
        said = f"QR code: {_shown(card_text(name))}"
        self.pdf.image(picture, x, y, CODE_FIELD_MM, CODE_FIELD_MM, alt_text=said)

    def _line(self, label: str, x: float, y: float) -> None:
        """A line to write on, with its name above its left end."""
        self.pdf.set_draw_color(*RULE)
        self.pdf.set_line_width(0.2)
        self.pdf.line(x, y, x + TEXT_WIDTH_MM, y)
        self._fitted(label, x, y - 6.5, 3.0, SMALLEST_PT, SOFT)

    def _fitted(
        self,
        text: str,
        x: float,
        y: float,
        height: float,
        largest_pt: float,
        colour: tuple[int, int, int],
        *,
        bold: bool = False,
    ) -> None:
        """The text as large as fits the place; only what is too long at the smallest size ends in an ellipsis."""
        shown = _shown(text)
        if not shown:
            return
        family = self._family(shown, bold=bold)
        size = largest_pt
        self.pdf.set_font(family, "B" if bold else "", size)
        lines, is_cut = self._broken(shown)
        # A word is broken only where its letters would be too small to read at arm's length otherwise.
        while size > SMALLEST_PT and (
            len(lines) * size * MM_PER_PT * LEADING > height or (is_cut and size > WHOLE_WORDS_PT)
        ):
            size = max(SMALLEST_PT, size * 0.94)
            self.pdf.set_font_size(size)
            lines, is_cut = self._broken(shown)
        most = max(1, int(height / (size * MM_PER_PT * LEADING)))
        if len(lines) > most:
            lines = [*lines[: most - 1], lines[most - 1][:-1] + "…"]
        self.pdf.set_text_color(*colour)
        for number, line in enumerate(lines):
            self.pdf.text(x, y + size * MM_PER_PT * (0.8 + number * LEADING), line)

    def _broken(self, text: str) -> tuple[list[str], bool]:
        """Lines as wide as the place, broken at spaces and hyphens, else anywhere; and whether inside a word."""
        lines: list[str] = []
        rest, is_cut = text, False
        while rest:
            count = len(rest)
            while count > 1 and self.pdf.get_string_width(rest[:count]) > TEXT_WIDTH_MM:
                count -= 1
            if count < len(rest):
                at = max(rest.rfind(" ", 1, count + 1), rest.rfind("-", 1, count) + 1)
                count, is_cut = (at, is_cut) if at > 0 else (count, True)
            lines.append(rest[:count].strip())
            rest = rest[count:].lstrip()
        return lines, is_cut

    def _family(self, text: str, *, bold: bool) -> str:
        """The name under which the font for this text is loaded; our own where a machine's cannot be used."""
        path = font_for(text, bold=bold)
        if path not in self._families:
            name = f"Machine{len(self._families)}"
            try:
                self.pdf.add_font(name, "", str(path))
                self.pdf.add_font(name, "B", str(path))
                self._families[path] = name
            except (FPDFException, OSError, ValueError, KeyError, NotImplementedError):
                self._families[path] = "Own"
        return self._families[path]


def _shown(text: str) -> str:
    """The text as it can be printed on one line of a card: without control characters."""
    return " ".join("".join(char if char.isprintable() else " " for char in text).split())
