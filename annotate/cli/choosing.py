"""Commands for what the maker sets once for the whole library."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from annotate.cli.common import command, opened, show
from annotate.library.settings import Choices, check_language
from annotate.tagging import DEFAULT_SIGNAL, check_signal


def register(cli: click.Group) -> None:
    """Add the commands."""

    @cli.group()
    def settings() -> None:
        """Settings: the tuning note, words of your own, the signal word, the language."""

    @command(settings, "show")
    def show_(folder: Path, as_json: bool) -> None:
        """What is set."""
        with opened(folder) as library:
            choices = library.settings.get()
        show(as_json, choices, settings_text(choices))

    @command(settings, "change")
    @click.option("--a4", "a4_hz", type=float, help="Your A4 in Hz, 400 to 480.")
    @click.option("--own-word", "own_words", multiple=True, help="Replaces the list; may be given several times.")
    @click.option("--no-own-words", is_flag=True, help="Empties the list.")
    @click.option("--signal-word", help=f"Begins a spoken mark; empty: the usual one, {DEFAULT_SIGNAL}.")
    @click.option("--language", help="A code such as en; empty: told for each recording.")
    def change(folder: Path, as_json: bool, own_words: tuple[str, ...], no_own_words: bool, **told: Any) -> None:
        """Change settings; they hold for what is heard from now on."""
        given = {name: value for name, value in told.items() if value is not None}
        if given.get("signal_word"):
            given["signal_word"] = check_signal(given["signal_word"])
        if "language" in given:
            given["language"] = check_language(given["language"])
        if own_words or no_own_words:
            given["own_words"] = tuple(word.strip() for word in own_words)
        with opened(folder) as library:
            choices = replace(library.settings.get(), **given)
            library.settings.put(choices)
        show(as_json, choices, settings_text(choices))


def settings_text(choices: Choices) -> list[str]:
    """The settings, one a line."""
    return [
        f"A4            {choices.a4_hz:g} Hz",
        f"Signal word   {choices.signal_word or DEFAULT_SIGNAL}",
        f"Language      {choices.language or 'told for each recording'}",
        f"Own words     {', '.join(choices.own_words) or 'none'}",
    ]
