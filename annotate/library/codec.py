"""Model values to table rows and back, without SQL."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from annotate.model import (
    Before,
    Clip,
    Correction,
    Instead,
    LeftWord,
    Lesson,
    Line,
    Mark,
    Plan,
    Probe,
    Reading,
    Recording,
    Reed,
    Session,
    Showing,
    Stream,
    Suggestion,
    Tag,
    Word,
)

Row = dict[str, Any]


def _fraction(text: str | None) -> Fraction | None:
    return None if text is None else Fraction(text)


def _decimal(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


def _plain(value: object) -> object:
    """A value that JSON and SQLite can hold: Fractions and Decimals as text, tuples as lists."""
    if isinstance(value, Fraction | Decimal):
        return str(value)
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    return value


def row_of(value: Any) -> Row:
    """The row of any model value, with its ``id`` and ``version``."""
    row = {key: _plain(item) for key, item in dataclasses.asdict(value).items()}
    if isinstance(value, Line):
        row["words"] = [_word_row(word) for word in value.words]
    return row


def probe_from(data: Row) -> Probe:
    """A Probe from its stored form."""
    streams = tuple(
        Stream(**{**s, "start": Fraction(s["start"]), "rate": _fraction(s["rate"])}) for s in data["streams"]
    )
    return Probe(**{**data, "streams": streams, "origin": Fraction(data["origin"]), "rate": _fraction(data["rate"])})


def reed_from(row: Row) -> Reed:
    return Reed(**row)


def session_from(row: Row) -> Session:
    return Session(
        **{
            **row,
            "temperature_c": _decimal(row["temperature_c"]),
            "humidity_percent": _decimal(row["humidity_percent"]),
        }
    )


def recording_from(row: Row) -> Recording:
    return Recording(**{**row, "probe": probe_from(row["probe"])})


def line_from(row: Row) -> Line:
    return Line(**{**row, "words": tuple(_word_from(*word) for word in row["words"])})


def _word_row(word: Word) -> list[Any]:
    """What may stand instead of a word comes last, where there is any: few words have it."""
    row: list[Any] = [word.start_ms, word.end_ms, word.text, word.probability]
    return [*row, [[one.heard, one.right, one.nats] for one in word.instead]] if word.instead else row


def _word_from(start_ms: int, end_ms: int, text: str, probability: float, instead: Sequence[Any] = ()) -> Word:
    return Word(start_ms, end_ms, text, probability, tuple(Instead(*one) for one in instead))


def tag_from(row: Row) -> Tag:
    return Tag(**{**row, "zones": tuple(row["zones"]), "symptoms": tuple(row["symptoms"])})


def reading_from(row: Row) -> Reading:
    return Reading(**{**row, "value": Decimal(row["value"]), "uncertainty": _decimal(row["uncertainty"])})


def correction_from(row: Row) -> Correction:
    return Correction(**row)


def left_word_from(row: Row) -> LeftWord:
    return LeftWord(**row)


def suggestion_from(row: Row) -> Suggestion:
    return Suggestion(**row)


def plan_from(row: Row) -> Plan:
    return Plan(**row)


def mark_from(row: Row) -> Mark:
    return Mark(**{**row, "zones": tuple(row["zones"])})


def lesson_from(row: Row) -> Lesson:
    clips = tuple(_clip_from(clip) for clip in row["clips"])
    return Lesson(**{**row, "tools": tuple(row["tools"]), "clips": clips, "showing": Showing(**row["showing"])})


def _clip_from(data: Row) -> Clip:
    before = data.get("before")
    return Clip(**{**data, "before": Before(**before) if before else None})
