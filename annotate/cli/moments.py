"""Commands for what lies on the time of a recording: tags, readings, corrections; and find."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from annotate.cli.common import DAY, TIME, command, note, opened, show
from annotate.errors import BadInput
from annotate.find.question import KINDS, Question
from annotate.library import Library
from annotate.measure import units
from annotate.measure.written import reading_text
from annotate.model import Correction, Reading, Tag
from annotate.timecode import clock, clock_tenths
from annotate.vocabulary import vocabulary

MARKS = str.maketrans({"\x02": "[", "\x03": "]"})


def register(cli: click.Group) -> None:
    """Add the commands."""
    _tags(cli)
    _readings(cli)
    _corrections(cli)
    _find(cli)


def _reed_id(library: Library, name: str | None) -> int | None:
    return library.reeds.by_name(name).id if name else None


def _statement(function: Callable[..., Any]) -> Callable[..., Any]:
    """The options that say what a tag says."""
    for option in (
        click.option("--zone", "zones", multiple=True, help="Where; may be given several times."),
        click.option("--blade", help="up, down or both."),
        click.option("--side", help="left, right or both, seen from above with the tip pointing away."),
        click.option("--reed", help="Your id of the reed."),
        click.option("--symptom", "symptoms", multiple=True, help="What was wrong; may be given several times."),
        click.option("--note"),
    ):
        function = option(function)
    return function


def _told(library: Library, told: dict[str, Any]) -> dict[str, Any]:
    values = {key: value for key, value in told.items() if value not in (None, ())}
    if "reed" in values:
        values["reed_id"] = _reed_id(library, values.pop("reed"))
    return values


def tag_text(tag: Tag) -> str:
    """A tag in one line."""
    words = vocabulary("bassoon")
    oboe = vocabulary("oboe")
    zones = ", ".join((words if zone in words.zones else oboe).label("zones", zone) for zone in tag.zones)
    where = " ".join(part for part in (zones, tag.blade, tag.side) if part)
    symptoms = ", ".join(words.label("symptoms", symptom) for symptom in tag.symptoms)
    parts = [words.label("steps", tag.step), where, symptoms, tag.note]
    span = f"{clock_tenths(tag.start_ms)} to {clock_tenths(tag.end_ms)}"
    return f"{tag.id:>5}  {span}  " + " · ".join(part for part in parts if part)


def _tags(cli: click.Group) -> None:
    @cli.group()
    def tag() -> None:
        """Tags: what was done where, in a stretch of a recording."""

    @command(tag, "add")
    @click.argument("recording_id", type=int)
    @click.argument("start", type=TIME)
    @click.argument("end", type=TIME)
    @click.argument("step")
    @_statement
    def add(folder: Path, as_json: bool, recording_id: int, start: int, end: int, step: str, **told: Any) -> None:
        """Tag a stretch: recording, start, end, step."""
        with opened(folder) as library:
            made = library.tags.add(Tag(recording_id, start, end, step, **_told(library, told)))
        show(as_json, made, tag_text(made))

    @command(tag, "change")
    @click.argument("tag_id", type=int)
    @click.option("--start", "start_ms", type=TIME)
    @click.option("--end", "end_ms", type=TIME)
    @click.option("--step")
    @_statement
    def change(folder: Path, as_json: bool, tag_id: int, **told: Any) -> None:
        """Change a tag."""
        with opened(folder) as library:
            made = library.tags.change(replace(library.tags.get(tag_id), **_told(library, told)))
        show(as_json, made, tag_text(made))

    @command(tag, "remove")
    @click.argument("tag_id", type=int)
    def remove(folder: Path, as_json: bool, tag_id: int) -> None:
        """Remove a tag; undo brings it back."""
        with opened(folder) as library:
            library.tags.remove(tag_id)
        show(as_json, {"removed": tag_id}, f"Tag {tag_id} is removed; benchreel undo brings it back.")

    @command(tag, "list")
    @click.argument("recording_id", type=int)
    def list_(folder: Path, as_json: bool, recording_id: int) -> None:
        """The tags of a recording."""
        with opened(folder) as library:
            library.recordings.get(recording_id)
            found = library.tags.of_recording(recording_id)
        show(as_json, found, [tag_text(one) for one in found] or "No tags yet.")


def _readings(cli: click.Group) -> None:
    @cli.group()
    def reading() -> None:
        """Readings: what was measured."""

    @command(reading, "add")
    @click.argument("quantity")
    @click.argument("value")
    @click.argument("unit", default="")
    @click.option("--tag", "tag_id", type=int)
    @click.option("--recording", "recording_id", type=int)
    @click.option("--at", "at_ms", type=TIME)
    @click.option("--reed")
    @click.option("--zone")
    @click.option("--blade")
    @click.option("--side")
    @click.option("--place", "place_note", help="The place said finer, such as '10 mm from the tip'.")
    @click.option("--moisture", type=click.Choice(["wet", "dry"]))
    @click.option("--tool", help="The measuring instrument.")
    @click.option("--uncertainty", type=str)
    @click.option("--date", "taken_on", type=DAY)
    @click.option("--note")
    def add(folder: Path, as_json: bool, quantity: str, value: str, unit: str, **told: Any) -> None:
        """Add a reading: quantity, value, unit (such as: tip_opening 1.6 mm)."""
        with opened(folder) as library:
            values = _told(library, told)
            if "uncertainty" in values:
                values["uncertainty"] = units.number(values["uncertainty"])
            fitting = units.unit_for(quantity, unit, value)
            made = library.readings.add(Reading(quantity, units.number(value), fitting, **values))
            told_as = reading_line(library, made)
        show(as_json, made, told_as)
        if made.reed_id is None:
            note(f"reading {made.id} is of no reed, so that no reed's page shows it; name one with --reed or --tag.")

    @command(reading, "change")
    @click.argument("reading_id", type=int)
    @click.option("--value")
    @click.option("--unit", default="")
    @click.option("--zone")
    @click.option("--place", "place_note", help="The place said finer, such as '10 mm from the tip'.")
    @click.option("--moisture", type=click.Choice(["wet", "dry"]))
    @click.option("--tool", help="The measuring instrument.")
    @click.option("--note")
    def change(folder: Path, as_json: bool, reading_id: int, value: str | None, unit: str, **told: Any) -> None:
        """Change a reading."""
        with opened(folder) as library:
            old = library.readings.get(reading_id)
            values = _told(library, told)
            if value is not None:
                values["value"] = units.number(value)
            if unit:
                values["unit"] = units.unit_for(old.quantity, unit)
            made = library.readings.change(replace(old, **values))
            told_as = reading_line(library, made)
        show(as_json, made, told_as)

    @command(reading, "list")
    @click.option("--reed")
    @click.option("--session", "session_id", type=int)
    def list_(folder: Path, as_json: bool, reed: str | None, session_id: int | None) -> None:
        """Readings: all, of a reed, or of a session."""
        with opened(folder) as library:
            if reed:
                found = library.readings.of_reed(library.reeds.by_name(reed).id)
            elif session_id is not None:
                found = library.readings.of_session(library.sessions.get(session_id).id)
            else:
                found = library.readings.all()
            told_as = [reading_line(library, one) for one in found]
        show(as_json, found, told_as or "No readings yet.")

    @command(reading, "remove")
    @click.argument("reading_id", type=int)
    def remove(folder: Path, as_json: bool, reading_id: int) -> None:
        """Remove a reading; undo brings it back."""
        with opened(folder) as library:
            library.readings.remove(reading_id)
        show(as_json, {"removed": reading_id}, f"Reading {reading_id} is removed; benchreel undo brings it back.")


def reading_line(library: Library, reading: Reading) -> str:
    """A reading in one line, with its number and day."""
    text = reading_text(reading, library.reeds.words(reading.reed_id))
    return f"{reading.id:>5}  {reading.taken_on or '':10}  {text}" + (f", {reading.note}" if reading.note else "")


def _corrections(cli: click.Group) -> None:
    @cli.group()
    def correction() -> None:
        """Corrections: what was said wrongly, and what is right."""

    @command(correction, "add")
    @click.argument("recording_id", type=int)
    @click.argument("start", type=TIME)
    @click.argument("end", type=TIME)
    @click.option("--said", default="", help="What was said.")
    @click.option("--right", required=True, help="What is right.")
    def add(folder: Path, as_json: bool, recording_id: int, start: int, end: int, said: str, right: str) -> None:
        """Set right what was said in a stretch of a recording."""
        with opened(folder) as library:
            made = library.corrections.add(Correction(recording_id, start, end, said, right))
        show(as_json, made, correction_text(made))

    @command(correction, "change")
    @click.argument("correction_id", type=int)
    @click.option("--said", help="What was said.")
    @click.option("--right", help="What is right.")
    def change(folder: Path, as_json: bool, correction_id: int, **told: Any) -> None:
        """Change a correction."""
        with opened(folder) as library:
            old = library.corrections.get(correction_id)
            made = library.corrections.change(replace(old, **_told(library, told)))
        show(as_json, made, correction_text(made))

    @command(correction, "list")
    @click.argument("recording_id", type=int)
    def list_(folder: Path, as_json: bool, recording_id: int) -> None:
        """The corrections of a recording."""
        with opened(folder) as library:
            library.recordings.get(recording_id)
            found = library.corrections.of_recording(recording_id)
        show(as_json, found, [correction_text(one) for one in found] or "No corrections yet.")

    @command(correction, "remove")
    @click.argument("correction_id", type=int)
    def remove(folder: Path, as_json: bool, correction_id: int) -> None:
        """Remove a correction; undo brings it back."""
        with opened(folder) as library:
            library.corrections.remove(correction_id)
        show(
            as_json,
            {"removed": correction_id},
            f"Correction {correction_id} is removed; benchreel undo brings it back.",
        )


def correction_text(one: Correction) -> str:
    """A correction in one line."""
    return f"{one.id:>5}  {clock(one.start_ms)}  said “{one.said}”, right: {one.right}"


def _find(cli: click.Group) -> None:
    @command(cli, "find")
    @click.argument("words", nargs=-1)
    @click.option("--reed")
    @click.option("--step")
    @click.option("--zone")
    @click.option("--blade")
    @click.option("--side")
    @click.option("--symptom")
    @click.option("--kind", "kinds", multiple=True, type=click.Choice(KINDS))
    @click.option("--since", type=DAY, help="From this day on.")
    @click.option("--until", type=DAY, help="Up to this day.")
    @click.option("--limit", type=int, default=100, show_default=True)
    def find(folder: Path, as_json: bool, words: tuple[str, ...], reed: str | None, **asked: Any) -> None:
        """Find moments by words, reed, step, zone or symptom."""
        with opened(folder) as library:
            reed_id = _reed_id(library, reed)
            try:
                question = Question(" ".join(words), reed_id=reed_id, **asked)
            except BadInput as error:  # days that are the wrong way round
                raise click.UsageError(str(error)) from error
            if question.is_empty:
                raise click.UsageError("Say what to look for: words, or one of the options.")
            hits = library.find(question)
        lines = []
        for hit in hits:
            at = clock(hit.start_ms) if hit.start_ms is not None else ""
            where = f"session {hit.session_id}" if hit.session_id else ""
            lines.append(f"{hit.date or '':10}  {where:<11} {at:>7}  {hit.kind:<10} {hit.snippet.translate(MARKS)}")
        show(as_json, hits, lines or "Nothing found.")
