"""Commands for what the program hears and proposes: listen to a file, read sentences, decide on suggestions."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import click

from annotate.cli.common import bar, command, note, opened, plain, show
from annotate.errors import BadInput
from annotate.library import Library
from annotate.measure.tuning import cents_text, check_a4, shown
from annotate.model import Suggestion
from annotate.tagging.lexicon import lexicon
from annotate.tagging.understand import understand
from annotate.tagging.values import as_json as label_json
from annotate.timecode import clock
from annotate.vocabulary.words import INSTRUMENTS
from annotate.work import deciding, suggesting


def register(cli: click.Group) -> None:
    """Add the commands."""
    _listen(cli)
    _suggest(cli)
    _decide(cli)


def _listen(cli: click.Group) -> None:
    @command(cli, "listen")
    @click.argument("file", type=click.Path(path_type=Path))
    @click.option("--a4", "a4_hz", type=float, default=440.0, show_default=True, help="Your A4 in Hz, 400 to 480.")
    @click.option("--language", help="Language code; else it is detected.")
    def listen(folder: Path, as_json: bool, file: Path, a4_hz: float, language: str | None) -> None:
        """Hear any media file: sounds, notes, crows and words. No library is touched."""
        from annotate.work.hearing import hear_file

        check_a4(a4_hz)  # before minutes of listening
        with bar(f"Listening to {file.name}") as progress:
            heard = hear_file(file, a4_hz=a4_hz, language=language, progress=progress, say=note)
        measured = zip(heard.sounds, heard.measures, strict=True)
        text = [f"{clock(sound.start_ms):>7}  [{sound.kind}]{_pitches(measures)}" for sound, measures in measured]
        text += [f"{clock(line.start_ms):>7}  {line.text}" for line in heard.lines]
        show(as_json, heard.as_data(), text or "Nothing was heard.")


def _pitches(measures: dict[str, Any]) -> str:
    """The pitches of the notes of a sound, or the lowest of a crow; the other numbers are in the JSON."""
    told = [f"{shown(note['note'])} {cents_text(note['cents'])}" for note in measures.get("notes", ())]
    if crow := measures.get("crow"):
        told.append(f"lowest {shown(crow['lowest']['note'])} {cents_text(crow['lowest']['cents'])}")
    return f" {', '.join(told)}" if told else ""


def _sentences(file: Path) -> Iterator[tuple[Any, str]]:
    """Id and text of each line of a JSON Lines file."""
    for number, line in enumerate(file.read_text("utf-8").splitlines(), 1):
        if not line.strip():
            continue
        try:
            told = json.loads(line)
            yield told["id"], str(told["text"])
        except (ValueError, KeyError, TypeError):
            form = '{"id": 1, "text": "…"}'
            raise BadInput(f"line {number} is not of the form {form}", file.name, "One such object a line.") from None


def _suggest(cli: click.Group) -> None:
    @command(cli, "suggest")
    @click.option("--lines", "file", type=click.Path(path_type=Path), help="JSON Lines, each with id and text.")
    @click.option("--session", "session_id", type=int, help="The suggestions of a session.")
    @click.option("--instrument", type=click.Choice(INSTRUMENTS), help="Whose zones are said; both when not given.")
    def suggest(folder: Path, as_json: bool, file: Path | None, session_id: int | None, instrument: str | None) -> None:
        """Propose tags, readings and plans from sentences, or for a session."""
        if (file is None) == (session_id is None):
            raise click.UsageError("Give either --lines or --session.")
        if file is not None:
            words = lexicon(instrument)
            for line_id, text in _sentences(file):
                # One object a line, as they came, whether JSON is asked for or not: there is no shorter form.
                click.echo(json.dumps(label_json(line_id, understand(text, None, words)), ensure_ascii=False))
            return
        with opened(folder) as library:
            session = library.sessions.get(session_id or 0)
            made = [one for r in library.recordings.of_session(session.id) for one in suggesting.suggest(library, r)]
        show(as_json, made, [suggestion_text(one) for one in made] or "Nothing to propose.")


def _told_again(library: Library, made: Sequence[object]) -> list[str]:
    """The earlier work that accepted recaps were linked to, one a line."""
    lines = []
    for one in made:
        if isinstance(one, deciding.ToldAgain):
            recording = library.recordings.get(one.tag.recording_id)
            day = library.sessions.get(recording.session_id).date
            lines.append(
                f"Told again: {one.tag.step}, {day}, {recording.name} {clock(one.tag.start_ms)}, tag {one.tag.id}"
            )
    return lines


def suggestion_text(one: Suggestion) -> str:
    """A suggestion in one line."""
    content = one.content
    if one.kind == "reading":
        what = f"{content['quantity']} {content['value']} {content['unit']}"
    else:
        parts = [content["step"], *content["zones"], content["blade"], content["side"], *content["symptoms"]]
        what = " ".join(part for part in parts if part)
    return f"{one.id:>5}  {clock(one.start_ms):>7}  {one.kind:<8} {what}  ({one.confidence:.2f}: “{one.evidence}”)"


def _decide(cli: click.Group) -> None:
    @command(cli, "accept")
    @click.argument("suggestion_ids", type=int, nargs=-1)
    @click.option("--session", "session_id", type=int, help="All open suggestions of this session ...")
    @click.option(
        "--above",
        type=click.FloatRange(0, 1),
        default=0.8,
        show_default=True,
        help="... with at least this confidence, from 0 to 1.",
    )
    def accept(
        folder: Path, as_json: bool, suggestion_ids: tuple[int, ...], session_id: int | None, above: float
    ) -> None:
        """Make suggestions your own statements."""
        if not suggestion_ids and session_id is None:
            raise click.UsageError("Say which suggestions: by their numbers, or all of a --session.")
        with opened(folder) as library:
            chosen = [library.suggestions.get(one) for one in suggestion_ids]
            if session_id is not None:
                found = library.recordings.of_session(library.sessions.get(session_id).id)
                waiting = [one for recording in found for one in suggesting.open_ones(library, recording.id)]
                chosen += [one for one in waiting if one.confidence >= above]
            made = deciding.accept_all(library, chosen) if chosen else []
            text = [f"Accepted {len(made)}.", *_told_again(library, made)]
        if left := len(chosen) - len(made):
            text.append(f"Left open: {left} told again from earlier; no earlier tag of that work was found.")
        show(as_json, [plain(one) for one in made], text)

    @command(cli, "dismiss")
    @click.argument("suggestion_ids", type=int, nargs=-1, required=True)
    def dismiss(folder: Path, as_json: bool, suggestion_ids: tuple[int, ...]) -> None:
        """Put suggestions away; they are not proposed again."""
        with opened(folder) as library:
            gone = [deciding.dismiss(library, library.suggestions.get(one)) for one in suggestion_ids]
        show(as_json, gone, f"Dismissed {len(gone)}.")
