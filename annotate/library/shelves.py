"""What lies in the library, one shelf for each kind of value."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path
from textwrap import shorten
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from sqlalchemy import Connection, Table, delete, func, insert, select

from annotate.errors import BadInput, NotFound
from annotate.library import codec, index, schema
from annotate.library.cards import see_cards, take_waiting
from annotate.library.codec import Row
from annotate.library.following import follow_day, follow_reed, keep_order
from annotate.library.in_hand import Shown, hand_of, reed_at, reeds_shown
from annotate.library.journal import Edit
from annotate.library.reed_words import reed_words
from annotate.library.rows import new_id, stored
from annotate.measure.units import check_reading
from annotate.model import (
    CardShown,
    Correction,
    LeftWord,
    Lesson,
    Line,
    Mark,
    Plan,
    Reading,
    Recording,
    Reed,
    Session,
    Sound,
    Suggestion,
    Tag,
)
from annotate.timecode import check_range
from annotate.vocabulary import Vocabulary, vocabulary
from annotate.vocabulary.counted import counted

if TYPE_CHECKING:
    from annotate.library.store import Library

LONGEST_NAME = 60  # characters of a title in the name of a step of undo

T = TypeVar("T", Reed, Session, Recording, Line, Tag, Reading, Correction, Suggestion, Plan, Mark, Lesson, LeftWord)


def _short(name: str) -> str:
    return shorten(name, LONGEST_NAME, placeholder=" …")


class Shelf(Generic[T]):
    """Values of one kind: get, add, change, remove; every change can be undone."""

    table: Table
    from_row: Callable[[Row], T]
    order: tuple[str, ...] = ("id",)

    def named(self, value: T) -> str:
        """What a step of undo calls a value: its own name where it has one."""
        return f"a {self.table.name}"

    def __init__(self, library: Library) -> None:
        self.library = library

    def check(self, connection: Connection, value: T) -> T:
        """Raise if the value does not fit what is in the library; may fill in what follows from it."""
        return value

    def get(self, value_id: int) -> T:
        """The value of that id, or NotFound."""
        found = self.where(self.table.c.id == value_id)
        if not found:
            raise NotFound(f"There is no {self.table.name} {value_id} in the library")
        return found[0]

    def find(self, value_id: int) -> T | None:
        """The value of that id, or None when it is not there (any more)."""
        return next(iter(self.where(self.table.c.id == value_id)), None)

    def all(self) -> list[T]:
        """Every value, in the shelf's order."""
        return self.where()

    def where(self, *conditions: Any) -> list[T]:
        """The values that meet the conditions, in the shelf's order."""
        query = select(self.table).where(*conditions).order_by(*(self.table.c[name] for name in self.order))
        with self.library.reading() as connection:
            return [type(self).from_row(dict(row._mapping)) for row in connection.execute(query)]

    def add(self, value: T) -> T:
        """Store a new value; gives it back with its id."""
        return self.add_all([value])[0]

    def add_all(self, values: Iterable[T], what: str = "") -> list[T]:
        """Store several values as one step of undo."""
        values = list(values)
        told = self.named(values[0]) if len(values) == 1 else f"a {self.table.name}"
        with self.library.journal.edit(what or f"added {told}") as edit:
            return [self.add_in(edit, value) for value in values]

    def add_in(self, edit: Edit, value: T) -> T:
        """Store a new value as part of a larger step of undo."""
        return type(self).from_row(edit.add(self.table, codec.row_of(self.check(edit.connection, value))))

    def change(self, value: T) -> T:
        """Store a changed value; ChangedElsewhere when its version is no longer the stored one."""
        return self.change_all([value], f"changed {self.named(value)}")[0]

    def change_all(self, values: Iterable[T], what: str) -> list[T]:
        """Store several changed values as one step of undo, named ``what``."""
        with self.library.journal.edit(what) as edit:
            return [self.change_in(edit, value) for value in values]

    def change_in(self, edit: Edit, value: T) -> T:
        """Store a changed value as part of a larger step of undo."""
        return type(self).from_row(edit.change(self.table, codec.row_of(self.check(edit.connection, value))))

    def remove(self, value_id: int) -> None:
        """Take a value out; undo brings it back."""
        gone = self.find(value_id)
        with self.library.journal.edit(f"removed {self.named(gone) if gone else f'a {self.table.name}'}") as edit:
            edit.remove(self.table, value_id)


class Reeds(Shelf[Reed]):
    table = schema.reed
    from_row = staticmethod(codec.reed_from)
    order = ("name",)

    def named(self, value: Reed) -> str:
        """A reed by the maker's id."""
        return f"reed {_short(value.name.strip())}"

    def check(self, connection: Connection, value: Reed) -> Reed:
        vocabulary(value.instrument)
        return replace(value, name=value.name.strip())

    def add_in(self, edit: Edit, value: Reed) -> Reed:
        made = super().add_in(edit, value)
        take_waiting(edit, made)
        return made

    def change_in(self, edit: Edit, value: Reed) -> Reed:
        made = super().change_in(edit, value)
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


class Recordings(Shelf[Recording]):
    table = schema.recording
    from_row = staticmethod(codec.recording_from)
    order = ("session_id", "position", "id")

    def named(self, value: Recording) -> str:
        """A recording by its name."""
        return f"recording {_short(value.name)}"

    def add_all(self, values: Iterable[Recording], what: str = "") -> list[Recording]:
        """Store new recordings. No step of undo: the program works on them at once, and removing says what goes."""
        with self.library.writing() as connection:
            edit = Edit(connection)
            return [self.add_in(edit, value) for value in values]

    def change_in(self, edit: Edit, value: Recording) -> Recording:
        before, place = hand_of(edit.connection, value.id), stored(edit.connection, self.table, value.id)
        made = super().change_in(edit, value)
        if place and place["position"] != made.position:
            keep_order(edit, made.session_id, (made.id, made.position))
            made = _recording(edit.connection, made.id)
        if unfit := follow_reed(edit, made.id, before):
            told = f"{counted(unfit, 'piece')} of its work {'is' if unfit == 1 else 'are'} told in words"
            raise BadInput(f"cannot be of that reed: {told} of another instrument", made.name, "Change those first.")
        return made

    def of_session(self, session_id: int) -> list[Recording]:
        """The recordings of a session, in order."""
        return self.where(schema.recording.c.session_id == session_id)

    def in_time(self) -> dict[int, tuple[str, int, int, int]]:
        """For each recording's id where it stands among all: day and id of its session, its place there, its id."""
        table, session = schema.recording, schema.session
        query = select(table.c.id, table.c.position, session.c.date, session.c.id.label("session_id")).join(session)
        with self.library.reading() as connection:
            rows = connection.execute(query)
            return {row.id: (row.date, row.session_id, row.position, row.id) for row in rows}

    def by_fingerprint(self, fingerprint: str) -> Recording | None:
        """The recording of that file, or None."""
        found = self.where(schema.recording.c.fingerprint == fingerprint)
        return found[0] if found else None

    def note_made(self, recording_id: int, **made: str | float) -> None:
        """Record what was made for a recording (paths of files, the language heard); no step of undo."""
        with self.library.writing() as connection:
            connection.execute(schema.recording.update().where(schema.recording.c.id == recording_id).values(**made))

    def file(self, recording: Recording) -> Path:
        """The path of the original file."""
        return self.library.path(recording.path) if recording.is_kept else Path(recording.path)

    def sounds(self, recording_id: int) -> list[Sound]:
        """The sounds heard in a recording, in order."""
        table = schema.sound
        query = select(table).where(table.c.recording_id == recording_id).order_by(table.c.start_ms)
        with self.library.reading() as connection:
            return [Sound(r.start_ms, r.end_ms, r.kind, r.confidence) for r in connection.execute(query)]

    def cards(self, recording_id: int) -> list[CardShown]:
        """The reed cards seen in a recording, in order."""
        table = schema.card
        query = select(table).where(table.c.recording_id == recording_id).order_by(table.c.start_ms)
        with self.library.reading() as connection:
            return [CardShown(row.start_ms, row.end_ms, row.name, row.reed_id) for row in connection.execute(query)]

    def card_reeds(self) -> list[tuple[int, int]]:
        """Which reeds' cards were seen: recording's id and reed's id, each pair once."""
        table = schema.card
        query = select(table.c.recording_id, table.c.reed_id).where(table.c.reed_id.is_not(None)).distinct()
        with self.library.reading() as connection:
            return [(row.recording_id, row.reed_id) for row in connection.execute(query)]

    def reeds_shown(self, recording_id: int) -> list[Shown]:
        """The reeds of this library whose cards were seen: moment and reed's id, in order."""
        with self.library.reading() as connection:
            return reeds_shown(connection, recording_id)

    def reed_at(self, recording: Recording, at_ms: int) -> int | None:
        """The reed in hand at a moment: the one whose card was shown last, else the recording's."""
        return reed_at(recording, self.reeds_shown(recording.id), at_ms)

    def first_reed(self, recording: Recording) -> int | None:
        """The recording's reed, else the first one whose card was seen."""
        if recording.reed_id is not None:
            return recording.reed_id
        return next((reed_id for _, reed_id in self.reeds_shown(recording.id)), None)

    def see_cards(self, recording_id: int, cards: Iterable[CardShown]) -> None:
        """Replace the cards seen in a recording; work that was of no other reed is of theirs."""
        with self.library.journal.edit("gave work the reed whose card was seen") as edit:
            see_cards(edit, recording_id, cards)

    def measures(self, recording_id: int) -> list[dict[str, Any]]:
        """Sounds with what was measured in them (``measures``: notes or a crow), in order."""
        table = schema.sound
        query = select(table).where(table.c.recording_id == recording_id).order_by(table.c.start_ms)
        with self.library.reading() as connection:
            return [dict(row._mapping) for row in connection.execute(query)]

    def measure(self, sound_id: int) -> dict[str, Any]:
        """One sound with what was measured in it, or NotFound."""
        table = schema.sound
        with self.library.reading() as connection:
            row = connection.execute(select(table).where(table.c.id == sound_id)).first()
        if row is None:
            raise NotFound(
                f"There is no sound {sound_id} in the library", next_step="Its recording may have been heard anew."
            )
        return dict(row._mapping)

    def hear(self, recording_id: int, sounds: Iterable[tuple[Sound, Any]]) -> None:
        """Replace the sounds of a recording, each with its measures (plain data)."""
        table = schema.sound
        with self.library.writing() as connection:
            connection.execute(delete(table).where(table.c.recording_id == recording_id))
            for sound, measures in sounds:
                connection.execute(
                    insert(table).values(
                        recording_id=recording_id,
                        start_ms=sound.start_ms,
                        end_ms=sound.end_ms,
                        kind=sound.kind,
                        confidence=sound.confidence,
                        measures=measures,
                    )
                )


class OfRecording(Shelf[T]):
    """Values that lie on the time of a recording."""

    order = ("recording_id", "start_ms", "id")
    shown: tuple[Any, ...] = ()  # conditions without which a value is kept and not shown

    def of_recording(self, recording_id: int) -> list[T]:
        """The values of a recording, in order of time."""
        return self.where(self.table.c.recording_id == recording_id, *self.shown)

    def of_session(self, session_id: int) -> list[T]:
        """The values of all recordings of a session."""
        ids = select(schema.recording.c.id).where(schema.recording.c.session_id == session_id)
        return self.where(self.table.c.recording_id.in_(ids), *self.shown)

    def versions(self, session_id: int) -> dict[int, int]:
        """The version of each value of a session, by id: tells an open page cheaply what has changed."""
        ids = select(schema.recording.c.id).where(schema.recording.c.session_id == session_id)
        query = select(self.table.c.id, self.table.c.version).where(self.table.c.recording_id.in_(ids), *self.shown)
        with self.library.reading() as connection:
            return {row.id: row.version for row in connection.execute(query)}


def _recording(connection: Connection, recording_id: int) -> Recording:
    found = stored(connection, schema.recording, recording_id)
    if found is None:
        raise NotFound(f"There is no recording {recording_id} in the library")
    return codec.recording_from(found)


def _in_hand(connection: Connection, recording: Recording, at_ms: int) -> int | None:
    return reed_at(recording, reeds_shown(connection, recording.id), at_ms)


def _reed(connection: Connection, reed_id: int | None) -> Reed | None:
    if reed_id is None:
        return None
    found = stored(connection, schema.reed, reed_id)
    if found is None:
        raise NotFound(f"There is no reed {reed_id} in the library")
    return codec.reed_from(found)


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


class Tags(OfRecording[Tag]):
    table = schema.tag
    from_row = staticmethod(codec.tag_from)

    def check(self, connection: Connection, value: Tag) -> Tag:
        recording = _recording(connection, value.recording_id)
        check_range(value.start_ms, value.end_ms, recording.duration_ms)
        reed = _reed(connection, value.reed_id or _in_hand(connection, recording, value.end_ms))
        words = reed_words(reed)
        words.check("steps", value.step)
        words.check("zones", value.zones)
        words.check("blades", value.blade)
        words.check("sides", value.side)
        words.check("symptoms", value.symptoms)
        return replace(
            value,
            zones=tuple(dict.fromkeys(value.zones)),
            symptoms=tuple(dict.fromkeys(value.symptoms)),
            reed_id=reed.id if reed else None,
        )

    def of_reed(self, reed_id: int) -> list[Tag]:
        """The tags of a reed, over all sessions."""
        return self.where(schema.tag.c.reed_id == reed_id)


def _placed(connection: Connection, value: Reading) -> Reading:
    """A reading with what follows from its tag and recording: moment, reed and day."""
    tag = None
    if value.tag_id is not None:
        tag = stored(connection, schema.tag, value.tag_id)
        if tag is None and not value.id:
            raise NotFound(f"There is no tag {value.tag_id} in the library")
    if tag is not None:
        at_ms = tag["start_ms"] if value.at_ms is None else value.at_ms
        value = replace(value, recording_id=tag["recording_id"], at_ms=at_ms)
    if value.recording_id is None:
        return value
    recording = _recording(connection, value.recording_id)
    if value.at_ms is not None:
        check_range(value.at_ms, value.at_ms + 1, recording.duration_ms + 1)
    session = stored(connection, schema.session, recording.session_id) or {}
    at_ms = 0 if value.at_ms is None else value.at_ms
    reed_id = value.reed_id or (tag or {}).get("reed_id") or _in_hand(connection, recording, at_ms)
    return replace(value, taken_on=value.taken_on or session.get("date"), reed_id=reed_id)


class Readings(Shelf[Reading]):
    table = schema.reading
    from_row = staticmethod(codec.reading_from)
    order = ("taken_on", "recording_id", "at_ms", "id")

    def check(self, connection: Connection, value: Reading) -> Reading:
        check_reading(value)
        value = _placed(connection, value)
        reed = _reed(connection, value.reed_id)
        words = reed_words(reed)
        words.check("zones", value.zone)
        words.check("blades", value.blade)
        words.check("sides", value.side)
        return value

    def of_reed(self, reed_id: int) -> list[Reading]:
        """The readings of a reed, in order of day."""
        return self.where(schema.reading.c.reed_id == reed_id)

    def of_recording(self, recording_id: int) -> list[Reading]:
        """The readings taken in a recording."""
        return self.where(schema.reading.c.recording_id == recording_id)

    def last_units(self) -> dict[str, str]:
        """The unit in which each quantity was stored last."""
        table = schema.reading
        newest = select(func.max(table.c.id)).group_by(table.c.quantity)
        with self.library.reading() as connection:
            rows = connection.execute(select(table.c.quantity, table.c.unit).where(table.c.id.in_(newest)))
            return {row.quantity: row.unit for row in rows}

    def of_session(self, session_id: int) -> list[Reading]:
        """The readings taken in a session's recordings."""
        ids = select(schema.recording.c.id).where(schema.recording.c.session_id == session_id)
        return self.where(schema.reading.c.recording_id.in_(ids))


class Corrections(OfRecording[Correction]):
    table = schema.correction
    from_row = staticmethod(codec.correction_from)

    def check(self, connection: Connection, value: Correction) -> Correction:
        check_range(value.start_ms, value.end_ms, _recording(connection, value.recording_id).duration_ms)
        return value


class LeftWords(OfRecording[LeftWord]):
    table = schema.left_word
    from_row = staticmethod(codec.left_word_from)


# What a suggestion says of the work; which reed it was may become known later.
_SAID = ("step", "zones", "blade", "side", "symptoms", "quantity", "value", "unit", "zone")


def _said(kind: str, content: dict[str, Any]) -> tuple[Any, ...]:
    """What was proposed: where the maker accepted another step, the first one."""
    proposed = {**content, "step": content.get("changed_from", content.get("step"))}
    return kind, *(proposed.get(name) for name in _SAID)


class Suggestions(OfRecording[Suggestion]):
    table = schema.suggestion
    from_row = staticmethod(codec.suggestion_from)

    def propose(self, recording_id: int, suggestions: Iterable[Suggestion]) -> None:
        """Replace the open suggestions of a recording; what is decided stays, and is not proposed again."""
        table = schema.suggestion
        with self.library.writing() as connection:
            of_it = table.c.recording_id == recording_id
            connection.execute(delete(table).where(of_it, table.c.state == "open"))
            decided = connection.execute(
                select(table.c.kind, table.c.start_ms, table.c.end_ms, table.c.content).where(of_it)
            ).all()
            seen = [(row.start_ms, row.end_ms, _said(row.kind, row.content)) for row in decided]
            for one in suggestions:
                said = _said(one.kind, one.content)
                if any(one.start_ms < end and start < one.end_ms and said == other for start, end, other in seen):
                    continue
                row = {**codec.row_of(one), "recording_id": recording_id, "version": 1}
                row.pop("id")
                connection.execute(insert(table).values(row))

    def open_of(self, recording_id: int) -> list[Suggestion]:
        """What is proposed for a recording and not decided on, in order of time."""
        table = schema.suggestion
        return self.where(table.c.recording_id == recording_id, table.c.state == "open")

    def accepted_recaps(self) -> list[Suggestion]:
        """The recaps that are linked to earlier work, of all recordings; their content names its ``tag_id``."""
        table = schema.suggestion
        found = self.where(table.c.kind == "recap", table.c.state == "accepted")
        return [one for one in found if "tag_id" in one.content]

    def answers(self) -> dict[str, dict[str, Any]]:
        """For each rule, how often it was ``accepted``, ``dismissed``, and ``changed_to`` another step."""
        table = schema.suggestion
        query = select(table.c.rule, table.c.state, table.c.content).where(table.c.state != "open")
        found: dict[str, dict[str, Any]] = {}
        with self.library.reading() as connection:
            for rule, state, content in connection.execute(query):
                counts = found.setdefault(rule, {"accepted": 0, "dismissed": 0, "changed_to": {}})
                if "changed_from" in content:
                    changed = counts["changed_to"]
                    changed[content["step"]] = changed.get(content["step"], 0) + 1
                else:
                    counts[state] += 1
        return found


class Plans(Shelf[Plan]):
    table = schema.plan
    from_row = staticmethod(codec.plan_from)

    def of_reed(self, reed_id: int) -> list[Plan]:
        """What is planned for a reed."""
        return self.where(schema.plan.c.reed_id == reed_id)


class Marks(Shelf[Mark]):
    table = schema.mark
    from_row = staticmethod(codec.mark_from)
    order = ("made_at", "id")


class Lessons(Shelf[Lesson]):
    table = schema.lesson
    from_row = staticmethod(codec.lesson_from)

    def named(self, value: Lesson) -> str:
        """A lesson by its title, cut where it is long."""
        return f"the lesson “{_short(value.title)}”"

    def check(self, connection: Connection, value: Lesson) -> Lesson:
        for number, clip in enumerate(value.clips, 1):
            recording = _recording(connection, clip.recording_id)
            check_range(clip.start_ms, clip.end_ms, recording.duration_ms)
            if clip.still_ms is not None and not 0 <= clip.still_ms < recording.duration_ms:
                raise BadInput("The still lies past the recording", f"clip {number}", "Choose a moment inside it.")
            if clip.before is not None:
                other = _recording(connection, clip.before.recording_id)
                check_range(clip.before.start_ms, clip.before.end_ms, other.duration_ms)
        return value
