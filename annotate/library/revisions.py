"""The revisions of the tables that this version knows."""

from __future__ import annotations

from pathlib import Path

from alembic.config import Config
from alembic.script import ScriptDirectory


def config() -> Config:
    """What Alembic needs to know to find our migrations."""
    made = Config()
    made.set_main_option("script_location", str(Path(__file__).with_name("migrations")))
    return made


def known_revisions() -> frozenset[str]:
    """Every revision that can be brought up to date."""
    return frozenset(script.revision for script in ScriptDirectory.from_config(config()).walk_revisions())


def newest_revision() -> str | None:
    """The revision that this version works with."""
    return ScriptDirectory.from_config(config()).get_current_head()
