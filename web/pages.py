"""Every blueprint of the app, in one place."""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec

from flask import Flask

from web import words
from web.context import context

BLUEPRINTS = (
    "web.media",
    "web.uploads",
    "web.undo",
    "web.sessions",
    "web.sessions_api",
    "web.diary",
    "web.diary_api",
    "web.diary_lines",
    "web.diary_doubts",
    "web.diary_words",
    "web.sounds",
    "web.marks",
    "web.reeds",
    "web.reeds_api",
    "web.find",
    "web.lessons",
    "web.lessons_api",
    "web.lesson_choices",
    "web.clip_export",
    "web.whole",
    "web.looking",
    "web.lesson_earlier",
    "web.work",
    "web.settings",
    "web.open_forms",
    "web.spoken_marks",
)


def register(app: Flask) -> None:
    """Register every page, and what every template may use."""
    for name in BLUEPRINTS:
        if find_spec(name):
            app.register_blueprint(import_module(name).blueprint)
    words.register(app)
    app.jinja_env.globals["page_token"] = lambda: context().token
