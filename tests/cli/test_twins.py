"""What the pages can do, the command line can do: every changing address has its command, or is named as missing."""

from __future__ import annotations

from pathlib import Path

import click

from annotate.cli.main import cli
from annotate.library import Library
from web.app import create_app

# Address of the pages -> words of the command that does the same.
TWINS = {
    "POST /api/corrections": "correction add",
    "DELETE /api/corrections/<int:correction_id>": "correction remove",
    "PUT /api/corrections/<int:correction_id>": "correction change",
    "PUT /api/diary/readings/<int:reading_id>": "reading change",
    "PUT /api/lines/<int:line_id>": "change-line",
    "PUT /api/readings/table": "bring-readings",
    "PUT /api/tags/annotations": "bring-tags",
    "DELETE /api/lines/<int:line_id>": "strike-out-line",
    "PUT /api/marks/<int:mark_id>": "mark add",  # on the page a press is said finer; here it is said at once
    "POST /api/lines/<int:line_id>/doubts/accept": "doubt accept",
    "POST /api/lines/<int:line_id>/doubts/leave": "doubt leave",
    "POST /api/lines/<int:line_id>/doubts/offer": "doubt leave",
    "POST /api/sessions/<int:session_id>/doubts/accept": "doubt accept",
    "POST /api/sessions/<int:session_id>/replace": "replace",
    "POST /api/sessions/<int:session_id>/replace/preview": "replace",
    "POST /api/diary/readings": "reading add",
    "DELETE /api/diary/readings/<int:reading_id>": "reading remove",
    "POST /api/lessons": "lesson new",
    "PUT /api/lessons/<int:lesson_id>": "lesson change",
    "DELETE /api/lessons/<int:lesson_id>": "lesson remove",
    "POST /api/lessons/<int:lesson_id>/clips": "lesson add-clip",
    "PUT /api/lessons/<int:lesson_id>/clips": "lesson change-clip",
    "PUT /api/lessons/<int:lesson_id>/showing": "lesson change",
    "POST /api/lessons/<int:lesson_id>/draft": "lesson draft",
    "POST /api/lessons/<int:lesson_id>/export": "lesson export",
    "POST /api/lessons/<int:lesson_id>/clips/<int:number>/export": "lesson export",
    "POST /api/marks": "mark add",
    "DELETE /api/marks/<int:mark_id>": "mark remove",
    "DELETE /api/plans/<int:plan_id>": "plan remove",
    "PUT /api/plans/<int:plan_id>": "plan done",
    "DELETE /api/readings/<int:reading_id>": "reading remove",
    "PUT /api/recordings/<int:recording_id>": "recording change",
    "DELETE /api/recordings/<int:recording_id>": "recording remove",
    "PUT /api/recordings/<int:recording_id>/language": "recording change",
    "POST /api/recordings/<int:recording_id>/listen": "recording listen",
    "POST /api/recordings/<int:recording_id>/look": "recording find-file",
    "POST /api/recordings/<int:recording_id>/marks": "mark lay",
    "PUT /api/recordings/<int:recording_id>/track": "recording change",
    "PUT /api/recordings/<int:recording_id>/transcript": "bring-lines",
    "POST /api/redo": "redo",
    "POST /api/reeds": "reed add",
    "PUT /api/reeds/<int:reed_id>": "reed change",
    "DELETE /api/reeds/<int:reed_id>": "reed remove",
    "POST /api/reeds/<int:reed_id>/plans": "plan add",
    "POST /api/reeds/<int:reed_id>/readings": "reading add",
    "POST /api/sessions": "session add",
    "PUT /api/sessions/<int:session_id>": "session change",
    "DELETE /api/sessions/<int:session_id>": "session remove",
    "POST /api/sessions/<int:session_id>/in-place": "add",
    "POST /api/sessions/<int:session_id>/suggestions/accept": "accept",
    "PUT /api/settings": "settings change",
    "POST /api/suggestions/<int:suggestion_id>/accept": "accept",
    "POST /api/suggestions/<int:suggestion_id>/dismiss": "dismiss",
    "POST /api/tags": "tag add",
    "PUT /api/tags/<int:tag_id>": "tag change",
    "DELETE /api/tags/<int:tag_id>": "tag remove",
    "POST /api/steps/<int:step_id>/leave": "leave",
    "POST /api/undo": "undo",
    "POST /api/uploads": "add",
    "PUT /api/uploads/<key>": "add",
    "POST /api/uploads/<key>/finish": "add",
    "DELETE /api/uploads/<key>": "add",
    "DELETE /api/in-place/<key>": "add",
    "POST /api/work/<int:job_id>/cancel": "work cancel",
    "POST /api/work/<int:job_id>/retry": "work retry",
}


def _has(words: str) -> bool:
    group: click.Command | None = cli
    for word in words.split():
        group = group.commands.get(word) if isinstance(group, click.Group) else None
    return group is not None


def test_every_changing_address_has_its_command(tmp_path: Path) -> None:
    with Library.open(tmp_path / "library", create=True) as library:
        rules = create_app(library).url_map.iter_rules()
        methods = ("POST", "PUT", "DELETE")
        changing = {f"{how} {rule.rule}" for rule in rules for how in methods if how in (rule.methods or ())}
    assert changing == set(TWINS)
    assert [words for words in TWINS.values() if not _has(words)] == []
