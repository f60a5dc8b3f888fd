"""The one store: a folder with one SQLite file. The only room that speaks SQL."""

from annotate.library.store import Library

__all__ = ["Library"]
