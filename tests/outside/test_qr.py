"""Our cards' codes against ISO/IEC 18004 (QR code) and two programs that know nothing of us.

zxing-cpp reads what segno wrote; OpenCV's encoder writes what our reader reads.
Structure after ISO/IEC 18004:2015: sizes 5.1 and 7.1 (17 + 4 x version modules
a side), finder patterns 6.3.3, quiet zone 6.3.8 (four modules), correction
level in the format information 7.9.1 (two bits: L 01, M 00, Q 11, H 10, masked
with 101010000010010). The clause numbers are from memory.
"""

from __future__ import annotations

import cv2
import numpy as np
import pypdfium2
import pytest
import zxingcpp

from annotate.formats import card_sheet
from annotate.formats.card_sheet import Card
from annotate.intake.card_codes import Reader
from annotate.intake.card_places import places
from tests.drawn_cards import bench

pytestmark = pytest.mark.outside

NAMES = ["B-12", "H-5", "7", "the green one", "Rohr Nr. 7 (weich)", "été 3", "кларнет-3", "葦七", "🎋4", "x" * 120]
FINDER = ["1111111", "1000001", "1011101", "1011101", "1011101", "1000001", "1111111"]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_zxing_reads_every_code_on_the_printed_page(paper: card_sheet.Paper) -> None:
    page = pypdfium2.PdfDocument(card_sheet.write([Card(name, "oboe") for name in NAMES], paper))[0]
    found = zxingcpp.read_barcodes(page.render(scale=4).to_numpy())
    assert sorted(one.text for one in found) == sorted(f"BENCHREEL REED {name}" for name in NAMES)
    assert {one.format for one in found} == {zxingcpp.BarcodeFormat.QRCode}


def seen_by_zxing(name: str) -> zxingcpp.Barcode:
    rows = np.array([list(row) for row in card_sheet.code(name).matrix_iter(scale=4, border=4)], np.uint8)
    (found,) = zxingcpp.read_barcodes((1 - rows) * 255)
    return found


# ISO/IEC 18004, table of data mask patterns: a module is turned over where this is true (i: row, j: column).
MASKS = (
    lambda i, j: (i + j) % 2 == 0,
    lambda i, j: i % 2 == 0,
    lambda i, j: j % 3 == 0,
    lambda i, j: (i + j) % 3 == 0,
    lambda i, j: (i // 2 + j // 3) % 2 == 0,
    lambda i, j: i * j % 2 + i * j % 3 == 0,
    lambda i, j: (i * j % 2 + i * j % 3) % 2 == 0,
    lambda i, j: ((i + j) % 2 + i * j % 3) % 2 == 0,
)


@pytest.mark.parametrize(
    ("name", "first_bits"),
    [
        ("B-12", "0010" + "00001001"),  # alphanumeric mode; eight of the nine bits of the count, 19 = 000010011
        ("葦七", "0111" + "00011010"),  # ECI mode; designator 26, UTF-8
    ],
)
def test_the_data_begins_with_its_mode_and_beyond_ascii_with_its_character_set(name: str, first_bits: str) -> None:
    matrix = [[int(dark) for dark in row] for row in card_sheet.code(name).matrix]
    mask, last = MASKS[int(seen_by_zxing(name).extra["DataMask"])], len(matrix) - 1
    # Data runs upwards from the lower right corner, two modules wide, the right one first.
    path = [(last - row, last - column) for row in range(6) for column in range(2)]
    bits = "".join(str(matrix[i][j] ^ mask(i, j)) for i, j in path)
    assert bits == first_bits


@pytest.mark.parametrize(
    ("name", "version", "level"),
    [("B-12", 1, "M"), ("H-5", 1, "M"), ("b-12", 2, "Q"), ("7", 1, "Q"), ("x" * 120, 8, "M")],
)
def test_the_structure_is_the_standards(name: str, version: int, level: str) -> None:
    told = seen_by_zxing(name).extra
    assert (told["Version"], told["ECLevel"]) == (str(version), level)
    matrix = [[int(dark) for dark in row] for row in card_sheet.code(name).matrix]
    side = 17 + 4 * version
    assert [len(row) for row in matrix] == [side] * side
    rows = ["".join(map(str, row)) for row in matrix]
    corner = {"upper left": (0, 0), "upper right": (0, side - 7), "lower left": (side - 7, 0)}
    for top, left in corner.values():
        assert [row[left : left + 7] for row in rows[top : top + 7]] == FINDER
    # Timing pattern: row and column 6, dark and light by turns.
    assert rows[6][8 : side - 8] == ("10" * side)[: side - 16]
    assert "".join(row[6] for row in rows)[8 : side - 8] == ("10" * side)[: side - 16]
    # The level's two bits are the first of the format information, beside the upper left finder pattern.
    bits = (int(rows[8][0]) ^ 1, int(rows[8][1]) ^ 0)
    assert bits == {"L": (0, 1), "M": (0, 0), "Q": (1, 1), "H": (1, 0)}[level]


def test_the_quiet_zone_is_four_modules_on_the_page() -> None:
    dots = 16
    page = pypdfium2.PdfDocument(card_sheet.write([Card("B-12", "oboe")]))[0]
    picture = page.render(scale=dots * 25.4 / 72, grayscale=True).to_numpy().squeeze()
    left = (210 - 2 * card_sheet.CARD_WIDTH_MM) / 2 + card_sheet.EDGE_MM
    top = (297 - 5 * card_sheet.CARD_HEIGHT_MM) / 2 + card_sheet.EDGE_MM
    field = picture[round(top * dots) : round((top + 50) * dots), round(left * dots) : round((left + 50) * dots)]
    dark = np.argwhere(field < 128)
    module = 50 * dots / (21 + 8)
    assert dark.min(axis=0) / module == pytest.approx([4, 4], abs=0.1)
    assert (dark.max(axis=0) + 1) / module == pytest.approx([25, 25], abs=0.1)


@pytest.mark.parametrize("name", ["B-12", "the green one", "été 3"])
def test_codes_of_another_encoder_are_read(name: str) -> None:
    flat = cv2.QRCodeEncoder.create().encode(f"BENCHREEL REED {name}")
    code = cv2.resize(np.pad(flat, 3, constant_values=255), None, fx=5, fy=5, interpolation=cv2.INTER_NEAREST)
    picture = bench(1280, 720).copy()
    picture[200 : 200 + code.shape[0], 300 : 300 + code.shape[1]] = code
    assert {found for place in places(picture) for found in Reader().names(picture, place)} == {name}
