"""Commands for reeds."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from annotate.cli.common import DAY, command, note, opened, plain, show
from annotate.formats import card_sheet
from annotate.intake.parts import check_free, written_whole
from annotate.library.removing import remove_reed
from annotate.measure import units
from annotate.model import REED_STATES, Reed
from annotate.timecode import clock
from annotate.vocabulary import vocabulary
from annotate.vocabulary.counted import counted
from annotate.vocabulary.words import INSTRUMENTS


def register(cli: click.Group) -> None:
    """Add the commands."""

    @cli.group()
    def reed() -> None:
        """The reeds and their histories."""

    @command(reed, "add")
    @click.argument("name")
    @click.option("--instrument", type=click.Choice(INSTRUMENTS), default="bassoon", show_default=True)
    @click.option("--state", type=click.Choice(REED_STATES), default="in_progress", show_default=True)
    @click.option("--made-on", type=DAY, help="Day it was made, year-month-day.")
    @click.option("--note", default="")
    def add(
        folder: Path, as_json: bool, name: str, instrument: str, state: str, made_on: str | None, note: str
    ) -> None:
        """Add a reed under your own id."""
        with opened(folder, create=True) as library:
            made = library.reeds.add(Reed(name, instrument, state, made_on, note))
        show(as_json, made, f"Reed {made.name} ({made.instrument}) is in the library.")

    @command(reed, "list")
    @click.option("--state", type=click.Choice(REED_STATES))
    def list_(folder: Path, as_json: bool, state: str | None) -> None:
        """All reeds, or those of one state."""
        with opened(folder) as library:
            found = [reed for reed in library.reeds.all() if state in (None, reed.state)]
        show(
            as_json,
            found,
            [f"{reed.name:<16} {reed.instrument:<8} {_state(reed)}" for reed in found] or "No reeds yet.",
        )

    @command(reed, "change")
    @click.argument("name")
    @click.option("--name", "new_name", help="A new id.")
    @click.option("--state", type=click.Choice(REED_STATES))
    @click.option("--note")
    def change(
        folder: Path, as_json: bool, name: str, new_name: str | None, state: str | None, note: str | None
    ) -> None:
        """Change a reed's id, state or note."""
        given: dict[str, Any] = {"name": new_name, "state": state, "note": note}
        with opened(folder) as library:
            old = library.reeds.by_name(name)
            made = library.reeds.change(
                replace(old, **{key: value for key, value in given.items() if value is not None})
            )
        show(as_json, made, f"Reed {made.name} is {_state(made)}.")

    @command(reed, "remove")
    @click.argument("name")
    def remove(folder: Path, as_json: bool, name: str) -> None:
        """Remove a reed that nothing refers to; undo brings it back."""
        with opened(folder) as library:
            gone = remove_reed(library, library.reeds.by_name(name).id)
        show(as_json, {"removed": gone.id}, f"Reed {gone.name} is removed; benchreel undo brings it back.")

    @command(cli, "cards")
    @click.argument("names", nargs=-1)
    @click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
    @click.option("--out", type=click.Path(path_type=Path), default=Path("reed-cards.pdf"), show_default=True)
    @click.option("--replace", "replaces", is_flag=True, help="Also where such a file is.")
    def cards(
        folder: Path, as_json: bool, names: tuple[str, ...], paper: card_sheet.Paper, out: Path, replaces: bool
    ) -> None:
        """Print a sheet of reed cards (PDF): of the reeds named, or of all that are not retired."""
        with opened(folder) as library:
            found = [library.reeds.by_name(name) for name in names]
            found = found or [one for one in library.reeds.all() if one.state != "retired"]
        sheet = card_sheet.write([card_sheet.Card(one.name, one.instrument) for one in found], paper)
        check_free(out, replaces=replaces)
        with written_whole(out) as part:
            part.write_bytes(sheet)
        for one in found:
            if missing := card_sheet.missing_letters(one.name):
                note(f"the card of “{one.name}” shows boxes for {missing}: no font here has them. Its code is whole.")
        are_in = counted(len(found), "card is", "cards are")
        show(as_json, {"cards": [one.name for one in found], "file": out}, f"{are_in} in {out}.")

    @command(reed, "show")
    @click.argument("name")
    def show_(folder: Path, as_json: bool, name: str) -> None:
        """What was done to a reed, day by day, and what it measured."""
        with opened(folder) as library:
            one = library.reeds.by_name(name)
            tags, readings = library.tags.of_reed(one.id), library.readings.of_reed(one.id)
            places = library.recordings.in_time()
        words = vocabulary(one.instrument)
        lines = [f"{one.name}: {one.instrument}, {_state(one)}"]
        for tag in tags:
            zones = ", ".join(words.label("zones", zone) for zone in tag.zones)
            lines.append(
                f"{places[tag.recording_id][0]} {clock(tag.start_ms):>7}  {words.label('steps', tag.step)}  {zones}"
            )
        for reading in readings:
            label = units.quantity(reading.quantity).label
            lines.append(
                f"{reading.taken_on or '':10}          {label}: {units.both_lengths(reading.value, reading.unit)}"
            )
        show(as_json, {"reed": plain(one), "tags": plain(tags), "readings": plain(readings)}, lines)


def _state(reed: Reed) -> str:
    return reed.state.replace("_", " ")
