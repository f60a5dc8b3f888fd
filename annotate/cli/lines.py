"""Commands that change the lines of a recording or session."""

from __future__ import annotations

from pathlib import Path

import click

from annotate.cli.common import command, opened, show
from annotate.errors import BadInput, NotFound
from annotate.formats import transcript
from annotate.model import Line
from annotate.timecode import clock
from annotate.vocabulary.counted import counted
from annotate.work import doubting
from annotate.work.bringing import bring
from annotate.work.replacing import Search, changes, replace_all


def register(cli: click.Group) -> None:
    """Add the commands."""
    _bring(cli)
    _change(cli)
    _strike_out(cli)
    _replace(cli)
    _doubts(cli)


def line_text(line: Line) -> str:
    """A line in one line."""
    return f"{line.id:>5}  {clock(line.start_ms):>7}  {line.text}"


def _bring(cli: click.Group) -> None:
    @command(cli, "bring-lines")
    @click.argument("recording_id", type=int)
    @click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
    def bring_lines(folder: Path, as_json: bool, recording_id: int, file: Path) -> None:
        """Bring in a transcript (WebVTT, SubRip, text with times) in place of the lines you have not changed."""
        with opened(folder) as library:
            recording = library.recordings.get(recording_id)
            cues = transcript.read(transcript.decoded(file.read_bytes()), recording.duration_ms)
            brought = bring(library, recording_id, cues)
        show(as_json, brought, brought.told)


def _change(cli: click.Group) -> None:
    @command(cli, "change-line")
    @click.argument("line_id", type=int)
    @click.argument("text")
    def change_line(folder: Path, as_json: bool, line_id: int, text: str) -> None:
        """Write a line anew: what was heard is kept, words that stay keep their times, corrections are learned."""
        text = " ".join(text.split())
        if not text:
            raise BadInput("The line is empty", next_step="Write what is said, or use strike-out-line.")
        with opened(folder) as library:
            old = library.lines.get(line_id)
            made = library.lines.change(doubting.rewritten(old, text))
            doubting.learn(library, old.text, text)
        show(as_json, made, line_text(made))


def _strike_out(cli: click.Group) -> None:
    @command(cli, "strike-out-line")
    @click.argument("line_id", type=int)
    def strike_out_line(folder: Path, as_json: bool, line_id: int) -> None:
        """Strike out a line where nobody spoke: it is not heard there again; undo brings it back."""
        with opened(folder) as library:
            gone = library.lines.strike_out(library.lines.get(line_id))
        show(as_json, gone, f"Line {line_id} is struck out.")


def _replace(cli: click.Group) -> None:
    @command(cli, "replace")
    @click.argument("session_id", type=int)
    @click.argument("sought")
    @click.argument("replacement")
    @click.option("--parts-of-words", is_flag=True, help="Inside of words as well.")
    @click.option("--same-capitals", is_flag=True, help="Only where the capitals are the same.")
    @click.option("--preview", is_flag=True, help="Only show what it would do.")
    def replace(
        folder: Path,
        as_json: bool,
        session_id: int,
        sought: str,
        replacement: str,
        parts_of_words: bool,
        same_capitals: bool,
        preview: bool,
    ) -> None:
        """Replace words in all lines of a session."""
        search = Search(sought, replacement, whole_words=not parts_of_words, same_capitals=same_capitals)
        with opened(folder) as library:
            if preview:
                found = changes(library, session_id, search)
                lines = [f"{one.line.id:>5}  {one.line.text}\n       {one.text}" for one in found]
                show(as_json, found, lines or "Found nowhere.")
                return
            made = replace_all(library, session_id, search)
        show(as_json, made, f"Replaced on {counted(len(made), 'line')}." if made else "Found nowhere.")


def _doubts(cli: click.Group) -> None:
    @cli.group()
    def doubt() -> None:
        """Doubtful words: words that may have been misheard."""

    @command(doubt, "list")
    @click.argument("session_id", type=int)
    def list_(folder: Path, as_json: bool, session_id: int) -> None:
        """What is doubtful in the lines of a session."""
        with opened(folder) as library:
            library.sessions.get(session_id)
            found = doubting.doubts_of_session(library, session_id)
        lines = [
            f"{one.line.id:>5}  {clock(one.line.start_ms):>7}  {one.doubt.heard} → {one.doubt.proposed}"
            f"  ({one.doubt.reason})"
            for one in found
        ]
        show(as_json, found, lines or "Nothing is doubtful.")

    @command(doubt, "accept")
    @click.argument("session_id", type=int)
    @click.argument("heard")
    @click.argument("proposed")
    @click.option("--line", "line_id", type=int, help="Only in this line.")
    def accept(folder: Path, as_json: bool, session_id: int, heard: str, proposed: str, line_id: int | None) -> None:
        """Put a proposal in place, wherever it is made in the session."""
        with opened(folder) as library:
            library.sessions.get(session_id)
            if line_id is None:
                made = doubting.accept_alike(library, session_id, heard, proposed)
            else:
                found = doubting.doubts_of_session(library, session_id)
                alike = [one for one in found if one.line.id == line_id]
                alike = [one for one in alike if (one.doubt.heard, one.doubt.proposed) == (heard, proposed)]
                if not alike:
                    raise NotFound("is not proposed in this line", proposed, "See: benchreel doubt list.")
                made = [doubting.accept(library, line_id, alike[0].line.version, alike[0].doubt)]
        show(as_json, made, f"“{heard}” is now “{proposed}” on {counted(len(made), 'line')}.")

    @command(doubt, "leave")
    @click.argument("line_id", type=int)
    @click.argument("heard")
    @click.argument("proposed")
    @click.option("--offer-again", is_flag=True, help="Offer again what was left.")
    def leave(folder: Path, as_json: bool, line_id: int, heard: str, proposed: str, offer_again: bool) -> None:
        """Leave words as they are; the proposal is not made again."""
        with opened(folder) as library:
            (doubting.offer_again if offer_again else doubting.leave)(library, line_id, heard, proposed)
        told = "It is offered again." if offer_again else f"“{heard}” stays."
        show(as_json, {"line_id": line_id, "heard": heard, "offered": offer_again}, told)
