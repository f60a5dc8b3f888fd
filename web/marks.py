"""While filming: large buttons that leave a mark with the clock time, and laying the marks on a recording."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, jsonify, render_template, request

from annotate.library.journal import now
from annotate.model import Mark
from annotate.timecode import clock
from annotate.vocabulary.counted import counted
from annotate.work.clapping import begun_of
from annotate.work.laying import CLAP, lay, lay_down, open_marks, says_when
from web.context import library
from web.fields import Fields, asked, sent
from web.plain import plain
from web.words import label

blueprint = Blueprint("marks", __name__)


@blueprint.get("/bench")
def page() -> str:
    """The buttons, the newest marks, and the recordings they may be laid on."""
    store = library()
    reeds = [reed for reed in store.reeds.all() if reed.state != "retired"]
    chosen = asked().optional_integer("recording")
    wanted = asked().optional_integer("reed")
    if wanted is None and chosen is not None and "reed" not in request.args:
        wanted = next((store.recordings.first_reed(one) for one in store.recordings.all() if one.id == chosen), None)
    reed = next((one for one in reeds if one.id == wanted), None)
    marks = open_marks(store)[::-1]
    by_clap = any(mark.step == CLAP for mark in marks)
    recordings = [r for r in reversed(store.recordings.all()) if says_when(r) or (by_clap and r.has_sound)][:40]
    return render_template(
        "marks.html",
        words=store.reeds.words(reed.id if reed else None),
        reed=reed,
        reeds=reeds,
        marks=marks,
        recordings=recordings,
        chosen=chosen,
    )


def _checked(fields: Fields, old: Mark | None = None) -> Mark:
    """A mark of the fields; what is not among them stays as it was."""
    mark = old or Mark(made_at=now())
    given: dict[str, Any] = {}
    if "step" in fields:
        given["step"] = fields.text("step")
    if "zones" in fields:
        given["zones"] = tuple(dict.fromkeys(fields.texts("zones")))
    for name in ("blade", "side"):
        if name in fields:
            given[name] = fields.choice(name)
    if "reed_id" in fields:
        given["reed_id"] = fields.optional_integer("reed_id")
    mark = replace(mark, **given)
    words = library().reeds.words(mark.reed_id)
    if mark.step != CLAP:
        words.check("steps", mark.step)
    words.check("zones", mark.zones)
    words.check("blades", mark.blade)
    words.check("sides", mark.side)
    return mark


def _answer(mark: Mark, message: str) -> Response:
    return jsonify(mark=plain(mark), told=told(mark), message=message)


def told(mark: Mark) -> str:
    """A mark in words."""
    if mark.step == CLAP:
        return "Clap"
    parts = [label("steps", mark.step), *(label("zones", zone) for zone in mark.zones)]
    parts += [label("blades", mark.blade)] if mark.blade else []
    parts += [label("sides", mark.side)] if mark.side else []
    return " · ".join(parts)


blueprint.add_app_template_filter(told, "mark_told")


@blueprint.post("/api/marks")
def add() -> Response:
    """A mark of this moment."""
    mark = library().marks.add(_checked(sent()))
    return _answer(mark, f"Marked: {told(mark)}.")


@blueprint.put("/api/marks/<int:mark_id>")
def change(mark_id: int) -> Response:
    """A mark that is said more exactly."""
    fields = sent()
    mark = replace(_checked(fields, library().marks.get(mark_id)), version=fields.integer("version"))
    mark = library().marks.change(mark)
    return _answer(mark, f"Marked: {told(mark)}.")


@blueprint.delete("/api/marks/<int:mark_id>")
def remove(mark_id: int) -> Response:
    """Take a mark out."""
    sent()
    library().marks.remove(mark_id)
    return jsonify(message="Mark removed.")


@blueprint.get("/api/recordings/<int:recording_id>/marks")
def preview(recording_id: int) -> Response:
    """Where the marks would lie, with a shift."""
    recording = library().recordings.get(recording_id)
    begun = begun_of(library(), recording)
    found = lay(open_marks(library()), recording, asked().optional_integer("shift_ms") or 0, begun)
    rows = [{"at": clock(one.start_ms), "start_ms": one.start_ms, "told": told(one.mark)} for one in found]
    return jsonify(marks=rows, by=begun.told)


@blueprint.post("/api/recordings/<int:recording_id>/marks")
def make_tags(recording_id: int) -> Response:
    """Make tags of the marks that fall in a recording, as one step of undo."""
    store = library()
    recording = store.recordings.get(recording_id)
    begun = begun_of(store, recording)
    made = len(lay_down(store, recording, sent().optional_integer("shift_ms") or 0, begun))
    return jsonify(
        made=made,
        by=begun.told,
        location=f"/sessions/{recording.session_id}?recording={recording_id}",
        message=f"{counted(made, 'mark')} laid on {recording.name}. {begun.told}",
    )
