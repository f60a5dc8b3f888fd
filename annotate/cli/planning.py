"""Commands for what is to be done next time, and for marks made while filming."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from pathlib import Path
from typing import Any

import click

from annotate.cli.common import TIME, command, note, opened, show
from annotate.cli.moments import tag_text
from annotate.errors import BadInput
from annotate.instants import instant
from annotate.library import Library
from annotate.library.journal import now
from annotate.model import Mark, Plan
from annotate.tagging import DEFAULT_SIGNAL, mark_parts, mark_table
from annotate.vocabulary import vocabulary
from annotate.vocabulary.words import INSTRUMENTS
from annotate.work.clapping import begun_of
from annotate.work.laying import CLAP, lay_down, open_marks


def register(cli: click.Group) -> None:
    """Add the commands."""
    _plans(cli)
    _marks(cli)


def _plans(cli: click.Group) -> None:
    @cli.group()
    def plan() -> None:
        """Plans: what to do to a reed next time."""

    @command(plan, "add")
    @click.argument("reed")
    @click.argument("text")
    def add(folder: Path, as_json: bool, reed: str, text: str) -> None:
        """Note something to do to a reed next time."""
        with opened(folder) as library:
            made = library.plans.add(Plan(text.strip(), library.reeds.by_name(reed).id))
            line = plan_text(library, made)
        show(as_json, made, line)

    @command(plan, "list")
    @click.option("--reed", help="Your id of the reed; else of all.")
    @click.option("--all", "with_done", is_flag=True, help="Those that are done as well.")
    def list_(folder: Path, as_json: bool, reed: str | None, with_done: bool) -> None:
        """What is still to do."""
        with opened(folder) as library:
            found = library.plans.of_reed(library.reeds.by_name(reed).id) if reed else library.plans.all()
            found = [one for one in found if with_done or not one.is_done]
            lines = [plan_text(library, one) for one in found]
        show(as_json, found, lines or "Nothing is planned.")

    @command(plan, "done")
    @click.argument("plan_id", type=int)
    @click.option("--not-yet", is_flag=True, help="It is still to do after all.")
    def done(folder: Path, as_json: bool, plan_id: int, not_yet: bool) -> None:
        """Say that a plan is carried out."""
        _change(folder, as_json, plan_id, is_done=not not_yet)

    @command(plan, "change")
    @click.argument("plan_id", type=int)
    @click.argument("text", required=False)
    @click.option("--reed", help="Your id of the reed it is for.")
    def change(folder: Path, as_json: bool, plan_id: int, text: str | None, reed: str | None) -> None:
        """Say a plan anew, or for which reed it is."""
        given: dict[str, Any] = {} if text is None else {"text": text.strip()}
        if reed:
            with opened(folder) as library:
                given["reed_id"] = library.reeds.by_name(reed).id
        _change(folder, as_json, plan_id, **given)

    @command(plan, "remove")
    @click.argument("plan_id", type=int)
    def remove(folder: Path, as_json: bool, plan_id: int) -> None:
        """Remove a plan; undo brings it back."""
        with opened(folder) as library:
            library.plans.remove(plan_id)
        show(as_json, {"removed": plan_id}, f"Plan {plan_id} is removed; benchreel undo brings it back.")


def _change(folder: Path, as_json: bool, plan_id: int, **given: Any) -> None:
    with opened(folder) as library:
        made = library.plans.change(replace(library.plans.get(plan_id), **given))
        line = plan_text(library, made)
    show(as_json, made, line)


def plan_text(library: Library, plan: Plan) -> str:
    """A plan in one line."""
    reed = library.reeds.get(plan.reed_id).name if plan.reed_id else ""
    return f"{plan.id:>5}  {reed:<12} {plan.text}{' (done)' if plan.is_done else ''}"


def _marks(cli: click.Group) -> None:
    @cli.group()
    def mark() -> None:
        """Marks: moments noted while filming, to be laid on a recording by the clock or by a clap."""

    @command(mark, "spoken")
    @click.option("--instrument", type=click.Choice(INSTRUMENTS), default=INSTRUMENTS[0], show_default=True)
    def spoken(folder: Path, as_json: bool, instrument: str) -> None:
        """How a mark is spoken into the recording: the parts in their order, with your own signal word."""
        with opened(folder) as library:
            signal = library.settings.get().signal_word or DEFAULT_SIGNAL
        words = vocabulary(instrument)
        parts = [
            {"part": name, "is_needed": bool(needed), "said": said} for name, needed, said in mark_parts(signal, words)
        ]
        show(as_json, parts, mark_table(signal, words).rstrip())

    @command(mark, "add")
    @click.argument("step")
    @click.option("--zone", "zones", multiple=True, help="Where; may be given several times.")
    @click.option("--blade", help="up, down or both.")
    @click.option("--side", help="left, right or both, seen from above with the tip pointing away.")
    @click.option("--reed", help="Your id of the reed.")
    @click.option("--note", default="")
    @click.option(
        "--at", "made_at", help="When, such as 2026-03-14T18:30:05 on the clock here, or 18:30:05Z in UTC; else now."
    )
    def add(folder: Path, as_json: bool, step: str, reed: str | None, made_at: str | None, **told: Any) -> None:
        """Note a moment: what is done now, or a clap of the hands by which the marks can be laid."""
        with opened(folder) as library:
            one = library.reeds.by_name(reed) if reed else None
            words = vocabulary(one.instrument if one else "bassoon")
            if step != CLAP:
                words.check("steps", step)
            words.check("zones", told["zones"])
            words.check("blades", told["blade"])
            words.check("sides", told["side"])
            given = Mark(_moment(made_at) if made_at else now(), step, reed_id=one.id if one else None, **told)
            made = library.marks.add(given)
        show(as_json, made, mark_text(made))

    @command(mark, "list")
    def list_(folder: Path, as_json: bool) -> None:
        """The marks that are not laid on a recording yet."""
        with opened(folder) as library:
            found = open_marks(library)
        show(as_json, found, [mark_text(one) for one in found] or "No marks wait.")

    @command(mark, "lay")
    @click.argument("recording_id", type=int)
    @click.option("--later", "later_ms", type=TIME, default=0, help="All marks so much later.")
    @click.option("--earlier", "earlier_ms", type=TIME, default=0, help="All marks so much earlier.")
    def lay(folder: Path, as_json: bool, recording_id: int, later_ms: int, earlier_ms: int) -> None:
        """Make tags of the marks that fall in a recording, laid by a clap that is heard, else by the clock."""
        with opened(folder) as library:
            recording = library.recordings.get(recording_id)
            begun = begun_of(library, recording)
            made = lay_down(library, recording, later_ms - earlier_ms, begun)
        note(begun.told)
        show(as_json, made, [tag_text(tag) for tag in made])

    @command(mark, "remove")
    @click.argument("mark_id", type=int)
    def remove(folder: Path, as_json: bool, mark_id: int) -> None:
        """Remove a mark; undo brings it back."""
        with opened(folder) as library:
            library.marks.remove(mark_id)
        show(as_json, {"removed": mark_id}, f"Mark {mark_id} is removed; benchreel undo brings it back.")


def _moment(text: str) -> str:
    try:
        return instant(text).astimezone(UTC).isoformat(timespec="milliseconds")
    except ValueError:
        raise BadInput("is not a moment", text, "Write it like 2026-03-14T18:30:05.") from None


def mark_text(mark: Mark) -> str:
    """A mark in one line."""
    words = vocabulary("bassoon")
    oboe = vocabulary("oboe")
    zones = ", ".join((words if zone in words.zones else oboe).label("zones", zone) for zone in mark.zones)
    where = " ".join(part for part in (zones, mark.blade, mark.side) if part)
    parts = ["Clap" if mark.step == CLAP else words.label("steps", mark.step), where, mark.note]
    return f"{mark.id:>5}  {mark.made_at}  " + " · ".join(part for part in parts if part)
