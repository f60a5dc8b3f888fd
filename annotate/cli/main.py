"""Entry of the command line: gathers the commands, turns errors into one sentence and an exit code.

Exit codes: 0 done; 1 could not be done (the sentence says why); 2 the words of
the call are off; 130 stopped by the user.
"""

from __future__ import annotations

import json
import os
import sys

import click

from annotate import __version__
from annotate.cli import (
    choosing,
    hearing,
    keeping,
    lessons,
    lines,
    moments,
    open_forms,
    pages,
    planning,
    recordings,
    reeds,
    sessions,
    working,
)
from annotate.errors import BenchreelError

EXIT_FAILED, EXIT_USAGE, EXIT_STOPPED = 1, 2, 130


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="benchreel")
def cli() -> None:
    """Recordings of a reed maker's bench become a record of every reed, and lessons.

    The library is the folder given with --library, or in BENCHREEL_LIBRARY, or
    "Benchreel" in your documents. Every command knows --help and --json.
    """


for room in (
    *(keeping, choosing, sessions, recordings, lines, reeds, planning),
    *(moments, open_forms, lessons, working, hearing, pages),
):
    room.register(cli)


def main(arguments: list[str] | None = None) -> None:
    """Run the command line and leave with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    sys.exit(_run(sys.argv[1:] if arguments is None else arguments))


def _run(arguments: list[str]) -> int:
    try:
        code = cli.main(arguments, prog_name="benchreel", standalone_mode=False)
    except BenchreelError as error:
        _say(error, as_json="--json" in arguments)
        return EXIT_FAILED
    except click.UsageError as error:
        error.show()
        return EXIT_USAGE
    except (click.Abort, KeyboardInterrupt):
        click.echo("benchreel: stopped.", err=True)
        return EXIT_STOPPED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except OSError as error:
        name = f"{error.filename}: " if error.filename else ""
        click.echo(f"benchreel: {name}{error.strerror or error}.", err=True)
        return EXIT_FAILED
    except Exception as error:
        if os.environ.get("BENCHREEL_TRACE"):
            raise
        what = f"something unexpected happened ({type(error).__name__}: {error})"
        click.echo(f"benchreel: {what}. BENCHREEL_TRACE=1 shows where; please report it.", err=True)
        return EXIT_FAILED
    else:
        return code if isinstance(code, int) else 0
    return 0


def _say(error: BenchreelError, *, as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps({"error": error.data()}, ensure_ascii=False, default=str))
    click.echo(f"benchreel: {error}", err=True)
