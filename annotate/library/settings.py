"""What the maker sets once for the whole library."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import delete, insert, select

from annotate.errors import BadInput
from annotate.library import schema
from annotate.measure.tuning import A4_HZ, check_a4

if TYPE_CHECKING:
    from annotate.library.store import Library

MAX_WORDS = 200
MAX_WORD = 60
MAX_KEPT = 5_000  # entries of a kept list


def check_language(code: str) -> str:
    """A language code in small letters, "" for none chosen; BadInput for anything else."""
    language = code.strip().lower()
    if language and not (language.isascii() and language.isalpha() and len(language) in (2, 3)):
        raise BadInput("is not a language code", language, "Use two letters such as en, or leave it empty.")
    return language


@dataclass(frozen=True)
class Choices:
    """The maker's choices.

    ``a4_hz`` is the tuning note, ``own_words`` are words and names that the
    recogniser should expect, ``signal_word`` begins a spoken mark ("" is the
    usual one), ``language`` is a code such as "en" ("" is told per recording).
    """

    a4_hz: float = A4_HZ
    own_words: tuple[str, ...] = ()
    signal_word: str = ""
    language: str = ""

    def __post_init__(self) -> None:
        check_a4(self.a4_hz)
        if len(self.own_words) > MAX_WORDS:
            raise BadInput(f"More than {MAX_WORDS} words of your own", next_step="Keep those that are misheard.")
        for word in self.own_words:
            if not word.strip() or len(word) > MAX_WORD or "\x00" in word:
                raise BadInput("is not a word or short phrase", word[:MAX_WORD] or "(nothing)", "Shorten it.")


class Settings:
    """The choices as stored; what was never chosen has its usual value."""

    def __init__(self, library: Library) -> None:
        self._library = library

    def get(self) -> Choices:
        """The maker's choices."""
        with self._library.reading() as connection:
            rows = connection.execute(select(schema.setting.c.name, schema.setting.c.value)).all()
        stored: dict[str, Any] = {row.name: row.value for row in rows}
        usual = Choices()
        return Choices(
            a4_hz=float(stored.get("a4_hz", usual.a4_hz)),
            own_words=tuple(stored.get("own_words", usual.own_words)),
            signal_word=str(stored.get("signal_word", usual.signal_word)),
            language=str(stored.get("language", usual.language)),
        )

    def put(self, choices: Choices) -> None:
        """Store the maker's choices."""
        with self._library.writing() as connection:
            for name, value in dataclasses.asdict(choices).items():
                plain = list(value) if isinstance(value, tuple) else value
                connection.execute(delete(schema.setting).where(schema.setting.c.name == name))
                connection.execute(insert(schema.setting).values(name=name, value=plain))

    def kept(self, name: str) -> list[Any]:
        """A list of plain values that the program keeps under a name; empty when nothing was kept."""
        with self._library.reading() as connection:
            found = connection.execute(select(schema.setting.c.value).where(schema.setting.c.name == name)).scalar()
        return list(found or ())

    def keep(self, name: str, *, add: Sequence[Any] = (), drop: Sequence[Any] = (), most: int = MAX_KEPT) -> None:
        """Put values into a kept list and take others out; the oldest go when there are more than ``most``."""
        table = schema.setting
        with self._library.writing() as connection:
            found = connection.execute(select(table.c.value).where(table.c.name == name)).scalar() or []
            values = [value for value in found if value not in drop and value not in add] + list(add)
            connection.execute(delete(table).where(table.c.name == name))
            connection.execute(insert(table).values(name=name, value=values[-most:]))
