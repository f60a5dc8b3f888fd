"""Readings as a table, both ways."""

from __future__ import annotations

from decimal import Decimal

import pytest

from annotate.errors import BadInput
from annotate.formats import csv_table
from annotate.model import Reading

READINGS = [
    Reading("thickness", Decimal("0.60"), "mm", 3, zone="tip", blade="up", side="left", moisture="wet",
            uncertainty=Decimal("0.01"), tool="dial, 0.01 mm", taken_on="2026-03-14", note='said "3/16"\nlater'),
    Reading("deviation", Decimal("-12.5"), "cents", 3, note="=1+1", place_note="'quoted"),
]  # fmt: skip


def test_readings_come_back() -> None:
    text = csv_table.write(READINGS, {3: "B-17, 面"})
    assert text.splitlines()[0].startswith("reed,taken_on,quantity,value,unit,uncertainty,")
    assert csv_table.read(text, {"B-17, 面": 3}) == READINGS


def test_no_cell_is_a_formula() -> None:
    text = csv_table.write(READINGS, {3: "@reed"})
    assert "'=1+1" in text
    assert "'@reed" in text
    assert ",-12.5," in text


def test_wrong_tables_are_named() -> None:
    with pytest.raises(BadInput, match="The table has no column value, unit"):
        csv_table.read("quantity\nx\n", {})
    with pytest.raises(BadInput, match=r"Line 2 holds no number \(about one\)"):
        csv_table.read("quantity,value,unit\nthickness,about one,mm\n", {})
    with pytest.raises(BadInput, match="Line 3 names a reed that is not in the library"):
        csv_table.read("reed,quantity,value,unit\n,length,54,mm\nX,length,54,mm\n", {})


def test_spreadsheets_save_with_a_mark_and_decimal_comma() -> None:
    found = csv_table.read('\ufeffquantity,unit,value\nlength,mm,"54,5"\n,,\n', {})
    assert [(one.quantity, one.value, one.unit) for one in found] == [("length", Decimal("54.5"), "mm")]
