"""Commands for scripts: hear a file, read sentences, without touching a library."""

from __future__ import annotations

import click


def register(cli: click.Group) -> None:
    """Add the commands."""
