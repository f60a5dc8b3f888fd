"""The printed sheet of cards: pages, papers, texts of any length, codes that scan."""

from __future__ import annotations

import io

import pypdf
import pypdfium2
import pytest
import zxingcpp
from pypdf import PageObject

from annotate.errors import BadInput
from annotate.formats import card_sheet
from annotate.formats.card_sheet import Card

B12 = Card("B-12", "bassoon")


def pages(cards: list[Card], paper: card_sheet.Paper = "a4") -> list[PageObject]:
    return list(pypdf.PdfReader(io.BytesIO(card_sheet.write(cards, paper))).pages)


def test_a_card_carries_its_words() -> None:
    words = pages([Card("B-12", "bassoon"), Card("H-5", "oboe", "Blue-green thread")])[0].extract_text().split("\n")
    assert sorted(words) == ["B-12", "Blue-green thread", "H-5", "bassoon", "date", "date", "note", "oboe"]


@pytest.mark.parametrize(("paper", "size_pt"), [("a4", (595.28, 841.89)), ("letter", (612.0, 792.0))])
def test_papers_and_pages(paper: card_sheet.Paper, size_pt: tuple[float, float]) -> None:
    # ISO 216: A4 is 210 x 297 mm; ANSI/ASME Y14.1: Letter is 8.5 x 11 in; a point is 1/72 in.
    found = pages([Card(f"R{number}", "oboe") for number in range(21)], paper)
    assert len(found) == 3
    assert [(float(page.mediabox.width), float(page.mediabox.height)) for page in found] == [
        pytest.approx(size_pt, abs=0.1)
    ] * 3
    assert [page.extract_text().split("\n").count("oboe") for page in found] == [10, 10, 1]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_everything_lies_where_printers_print(paper: card_sheet.Paper) -> None:
    # Office printers leave up to a quarter of an inch (6.35 mm) blank at each edge.
    width, height = card_sheet.PAPERS_MM[paper]
    mark = card_sheet.MARK_MM + card_sheet.MARK_GAP_MM
    assert (width - card_sheet.COLUMNS * card_sheet.CARD_WIDTH_MM) / 2 - mark > 6.35
    assert (height - card_sheet.ROWS * card_sheet.CARD_HEIGHT_MM) / 2 - mark > 4.2


@pytest.mark.parametrize(
    "name", ["B-12", "x" * 120, "W" * 30, "a very long id made of many words " * 3, "№7 кларнет", "葦七"]
)
def test_nothing_runs_into_the_code_or_off_the_card(name: str) -> None:
    dots = 10
    page = pypdfium2.PdfDocument(card_sheet.write([Card(name, "contrabassoon", "n" * 300)]))[0]
    picture = page.render(scale=dots * 25.4 / 72, grayscale=True).to_numpy().squeeze()
    left = (210 - 2 * card_sheet.CARD_WIDTH_MM) / 2
    top = (297 - 5 * card_sheet.CARD_HEIGHT_MM) / 2
    card = picture[round(top * dots) : round((top + 52) * dots), round(left * dots) : round((left + 88) * dots)]
    right_edge = card[3 * dots : -3 * dots, -2 * dots : -5]
    between = card[3 * dots : -3 * dots, round(50.1 * dots) : round(50.9 * dots)]
    assert right_edge.min() > 250
    assert between.min() > 250
    assert [found.text for found in zxingcpp.read_barcodes(card)] == [f"BENCHREEL REED {name}"]


def test_the_same_cards_give_the_same_letters_and_no_date_of_printing() -> None:
    told = pypdf.PdfReader(io.BytesIO(card_sheet.write([B12]))).metadata
    assert told is not None
    assert told.creation_date is not None
    assert told.creation_date.year == 2000
    assert (told.title, told.author) == ("Reed cards", None)


def test_what_cannot_be_printed_is_refused() -> None:
    with pytest.raises(BadInput, match="no card to print"):
        card_sheet.write([])
    with pytest.raises(BadInput, match="not a paper size"):
        card_sheet.write([B12], "a5")  # type: ignore[arg-type]
    with pytest.raises(BadInput, match="needs a reed's id"):
        Card("  ", "oboe")
    with pytest.raises(BadInput, match="at most 120"):
        Card("x" * 121, "oboe")
