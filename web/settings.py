"""What the maker sets: the tuning note, and words of their own."""

from __future__ import annotations

from flask import Blueprint, render_template

from web.context import library

blueprint = Blueprint("settings", __name__)


@blueprint.get("/settings")
def page() -> str:
    """The settings."""
    return render_template("settings.html", folder=str(library().folder))
