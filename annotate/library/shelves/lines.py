"""The lines of recordings, and the words that were left as they are."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from sqlalchemy import delete, insert, select

from annotate.library import codec, index, schema
from annotate.library.rows import new_id
from annotate.library.shelves.shelf import OfRecording
from annotate.model import LeftWord, Line


class Lines(OfRecording[Line]):
    table = schema.line
    from_row = staticmethod(codec.line_from)
    shown = (schema.line.c.text != "",)

    def struck_out(self, recording_id: int) -> list[Line]:
        """The lines of a recording that the maker struck out."""
        return self.where(schema.line.c.recording_id == recording_id, schema.line.c.text == "")

    def strike_out(self, line: Line) -> Line:
        """Leave a line without text: it is shown nowhere and not heard again; what was heard is kept."""
        gone = replace(line, text="", words=(), heard_text=line.heard_text or line.text)
        return self.change_all([gone], "struck out a line")[0]

    def hear(self, recording_id: int, lines: Iterable[Line], *, from_ms: int = 0, until_ms: int | None = None) -> None:
        """Store recognised lines of ``[from_ms, until_ms)``, in place of those that begin there and are not changed.

        None is the end of the recording. What lies later stays until it is heard again: work may stop half-way.
        """
        table = schema.line
        with self.library.writing() as connection:
            there = select(table.c.id, table.c.start_ms, table.c.end_ms, table.c.version, table.c.heard_text)
            kept = []
            for row in connection.execute(there.where(table.c.recording_id == recording_id)).all():
                if row.version > 1 or not row.heard_text:  # changed, or brought in from elsewhere
                    kept.append((row.start_ms, row.end_ms))
                elif from_ms <= row.start_ms and (until_ms is None or row.start_ms < until_ms):
                    connection.execute(delete(table).where(table.c.id == row.id))
                    index.refresh(connection, "line", row.id)
            for line in lines:
                if any(line.start_ms < end and start < line.end_ms for start, end in kept):
                    continue
                values = {**codec.row_of(line), "recording_id": recording_id, "version": 1}
                values["heard_text"] = line.heard_text or line.text
                values.pop("id")
                result = connection.execute(insert(table).values(values))
                index.refresh(connection, "line", new_id(result))

    def bring(self, recording_id: int, lines: Iterable[Line]) -> tuple[list[Line], int]:
        """Put lines in place of those that the maker has not changed, as one step of undo.

        Gives the lines that were added (those that would overlap one of the maker's are left out),
        and how many of the maker's stayed.
        """
        with self.library.journal.edit("brought in a transcript") as edit:
            table = self.table
            query = select(table).where(table.c.recording_id == recording_id).order_by(table.c.start_ms)
            stored_lines = [codec.line_from(dict(row._mapping)) for row in edit.connection.execute(query)]
            kept = [line for line in stored_lines if line.version > 1 and line.text]
            for line in stored_lines:
                if line.version == 1:
                    edit.remove(table, line.id)
            fitting = [
                line
                for line in lines
                if not any(line.start_ms < own.end_ms and own.start_ms < line.end_ms for own in kept)
            ]
            return [self.add_in(edit, line) for line in fitting], len(kept)


class LeftWords(OfRecording[LeftWord]):
    table = schema.left_word
    from_row = staticmethod(codec.left_word_from)
