"""The kinds of long work, and the function that does each."""

from __future__ import annotations

from collections.abc import Callable

from annotate.errors import NotFound
from annotate.library import Library
from annotate.model import Job
from annotate.work.report import Report

Task = Callable[[Library, Job, Report], dict[str, str]]


def task(kind: str) -> Task:
    """The function for a kind of work. Each is loaded only when it is needed: some bring large libraries."""
    if kind == "prepare":
        from annotate.work.preparing import prepare

        return prepare
    if kind == "listen":
        from annotate.work.listening import listen

        return listen
    if kind == "export":
        from annotate.work.exporting import export

        return export
    if kind == "look":
        from annotate.work.finding import look

        return look
    raise NotFound(f"There is no work of the kind {kind}")
