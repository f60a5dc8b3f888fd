"""Readings as a CSV table (RFC 4180), for spreadsheets; and back.

Values stay as they were written, so 0.60 mm comes back as 0.60 mm. A cell that
a spreadsheet would take for a formula is led in by an apostrophe, which is
taken off again on the way back.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from decimal import Decimal, InvalidOperation

from annotate.errors import BadInput
from annotate.model import Reading

COLUMNS = (
    "reed", "taken_on", "quantity", "value", "unit", "uncertainty", "zone", "blade", "side", "place_note",
    "moisture", "tool", "note",
)  # fmt: skip
_NEEDED = ("quantity", "value", "unit")
# What a spreadsheet takes for the beginning of a formula.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_NUMBERS = ("value", "uncertainty")


def write(readings: Iterable[Reading], reed_names: Mapping[int, str]) -> str:
    """A table with a head line, one reading a line; ``reed_names`` by reed id."""
    out = io.StringIO()
    table = csv.DictWriter(out, COLUMNS)
    table.writeheader()
    for one in readings:
        row = {name: getattr(one, name) for name in COLUMNS if name != "reed"}
        row["reed"] = reed_names.get(one.reed_id or 0, "")
        table.writerow({name: _guarded(name, value) for name, value in row.items()})
    return out.getvalue()


def read(text: str, reed_ids: Mapping[str, int]) -> list[Reading]:
    """The readings of such a table, columns in any order; ``reed_ids`` by reed name.

    Raises
    ------
    BadInput
        Naming the line and what is wrong there.
    """
    table = csv.DictReader(io.StringIO(text.removeprefix("\ufeff")))
    missing = [name for name in _NEEDED if name not in (table.fieldnames or [])]
    if missing:
        raise BadInput(f"the table has no column {', '.join(missing)}", next_step=f"Use: {', '.join(COLUMNS)}.")
    return [
        _reading(row, table.line_num, reed_ids) for row in table if any((value or "").strip() for value in _cells(row))
    ]


def _cells(row: Mapping[str, str | None]) -> list[str | None]:
    return [row.get(name) for name in COLUMNS]


def _reading(row: Mapping[str, str | None], line: int, reed_ids: Mapping[str, int]) -> Reading:
    cells = {name: _plain(row.get(name) or "") for name in COLUMNS}
    where = f"line {line}"
    reed = cells["reed"]
    if reed and reed not in reed_ids:
        raise BadInput(f"names a reed that is not in the library ({reed[:60]})", where, "Add the reed first.")
    value = _number(cells["value"], where)
    if value is None:
        raise BadInput("has no value", where, "Write a number there.")
    return Reading(
        quantity=cells["quantity"],
        value=value,
        unit=cells["unit"],
        reed_id=reed_ids[reed] if reed else None,
        uncertainty=_number(cells["uncertainty"], where),
        zone=cells["zone"] or None,
        blade=cells["blade"] or None,
        side=cells["side"] or None,
        place_note=cells["place_note"],
        moisture=cells["moisture"] or None,
        tool=cells["tool"],
        taken_on=cells["taken_on"] or None,
        note=cells["note"],
    )


def _number(text: str, where: str) -> Decimal | None:
    if not text:
        return None
    try:
        return Decimal(text.replace(",", "."))
    except InvalidOperation:
        raise BadInput(f"holds no number ({text[:30]})", where, "Write digits, for example 0.60.") from None


def _guarded(name: str, value: object) -> str:
    text = "" if value is None else str(value)
    return f"'{text}" if name not in _NUMBERS and text.startswith((*_FORMULA, "'")) else text


def _plain(text: str) -> str:
    return text[1:] if text.startswith("'") and text[1:].startswith((*_FORMULA, "'")) else text
