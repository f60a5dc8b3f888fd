"""The reeds and the sessions."""

from __future__ import annotations

from dataclasses import replace

from sqlalchemy import Connection

from annotate.errors import BadInput, NotFound
from annotate.library import codec, schema
from annotate.library.cards import take_waiting
from annotate.library.following import follow_day, unfit_of
from annotate.library.journal import Edit
from annotate.library.reed_words import reed_words
from annotate.library.rows import stored
from annotate.library.shelves.shelf import Shelf, short
from annotate.model import Reed, Session
from annotate.vocabulary import Vocabulary, vocabulary
from annotate.vocabulary.counted import counted


class Reeds(Shelf[Reed]):
    table = schema.reed
    from_row = staticmethod(codec.reed_from)
    order = ("name",)

    def named(self, value: Reed) -> str:
        """A reed by the maker's id."""
        return f"reed {short(value.name.strip())}"

    def check(self, connection: Connection, value: Reed) -> Reed:
        vocabulary(value.instrument)
        return replace(value, name=value.name.strip())

    def add_in(self, edit: Edit, value: Reed) -> Reed:
        made = super().add_in(edit, value)
        take_waiting(edit, made)
        return made

    def change_in(self, edit: Edit, value: Reed) -> Reed:
        before = stored(edit.connection, self.table, value.id)
        made = super().change_in(edit, value)
        is_another = before is not None and before["instrument"] != made.instrument
        if is_another and (unfit := unfit_of(edit.connection, made.id)):
            told = f"{counted(unfit, 'piece')} of its work {'is' if unfit == 1 else 'are'} told in words of another"
            raise BadInput(f"cannot be a reed of the {made.instrument}: {told}", made.name, "Change those first.")
        take_waiting(edit, made)
        return made

    def words(self, reed_id: int | None) -> Vocabulary:
        """The trade words of a reed's instrument; the bassoon's for no reed."""
        return reed_words(self.get(reed_id) if reed_id else None)

    def by_name(self, name: str) -> Reed:
        """The reed with the maker's id; capitals do not matter when there is only one."""
        exact = self.where(schema.reed.c.name == name.strip())
        loose = exact or [reed for reed in self.all() if reed.name.casefold() == name.strip().casefold()]
        if len(loose) == 1:
            return loose[0]
        known = ", ".join(reed.name for reed in self.all()[:12]) or "none yet"
        raise NotFound("is not a reed of this library", name, f"Reeds here: {known}.")


class Sessions(Shelf[Session]):
    table = schema.session
    from_row = staticmethod(codec.session_from)
    order = ("date", "id")

    def named(self, value: Session) -> str:
        """A session by its day."""
        return f"the session of {value.date}"

    def change_in(self, edit: Edit, value: Session) -> Session:
        before = stored(edit.connection, self.table, value.id)
        made = super().change_in(edit, value)
        if before and before["date"] != made.date:
            follow_day(edit, made.id, before["date"], made.date)
        return made
