"""Reads what a page sends, field by field, with a sentence for what does not fit."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from flask import request

from annotate.errors import BadInput
from annotate.measure.units import number
from web.refusals import NotJson


class Fields:
    """The fields of one JSON object (or of an address's query)."""

    def __init__(self, values: Mapping[str, Any]) -> None:
        self.values = values

    def __contains__(self, name: str) -> bool:
        return name in self.values

    def text(self, name: str, default: str = "") -> str:
        """Text with one kind of line end; the default when it is not there."""
        value = self.values.get(name)
        if value is None:
            return default
        if not isinstance(value, str):
            raise BadInput("is not text", name)
        return value.replace("\r\n", "\n").replace("\r", "\n")

    def choice(self, name: str) -> str | None:
        """Text, or None when it is empty or not there."""
        return self.text(name).strip() or None

    def integer(self, name: str) -> int:
        """A whole number; BadInput when it is not one."""
        value = self.optional_integer(name)
        if value is None:
            raise BadInput(f"{name.replace('_', ' ')} is needed", next_step="Fill it in.")
        return value

    def optional_integer(self, name: str) -> int | None:
        """A whole number, or None when it is empty or not there."""
        value = self.values.get(name)
        if value is None or value == "":
            return None
        try:
            if isinstance(value, bool | float):
                raise ValueError
            found = int(value)
        except (TypeError, ValueError):
            raise BadInput("is not a whole number", f"{name.replace('_', ' ')} {value}") from None
        if abs(found) >= 2**63:
            raise BadInput("is too large a number", name.replace("_", " "))
        return found

    def decimal(self, name: str) -> Decimal | None:
        """An exact number, or None when it is empty or not there."""
        value = self.values.get(name)
        if value is None or value == "":
            return None
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise BadInput("is not a number", name.replace("_", " "))
        return number(str(value))

    def flag(self, name: str, *, default: bool = False) -> bool:
        """True or false."""
        value = self.values.get(name, default)
        if not isinstance(value, bool):
            raise BadInput("is neither true nor false", name.replace("_", " "))
        return value

    def texts(self, name: str) -> tuple[str, ...]:
        """A list of texts."""
        value = self.values.get(name, [])
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            raise BadInput("is not a list of texts", name.replace("_", " "))
        return tuple(value)

    def each(self, name: str) -> list[Fields]:
        """A list of objects."""
        value = self.values.get(name, [])
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            raise BadInput("is not a list of objects", name.replace("_", " "))
        return [Fields(item) for item in value]


def sent() -> Fields:
    """The fields of the JSON body of this request; NotJson unless it is sent as application/json."""
    if request.mimetype != "application/json":
        raise NotJson("A body is taken only as application/json", request.mimetype or "(no type)")
    value = request.get_json(silent=True)
    if not isinstance(value, dict):
        raise BadInput("The body is not a JSON object", next_step="Send an object with the fields.")
    return Fields(value)


def asked() -> Fields:
    """The fields of the address's query."""
    return Fields(request.args)
