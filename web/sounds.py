"""What was measured in one sound, as a piece of the diary; and two sounds of a reed side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from flask import Blueprint, Response, jsonify, render_template

from annotate.errors import NotFound
from annotate.listen.compare import Difference
from annotate.work.comparing import Comparison, compare, pairs
from annotate.work.reed_sounds import ReedSound, sound_by_id, sounds_of_reed
from web import sound_words
from web.context import library
from web.fields import asked
from web.sound_words import signed
from web.spectra import spectra

blueprint = Blueprint("sounds", __name__)
DIGITS = {"Hz": 0, "ms": 0, "%": 0}  # shown after the point; others have one


@blueprint.get("/api/sounds/<int:sound_id>")
def measured(sound_id: int) -> Response:
    """The numbers of a sound as HTML, with what each of them is."""
    sound = sound_by_id(library(), sound_id)
    # As it was stored, like the line of the diary that it opens from: the A4 of that listening stands beside it.
    sound = replace(sound, measures=library().recordings.measure(sound_id)["measures"] or {})
    html = render_template("diary_sound.html", sound=sound, notes=sound.measures.get("notes", ()), w=sound_words)
    return jsonify(html=html)


@blueprint.get("/reeds/<int:reed_id>/sounds")
def side_by_side(reed_id: int) -> str:
    """Two sounds of a reed: ``?first=ID&second=ID``, else the first and the last of one kind."""
    reed = library().reeds.get(reed_id)
    sounds = sounds_of_reed(library(), reed_id)
    chosen = _chosen(sounds, asked().optional_integer("first"), asked().optional_integer("second"))
    found = compare(library(), *chosen) if chosen else None
    return render_template(
        "reed_sounds.html",
        reed=reed,
        sounds=sounds,
        found=found,
        spectra=spectra(found.picture) if found else None,
        w=sound_words,
        value=_value,
        change=_change,
        pitches=_pitches,
        zip=zip,
    )


def _chosen(sounds: Sequence[ReedSound], first: int | None, second: int | None) -> tuple[ReedSound, ReedSound] | None:
    """The two sounds; what is not said is the first one, and the last other one that has numbers in common with it."""
    if len(sounds) < 2:
        return None
    firsts = [_one(sounds, first)] if first is not None else list(sounds)
    seconds = [_one(sounds, second)] if second is not None else list(reversed(sounds))
    every = [(one, two) for one in firsts for two in seconds if one.id != two.id]
    fitting = (pair for pair in every if pairs(pair[0].measures, pair[1].measures))
    return next(fitting, every[0] if every else (firsts[0], seconds[0]))


def _one(sounds: Sequence[ReedSound], sound_id: int) -> ReedSound:
    found = next((sound for sound in sounds if sound.id == sound_id), None)
    if found is None:
        raise NotFound(f"This reed has no sound {sound_id}", next_step="Choose one of its sounds.")
    return found


def _value(difference: Difference, value: float) -> str:
    return f"{signed(value, DIGITS.get(difference.unit, 1)).removeprefix('+')} {_unit(difference)}"


def _change(difference: Difference) -> str:
    of_changes = {"dBFS": "dB", "%": "percentage points"}
    unit = of_changes.get(difference.unit, _unit(difference))
    return f"{signed(difference.change, DIGITS.get(difference.unit, 1))} {unit}"


def _pitches(found: Comparison, what: str) -> tuple[str, str]:
    """The two pitches that are compared, by name: of the crows the lowest, of a note the longest of that name."""
    told = []
    for measures in (found.first.measures, found.second.measures):
        notes = [one for one in measures.get("notes", ()) if one["note"] == what]
        part = max(notes, key=lambda one: one["end_ms"] - one["start_ms"]) if notes else measures["crow"]["lowest"]
        told.append(sound_words.pitch(part))
    return told[0], told[1]


def _unit(difference: Difference) -> str:
    return "× the fundamental" if difference.unit == "partials" else difference.unit
