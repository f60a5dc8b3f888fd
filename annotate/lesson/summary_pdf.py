"""The step summary as PDF for printing (A4), typeset by fpdf2."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import UTC, datetime

from fpdf import FPDF
from fpdf.enums import XPos, YPos
from PIL import Image

from annotate.formats.fonts import BOLD, PLAIN, font_for
from annotate.lesson.summary import DEFER, StepText, SummaryText

INK, SOFT, CANE, WARN = (43, 36, 28), (107, 93, 73), (138, 95, 28), (140, 47, 20)
BODY_PT, SMALL_PT, TITLE_PT, HEAD_PT, STEP_PT = 10.5, 9.0, 20.0, 13.5, 11.5
STILL_WIDTH_MM = 96.0
STILL_HIGHEST_MM = 80.0
DRAWING_WIDTH_MM = 40.0
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
    page.heading("Steps", HEAD_PT, CANE, level=1)
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

    def heading(self, text: str, size: float, colour: tuple[int, int, int], level: int) -> None:
        kept = " ".join(text.split())
        if self.pdf.will_page_break(size * 2.2):
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
            self.pdf.image(io.BytesIO(still), w=width, h=height, alt_text=description, title=description)
            self.pdf.ln(2)
        for text in (*step.done, step.note):
            self.text(text)
        self._drawing(step)
        for name, items, colour in (
            ("Reading", step.readings, INK),
            ("Correction", step.corrections, CANE),
            ("Caution", step.cautions, WARN),
        ):
            for item in items:
                self.text(f"{name}: {item}", colour=colour)

    def _drawing(self, step: StepText) -> None:
        """The reed with the step's zones as lines and areas, and the same in words under it."""
        if step.drawing:
            width = DRAWING_WIDTH_MM
            if self.pdf.will_page_break(width + HEADING_MM / 2):
                self.pdf.add_page()
            self.pdf.ln(1)
            title = f"Reed of step {step.number}"
            self.pdf.image(io.BytesIO(step.drawing.encode()), w=width, title=title, alt_text=step.described)
            self.pdf.ln(1)
        self.text(step.described)
        self.text(step.lie if step.drawing else "", SMALL_PT, SOFT)

    def _write(self, text: str, size: float, colour: tuple[int, int, int], *, bold: bool) -> None:
        path = font_for(text, bold=bold)
        if path not in self._families:
            self._families[path] = f"Machine{len(self._families)}"
            self.pdf.add_font(self._families[path], "B" if bold else "", str(path))
        self.pdf.set_font(self._families[path], "B" if bold else "", size)
        self.pdf.set_text_color(*colour)
        self.pdf.multi_cell(0, size * 0.5, text, new_x=XPos.LMARGIN, new_y=YPos.NEXT, align="L")


def _size_mm(still: bytes) -> tuple[float, float]:
    """Width and height of a still on the page, in millimetres."""
    with Image.open(io.BytesIO(still)) as picture:
        shape = picture.width / picture.height
    width = min(STILL_WIDTH_MM, STILL_HIGHEST_MM * shape)
    return width, width / shape
