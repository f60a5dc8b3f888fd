"""The summary's content: only what is in the clip is quoted; only like is compared with like."""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import html5lib
import numpy as np
import pypdfium2

from annotate.lesson.told.material import Material, Step
from annotate.lesson.told.summary import before_after, summarise
from annotate.lesson.told.summary_html import write_html
from annotate.lesson.told.summary_markdown import write_markdown
from annotate.lesson.told.summary_pdf import write_pdf
from annotate.model import Clip, Lesson, Line, Reading, Recording, Reed, Session, Tag, Word
from tests.making import PROBE

RECORDING = Recording(1, "a.mp4", "a.mp4", True, "a" * 64, 1, PROBE, id=1)


def a_step(lines: tuple[Line, ...] = (), readings: tuple[Reading, ...] = (), number: int = 1) -> Step:
    """A clip from 10 s to 20 s of a recording."""
    clip = Clip(1, 10_000 * number, 10_000 * (number + 1))
    reed = Reed("B-14", id=1)
    path, session = Path("a.mp4"), Session("2026-03-14")
    return Step(number, clip, path, RECORDING, session, reed, lines=lines, readings=readings)


def reading(value: str, at_ms: int, **told: str) -> Reading:
    return Reading("tip_opening", Decimal(value), "mm", reed_id=1, at_ms=at_ms, taken_on="2026-03-14", **told)  # type: ignore[arg-type]


def test_words_that_were_cut_off_are_not_quoted() -> None:
    words = (
        Word(9000, 9500, "Never"),
        Word(9500, 9900, "this."),
        Word(10_100, 10_500, "But"),
        Word(10_500, 11_000, "this."),
    )
    before = Line(1, 8000, 10_050, "Not mine at all", (Word(8000, 10_050, "all"),))
    step = a_step((before, Line(1, 9000, 11_000, "Never this. But this.", words)))
    summary = summarise(Material(Lesson("x", clips=(step.clip,)), (step,)), (0,))
    assert summary.steps[0].said == ("But this.",)


def test_wet_is_not_the_before_of_dry() -> None:
    told = (reading("1.6", 11_000, moisture="dry", zone="rails"), reading("1.8", 12_000, moisture="wet", zone="rails"))
    steps = (a_step(readings=told), a_step(readings=(reading("1.4", 21_000, moisture="dry", zone="rails"),), number=2))
    rows = before_after(Material(Lesson("x", clips=tuple(step.clip for step in steps)), steps))
    assert rows == (("Tip opening, rails, dry", "1.6 mm (0.063 in)", "1.4 mm (0.055 in)"),)


def test_the_zones_of_a_step_are_drawn_and_said() -> None:
    step = replace(a_step(), tags=(Tag(1, 10_000, 12_000, "scrape", ("rails",), "up", "left", reed_id=1),))
    summary = summarise(Material(Lesson("x", clips=(step.clip,)), (step,)), (0,))
    assert summary.steps[0].described == "On the reed: Rails, left, wire-up blade."
    html = write_html(summary, [None])
    html5lib.HTMLParser(strict=True).parse(html)
    assert 'aria-label="On the reed: Rails, left, wire-up blade."' in html
    assert "On the reed: Rails, left, wire-up blade." in write_markdown(summary, [None])
    page = pypdfium2.PdfDocument(write_pdf(summary, [None]))[0]
    assert "On the reed: Rails, left, wire-up blade." in page.get_textpage().get_text_bounded()
    # An independent reader (PDFium) paints the marked rail in its colour, #12446b.
    seen = np.asarray(page.render(scale=2).to_pil().convert("RGB"))
    assert (np.abs(seen.astype(int) - (0x12, 0x44, 0x6B)).max(axis=2) < 8).sum() > 100


def test_a_step_without_a_place_has_no_drawing() -> None:
    step = replace(a_step(), tags=(Tag(1, 10_000, 12_000, "crow", reed_id=1),))
    summary = summarise(Material(Lesson("x", clips=(step.clip,)), (step,)), (0,))
    assert summary.steps[0].described == ""
    assert "<svg" not in write_html(summary, [None])


def test_the_steps_are_announced_and_five_hundred_are_no_trouble() -> None:
    steps = tuple(a_step(number=number) for number in range(1, 501))
    summary = summarise(Material(Lesson("Many", clips=tuple(s.clip for s in steps)), steps), tuple(range(500)))
    html, stills = write_html(summary, [None] * 500), [None] * 500
    page = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(html)
    targets = [link.attrib["href"].removeprefix("#") for link in page.findall(".//ol[@class='ahead']//a")]
    assert targets == [item.attrib["id"] for item in page.findall(".//ol[@class='steps']/li")]
    assert len(targets) == 500
    assert "\n500. Step 500 (0:00)\n" in write_markdown(summary, stills)
    assert "### 500. Step 500" in write_markdown(summary, stills)
    assert len(pypdfium2.PdfDocument(write_pdf(summary, stills))) > 20


def test_what_a_step_says_of_its_place_is_not_said_twice() -> None:
    tags = (Tag(1, 10_000, 12_000, "clip", ("tip",), reed_id=1), Tag(1, 12_000, 14_000, "scrape", ("tip",), reed_id=1))
    step = replace(a_step(), tags=tags)
    summary = summarise(Material(Lesson("x", clips=(step.clip,)), (step,)), (0,))
    assert summary.steps[0].done == ("Clip the tip.", "Scrape (tip).")


def test_writing_from_right_to_left_is_printed_in_order() -> None:
    """Hebrew: on the page the first letter (alef, wide) stands at the right end of the line."""
    lesson = Lesson("אאאאאאיייייי", goal="سلام", clips=(a_step().clip,))
    printed = pypdfium2.PdfDocument(write_pdf(summarise(Material(lesson, (a_step(),)), (0,)), (None,)))
    picture = np.asarray(printed[0].render(scale=2, grayscale=True).to_pil()) < 128
    printed.close()
    rows = picture.any(axis=1)
    top = int(np.argmax(rows))
    title = picture[top : top + int(np.argmin(rows[top:]))]
    columns = np.flatnonzero(title.any(axis=0))
    assert columns[-1] > picture.shape[1] * 0.85  # up to the right margin
    at_the_foot = np.flatnonzero(title[-4:].any(axis=0))  # alef stands on the line, yod hangs above it
    assert at_the_foot[-1] >= columns[-1] - 4
    assert at_the_foot[0] > columns[0] + 40
