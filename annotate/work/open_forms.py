"""Readings as a table and tags as W3C Web Annotations, out of a library and into one: nobody is locked in.

What is there already is not brought in twice: a statement is the same when all of it is.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from annotate.formats import csv_table, web_annotation
from annotate.formats.web_annotation import Annotated
from annotate.library import Library
from annotate.model import Reading, Tag
from annotate.vocabulary.counted import counted

T = TypeVar("T", Reading, Tag)


@dataclass(frozen=True)
class BroughtIn(Generic[T]):
    """What came of it: ``made`` are new; ``known`` were there already."""

    made: tuple[T, ...]
    known: int
    what: str

    @property
    def told(self) -> str:
        """A sentence of it."""
        text = f"{counted(len(self.made), self.what)} brought in."
        if self.known:
            text += f" {counted(self.known, self.what)} {'was' if self.known == 1 else 'were'} there."
        return text


def readings_out(library: Library, reed_id: int | None = None) -> str:
    """The readings of a reed, or all, as a CSV table (RFC 4180)."""
    found = library.readings.of_reed(reed_id) if reed_id else library.readings.all()
    return csv_table.write(found, {reed.id: reed.name for reed in library.reeds.all()})


def readings_in(library: Library, text: str) -> BroughtIn[Reading]:
    """The readings of such a table, as one step of undo; BadInput names the line that is none."""
    read = csv_table.read(text, {reed.name: reed.id for reed in library.reeds.all()})
    there = {_bare(one) for one in library.readings.all()}
    new = [one for one in dict.fromkeys(read) if _bare(one) not in there]
    made = library.readings.add_all(new, f"brought in {counted(len(new), 'reading')}") if new else []
    return BroughtIn(tuple(made), len(read) - len(new), "reading")


def _bare(reading: Reading) -> Reading:
    """A reading as a table can say it: of no tag and no moment."""
    return replace(reading, id=0, version=0, tag_id=None, recording_id=None, at_ms=None)


def tags_out(library: Library, session_id: int) -> str:
    """The tags of a session as an annotation collection (W3C Web Annotation Data Model), JSON."""
    files = {one.id: one.fingerprint for one in library.recordings.of_session(session_id)}
    names = {reed.id: reed.name for reed in library.reeds.all()}
    tags = library.tags.of_session(session_id)
    return web_annotation.write(
        Annotated(one, files[one.recording_id], names.get(one.reed_id or 0, "")) for one in tags
    )


def tags_in(library: Library, text: str) -> BroughtIn[Tag]:
    """The tags of such a collection, as one step of undo; BadInput names what is none, or of no recording here."""
    read = web_annotation.read(text, {one.fingerprint: one.id for one in library.recordings.all()})
    tags = [_with_reed(library, one) for one in read]
    there = {_said(tag) for one in {tag.recording_id for tag in tags} for tag in library.tags.of_recording(one)}
    new = [tag for tag in tags if _said(tag) not in there]
    made = library.tags.add_all(new, f"brought in {counted(len(new), 'tag')}") if new else []
    return BroughtIn(tuple(made), len(read) - len(new), "tag")


def _with_reed(library: Library, one: Annotated) -> Tag:
    return replace(one.tag, reed_id=library.reeds.by_name(one.reed).id) if one.reed else one.tag


def _said(tag: Tag) -> Tag:
    """What a tag says, wherever it is stored; the reed may have been filled in by the library."""
    return replace(tag, id=0, version=0, reed_id=None)
