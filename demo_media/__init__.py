"""The invented scenario that the demo runs on, as data and media. See README.md beside this file."""

from __future__ import annotations

import json
import tomllib
from decimal import Decimal
from importlib import resources
from pathlib import Path
from typing import Any


def _read(name: str) -> str:
    return resources.files("demo_media").joinpath(name).read_text("utf-8")


def scenario() -> dict[str, Any]:
    """What the maker of the scenario would enter: instruments, reeds, sessions, lessons; fractions as Decimal."""
    return tomllib.loads(_read("scenario.toml"), parse_float=Decimal)


def truth() -> dict[str, Any]:
    """What is said and heard when, per media file, as it was made."""
    found: dict[str, Any] = json.loads(_read("truth.json"))
    return found


def media_path(name: str) -> Path:
    """The path of one media file of the scenario."""
    path = Path(str(resources.files("demo_media").joinpath(name)))
    if not path.is_file():
        raise FileNotFoundError(f"The demo scenario has no file named {name!r}.")
    return path
