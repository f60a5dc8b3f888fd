"""The command line ``benchreel``: everything the pages can do, with ``--json`` for scripts."""

from annotate.cli.main import main

__all__ = ["main"]
