"""What every view reaches for: the library of this app, and the token of this run."""

from __future__ import annotations

from dataclasses import dataclass, field

from flask import current_app

from annotate.library.store import Library
from web.incoming import Uploads

EXTENSION = "benchreel"


@dataclass(frozen=True)
class Context:
    """What belongs to one app: its library, the secret that its own pages send back, the files on their way.

    ``stopped`` holds the keys of files that lie in place and are no longer wanted.
    """

    library: Library
    token: str
    uploads: Uploads
    stopped: set[str] = field(default_factory=set)


def context() -> Context:
    """The context of the app that answers now."""
    found: Context = current_app.extensions[EXTENSION]
    return found


def library() -> Library:
    """The library of the app that answers now."""
    return context().library
