"""Commands that open the pages: serve, demo."""

from __future__ import annotations

from pathlib import Path

import click

from annotate.cli.common import bar, command, opened, show, watch_jobs
from annotate.errors import ToolFailed
from annotate.library import Library
from annotate.work.demo import DemoResult, fill_demo
from annotate.work.engine import Engine
from annotate.work.exporting import put_export

DEFAULT_PORT = 8765


def register(cli: click.Group) -> None:
    """Add the commands."""

    @command(cli, "serve")
    @click.option("--port", type=click.IntRange(0, 65_535), default=DEFAULT_PORT, show_default=True)
    def serve(folder: Path, as_json: bool, port: int) -> None:
        """Open the pages on this machine, and do the waiting work."""
        with opened(folder, create=True) as library:
            _serve(library, port, as_json=as_json)

    @command(cli, "demo", "the usual library's folder with “ demo” added to its name")
    @click.option("--no-serve", is_flag=True, help="End when the lesson is made instead of opening the pages.")
    @click.option("--port", type=click.IntRange(0, 65_535), default=DEFAULT_PORT, show_default=True)
    @click.pass_context
    def demo(context: click.Context, folder: Path, as_json: bool, no_serve: bool, port: int) -> None:
        """Run the whole job on an invented scenario, in a library of its own."""
        if context.get_parameter_source("folder") == click.core.ParameterSource.DEFAULT:
            folder = folder.with_name(folder.name + " demo")
        with opened(folder, create=True) as library:
            done = _demo(library)
            show(as_json, done, _demo_text(library, done, None if no_serve else port))
            if not no_serve:
                _serve(library, port, as_json=as_json)


def _demo(library: Library) -> DemoResult:
    with bar("Adding the demo's recordings") as progress:
        result, jobs = fill_demo(library, progress)
    if jobs:
        titles = {job.id: f"{job.kind} {' '.join(map(str, job.subject.values()))}" for job in jobs}
        _all_done(watch_jobs(library, jobs, titles))
    exports = [put_export(library, library.lessons.get(lesson_id)) for lesson_id in result.lessons]
    ended = watch_jobs(library, exports, {job.id: f"Exporting lesson {job.subject['lesson_id']}" for job in exports})
    _all_done(ended)
    return result.with_exports([{k: str(library.folder / v) for k, v in job.result.items()} for job in ended])


def _all_done(jobs: list) -> None:  # type: ignore[type-arg]
    failed = [job.error for job in jobs if job.state != "done"]
    if failed:
        raise ToolFailed("The demo could not be finished", next_step=" ".join(failed))


def _demo_text(library: Library, done: DemoResult, port: int | None) -> list[str]:
    lines = [f"The demo's library: {library.folder}"]
    lines += [f"  sessions {len(done.sessions)}, reeds {len(done.reeds)}, lessons {len(done.lessons)}"]
    for files in done.exports:
        lines += [f"  {key:<13} {value}" for key, value in files.items()]
    serve = f'benchreel serve --library "{library.folder}"'
    if port is None:
        return [*lines, f"Open its pages with: {serve}"]
    return [*lines, f"The pages: http://127.0.0.1:{port}/ (while this runs; later with: {serve})"]


def _serve(library: Library, port: int, *, as_json: bool) -> None:
    from web.serve import serve  # the pages are loaded only when they are opened

    def ready(address: str) -> None:
        show(as_json, {"address": address}, f"The pages are at {address} (end with Ctrl+C).")

    with Engine(library):
        serve(library, port=port, on_ready=ready)
