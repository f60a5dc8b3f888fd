"""The command line ``benchreel``: the whole job without the pages, with ``--json`` for scripts."""

from annotate.cli.main import main

__all__ = ["main"]
