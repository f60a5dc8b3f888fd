"""The step summary as PDF for printing (A4), typeset by fpdf2."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import UTC, datetime

from fpdf import FPDF
from fpdf.enums import XPos, YPos
from PIL import Image

from annotate.formats.fonts import BOLD, PLAIN, font_for
from annotate.lesson.told.summary import DEFER, StepText, SummaryText
from annotate.lesson.writing import has_from_right, is_from_right

INK, SOFT, CANE, WARN = (43, 36, 28), (107, 93, 73), (138, 95, 28), (140, 47, 20)
BODY_PT, SMALL_PT, TITLE_PT, HEAD_PT, STEP_PT = 10.5, 9.0, 20.0, 13.5, 11.5
STILL_WIDTH_MM = 96.0
STILL_HIGHEST_MM = 80.0
DRAWING_WIDTH_MM = 44.0
GAP_MM = 6.0  # between the still and the drawing
HEADING_MM = 24.0  # a step's title, its line of time, and a first line of text
MADE_ON = datetime(2000, 1, 1, tzinfo=UTC)  # the file says nothing of when or where it was printed


def write_pdf(summary: SummaryText, stills: Sequence[bytes | None]) -> bytes:
    """The summary as a PDF file; ``stills`` are the steps' pictures as JPEG, or None."""
    page = _Page(summary)
    page.heading(summary.title, TITLE_PT, INK, level=0)
    facts = [("For", summary.audience), ("Reed", ", ".join(summary.reeds)), ("Recorded", ", ".join(summary.dates))]
    page.text(" · ".join(f"{name}: {value}" for name, value in facts if value), SMALL_PT, SOFT)
    page.section("Goal", [summary.goal])
    page.section("Tools", [f"• {tool}" for tool in summary.tools])
    if summary.cautions:
        page.section("Cautions", [f"• {text}" for text in (*summary.cautions, DEFER)], WARN)
    if len(summary.steps) > 1:
        page.section("In this lesson", [f"{step.number}. {step.title} ({step.at})" for step in summary.steps])
    first = _size_mm(stills[0])[1] if stills and stills[0] is not None else 0.0
    page.heading("Steps", HEAD_PT, CANE, level=1, needs_mm=first + 2 * HEADING_MM)
    for step, still in zip(summary.steps, stills, strict=True):
        page.step(step, still)
    rows = [f"{what}: {before} before, {after} after" for what, before, after in summary.before_after]
    page.section("Before and after", rows)
    page.section("Review", [summary.review])
    page.section("Note", [summary.note])
    return bytes(page.pdf.output())


class _Page:
    """Writes down the page, with a heading outline and the pictures' descriptions."""

    def __init__(self, summary: SummaryText) -> None:
        self.pdf = FPDF(format="A4")
        self.pdf.set_title(summary.title)
        self.pdf.set_lang("en")
        self.pdf.set_creator("Benchreel")
        self.pdf.set_creation_date(MADE_ON)
        self.pdf.set_margins(20, 18, 20)
        self.pdf.set_auto_page_break(True, 18)
        self.pdf.add_font("Own", "", str(PLAIN))
        self.pdf.add_font("Own", "B", str(BOLD))
        self._families = {PLAIN: "Own", BOLD: "Own"}
        self.pdf.add_page()

    def heading(self, text: str, size: float, colour: tuple[int, int, int], level: int, needs_mm: float = 0) -> None:
        """A heading; it goes to the next page where ``needs_mm`` of what follows has no room on this one."""
        kept = " ".join(text.split())
        if self.pdf.will_page_break(max(size * 2.2, needs_mm)):
            self.pdf.add_page()
        if level:
            self.pdf.ln(2.5)
        self.pdf.start_section(kept, level=level)
        self._write(kept, size, colour, bold=True)

    def text(self, text: str, size: float = BODY_PT, colour: tuple[int, int, int] = INK, *, bold: bool = False) -> None:
        if text.strip():
            self._write(text, size, colour, bold=bold)

    def section(self, title: str, texts: Sequence[str], colour: tuple[int, int, int] = CANE) -> None:
        kept = [text for text in texts if text.strip()]
        if kept:
            self.heading(title, HEAD_PT, colour, level=1)
            for text in kept:
                self.text(text)

    def step(self, step: StepText, still: bytes | None) -> None:
        width, height = _size_mm(still) if still is not None else (0.0, 0.0)
        if self.pdf.will_page_break(height + HEADING_MM):  # a title never stands without its picture
            self.pdf.add_page()
        self.heading(f"{step.number}. {step.title}", STEP_PT, INK, level=2)
        self.text(f"{step.at} in the film · {step.where}", SMALL_PT, SOFT)
        if still is not None:
            description = f"Still of step {step.number}: {step.title}"
            top = self.pdf.y
            self.pdf.image(io.BytesIO(still), w=width, h=height, alt_text=description, title=description)
            foot = self.pdf.y
            self._drawing(step, self.pdf.l_margin + width + GAP_MM, top)
            self.pdf.set_xy(self.pdf.l_margin, foot + 2)
        else:
            self._drawing(step)
        for text in (*step.done, step.note, step.described):
            self.text(text)
        self.text(step.lie if step.drawing else "", SMALL_PT, SOFT)
        for name, items, colour in (
            ("Reading", step.readings, INK),
            ("Correction", step.corrections, CANE),
            ("Caution", step.cautions, WARN),
        ):
            for item in items:
                self.text(f"{name}: {item}", colour=colour)

    def _drawing(self, step: StepText, x: float | None = None, y: float | None = None) -> None:
        """The reed with the step's zones as lines and areas: at a place beside the still, or in the text."""
        if not step.drawing:
            return
        if y is None and self.pdf.will_page_break(DRAWING_WIDTH_MM * 1.2):  # a little higher than wide at most
            self.pdf.add_page()
        title, picture = f"Reed of step {step.number}", io.BytesIO(step.drawing.encode())
        self.pdf.image(picture, x=x, y=y, w=DRAWING_WIDTH_MM, title=title, alt_text=step.described)

    def _write(self, text: str, size: float, colour: tuple[int, int, int], *, bold: bool) -> None:
        path = font_for(text, bold=bold)
        if path not in self._families:
            self._families[path] = f"Machine{len(self._families)}"
            self.pdf.add_font(self._families[path], "B" if bold else "", str(path))
        self.pdf.set_font(self._families[path], "B" if bold else "", size)
        self.pdf.set_text_color(*colour)
        self.pdf.set_text_shaping(has_from_right(text))  # put in order and joined; needs uharfbuzz
        side = "R" if is_from_right(text) else "L"
        self.pdf.multi_cell(0, size * 0.5, text, new_x=XPos.LMARGIN, new_y=YPos.NEXT, align=side)


def _size_mm(still: bytes) -> tuple[float, float]:
    """Width and height of a still on the page, in millimetres."""
    with Image.open(io.BytesIO(still)) as picture:
        shape = picture.width / picture.height
    width = min(STILL_WIDTH_MM, STILL_HIGHEST_MM * shape)
    return width, width / shape
