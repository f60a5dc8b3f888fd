"""What every command shares: the library option, the JSON option, printing, and reading of times and names."""

from __future__ import annotations

import dataclasses
import json
import os
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any, NoReturn

import click
import platformdirs
from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

from annotate import timecode
from annotate.errors import BadInput, BadTime
from annotate.library import Library
from annotate.model import Job, check_day
from annotate.work.engine import run_jobs


def default_library() -> Path:
    """Where the library is when nobody says."""
    named = os.environ.get("BENCHREEL_LIBRARY")
    return Path(named) if named else Path(platformdirs.user_documents_dir()) / "Benchreel"


USUAL_LIBRARY = "BENCHREEL_LIBRARY, else Benchreel in your documents"


def command(
    group: click.Group, name: str, usual_library: str = USUAL_LIBRARY
) -> Callable[[Callable[..., Any]], click.Command]:
    """Register a command that takes ``--library`` and ``--json`` (as ``folder`` and ``as_json``)."""

    def wrap(function: Callable[..., Any]) -> click.Command:
        for option in (
            click.option("--json", "as_json", is_flag=True, help="Print the result as JSON."),
            click.option(
                "--library",
                "folder",
                type=click.Path(path_type=Path),
                default=default_library,
                show_default=usual_library,
                help="The library's folder.",
            ),
        ):
            function = option(function)
        return group.command(name)(function)

    return wrap


class TimeText(click.ParamType[int]):
    """A time such as ``1:23.4``, as milliseconds."""

    name = "time"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        if isinstance(value, int):
            return value
        try:
            return timecode.parse(str(value))
        except BadTime as error:
            self.fail(str(error), param, ctx)


TIME = TimeText()


class DayText(click.ParamType[str]):
    """A day such as ``2026-03-14``, as it is stored."""

    name = "day"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        try:
            check_day(str(value))
        except BadInput as error:
            self.fail(str(error), param, ctx)
        return str(value)


DAY = DayText()


@contextmanager
def opened(folder: Path, *, create: bool = False) -> Iterator[Library]:
    """The library of a command."""
    with Library.open(folder, create=create) as library:
        yield library


def plain(value: Any) -> Any:
    """Any value of ours as JSON can hold it: decimals as numbers, fractions as text, tuples as lists."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    if isinstance(value, Fraction | Path):
        return str(value)
    return value


def show(as_json: bool, value: Any, lines: Iterable[str] | str) -> None:
    """Print a result: as JSON, or as lines for reading."""
    if as_json:
        click.echo(json.dumps(plain(value), ensure_ascii=False, indent=2))
    else:
        for line in [lines] if isinstance(lines, str) else lines:
            click.echo(line)


def note(sentence: str) -> None:
    """Say something beside the result."""
    click.echo(f"benchreel: {sentence}", err=True)


def fail(*sentences: str) -> NoReturn:
    """End with exit code 1 after a result was shown; the sentences go to the error output."""
    for sentence in sentences:
        click.echo(f"benchreel: {sentence}", err=True)
    raise click.exceptions.Exit(1)


@contextmanager
def bar(title: str) -> Iterator[Callable[[float], None]]:
    """A progress bar on the error output, for work of this process; shown once there is progress."""
    progress = _progress()
    row = progress.add_task(title, total=1.0)

    def update(fraction: float) -> None:
        progress.start()
        progress.update(row, completed=fraction)

    try:
        yield update
    finally:
        if progress.live.is_started:
            progress.stop()


def watch_jobs(library: Library, jobs: list[Job], titles: dict[int, str]) -> list[Job]:
    """Run jobs in the foreground with a bar each; gives them as they ended."""
    with _progress() as progress:
        rows = {job.id: progress.add_task(titles[job.id], total=1.0) for job in jobs}

        def update(now: list[Job]) -> None:
            for job in now:
                words = {"done": "done", "failed": "failed", "cancelled": "cancelled"}.get(job.state, job.message)
                text = f"{titles[job.id]}: {words}" if words else titles[job.id]
                progress.update(rows[job.id], completed=job.progress, description=text)

        return run_jobs(library, [job.id for job in jobs], update)


def _progress() -> Progress:
    return Progress(
        TextColumn("{task.description}", markup=False),
        BarColumn(bar_width=24),
        TextColumn("{task.percentage:>3.0f} %"),
        TimeRemainingColumn(),
        console=Console(stderr=True),
    )
