"""Adds, changes and removes reeds, and readings taken away from the camera."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, jsonify

from annotate.library.removing import remove_reed
from annotate.measure.units import number, unit_for
from annotate.model import Plan, Reading, Reed
from web.context import library
from web.fields import Fields, sent
from web.plain import plain
from web.words import quantity_label, value_of

blueprint = Blueprint("reeds_api", __name__, url_prefix="/api")


def told(fields: Fields) -> dict[str, Any]:
    """What the fields say about a reed."""
    names = ("name", "instrument", "state", "note")
    given: dict[str, Any] = {name: fields.text(name).strip() for name in names if name in fields}
    if "made_on" in fields:
        given["made_on"] = fields.choice("made_on")
    return given


@blueprint.post("/reeds")
def add() -> Response:
    """Add a reed under the maker's own id."""
    made = library().reeds.add(Reed(**{"name": "", **told(sent())}))
    return jsonify(reed=plain(made), location=f"/reeds/{made.id}", message=f"Reed {made.name} is in the library.")


@blueprint.put("/reeds/<int:reed_id>")
def change(reed_id: int) -> Response:
    """Change a reed."""
    fields = sent()
    old = library().reeds.get(reed_id)
    made = library().reeds.change(replace(old, **told(fields), version=fields.integer("version")))
    return jsonify(reed=plain(made), message=f"Reed {made.name} is saved.")


@blueprint.delete("/reeds/<int:reed_id>")
def remove(reed_id: int) -> Response:
    """Remove a reed that nothing refers to."""
    sent()
    gone = remove_reed(library(), reed_id)
    return jsonify(message=f"Reed {gone.name} is removed.")


@blueprint.post("/reeds/<int:reed_id>/readings")
def add_reading(reed_id: int) -> Response:
    """Add a reading of a reed on a day, without a recording."""
    fields = sent()
    library().reeds.get(reed_id)
    name = fields.text("quantity")
    made = library().readings.add(
        Reading(
            quantity=name,
            value=number(fields.text("value")),
            unit=unit_for(name, fields.text("unit"), fields.text("value")),
            reed_id=reed_id,
            zone=fields.choice("zone"),
            moisture=fields.choice("moisture"),
            place_note=fields.text("place_note").strip(),
            tool=fields.text("tool").strip(),
            taken_on=fields.choice("taken_on"),
        )
    )
    return jsonify(reading=plain(made), message=f"{quantity_label(name)} {value_of(made)} is noted.")


@blueprint.delete("/readings/<int:reading_id>")
def remove_reading(reading_id: int) -> Response:
    """Remove a reading."""
    sent()
    gone = library().readings.get(reading_id)
    library().readings.remove(reading_id)
    return jsonify(message=f"{quantity_label(gone.quantity)} {value_of(gone)} is removed.")


@blueprint.post("/reeds/<int:reed_id>/plans")
def add_plan(reed_id: int) -> Response:
    """Note something to do to the reed next time."""
    fields = sent()
    library().reeds.get(reed_id)
    made = library().plans.add(Plan(fields.text("text").strip(), reed_id))
    return jsonify(plan=plain(made), message="Noted for next time.")


@blueprint.put("/plans/<int:plan_id>")
def change_plan(plan_id: int) -> Response:
    """Change a plan, or say that it is done."""
    fields = sent()
    old = library().plans.get(plan_id)
    given: dict[str, Any] = {"version": fields.integer("version")}
    if "text" in fields:
        given["text"] = fields.text("text").strip()
    if "is_done" in fields:
        given["is_done"] = fields.flag("is_done")
    if "reed_id" in fields:
        given["reed_id"] = library().reeds.get(fields.integer("reed_id")).id
    made = library().plans.change(replace(old, **given))
    if made.reed_id != old.reed_id:
        return jsonify(plan=plain(made), message="The plan is of that reed now.")
    return jsonify(plan=plain(made), message="Done." if made.is_done else "Still to do.")


@blueprint.delete("/plans/<int:plan_id>")
def remove_plan(plan_id: int) -> Response:
    """Remove a plan."""
    sent()
    library().plans.get(plan_id)
    library().plans.remove(plan_id)
    return jsonify(message="The plan is removed.")
