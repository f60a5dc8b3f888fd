"""Writes what follows from the laid-out sittings: scenario.toml and truth.json."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from demo_media.beats import COURSES, Course, Sitting
from demo_media.drawing.lettering import NAMES
from demo_media.sounds import CROWS
from demo_media.timeline import Laid, Placed, kinds

CARD_SETTLED_MS = 1000  # by then the card lies still in the picture
NEXT_TIMES = {
    "B-12": "Next: scrape the back a little on Monday.",
    "H-5": "Next: smooth the inside of the tip before the concert on Friday.",
}
HEADER = """\
# What the maker of the demo enters. Everything here is invented.
# Written by make.py: every time follows from how the media were made. Edit beats.py, not this file.
"""


def _value(value: object) -> str:
    """A TOML value: JSON's strings, numbers and lists are TOML's as well."""
    return json.dumps(value, ensure_ascii=False)


def _table(head: str, pairs: dict[str, Any], numbers: tuple[str, ...] = ()) -> str:
    lines = [head]
    for key, value in pairs.items():
        if value in ("", (), None):
            continue
        lines.append(f"{key} = {value if key in numbers else _value(value)}")
    return "\n".join(lines) + "\n"


def _recording(laid: Laid) -> list[str]:
    sitting = laid.sitting
    parts = [_table("[[sessions.recordings]]", {"file": sitting.file, "reed": sitting.reed})]
    for mark in sitting.marks:
        parts.append(
            _table(
                "[[sessions.recordings.tags]]",
                {
                    "start_ms": laid.find(mark.first).start_ms,
                    "end_ms": laid.find(mark.last).end_ms,
                    "step": mark.step,
                    "zones": mark.zones,
                    "blade": mark.blade,
                    "side": mark.side,
                    "reed": sitting.reed,
                    "symptoms": mark.symptoms,
                    "note": mark.note,
                },
            )
        )
    for reading in sitting.readings:
        at = laid.find(reading.at)
        parts.append(
            _table(
                "[[sessions.recordings.readings]]",
                {
                    "quantity": reading.quantity,
                    "value": reading.value,
                    "unit": reading.unit,
                    "reed": sitting.reed,
                    "zone": reading.zone,
                    "moisture": reading.moisture,
                    "tool": reading.tool,
                    "place_note": reading.place_note,
                    "note": reading.note,
                    "at_ms": (at.start_ms + at.end_ms) // 2,
                },
                ("value",),
            )
        )
    for fix in sitting.fixes:
        at = laid.find(fix.at)
        parts.append(
            _table(
                "[[sessions.recordings.corrections]]",
                {
                    "start_ms": at.start_ms,
                    "end_ms": at.end_ms,
                    "said": fix.said,
                    "right": fix.right,
                },
            )
        )
    return parts


def _lesson(course: Course, by_file: dict[str, Laid]) -> list[str]:
    parts = [
        _table(
            "[[lessons]]",
            {
                "title": course.title,
                "goal": course.goal,
                "audience": course.audience,
                "tools": course.tools,
                "review": course.review,
            },
        )
    ]
    for piece in course.pieces:
        laid = by_file[piece.file]
        first, last = laid.find(piece.first), laid.find(piece.last)
        number = laid.beats.index(first)
        before = laid.beats[number - 1].end_ms if number else 0
        after = laid.beats[laid.beats.index(last) + 1].start_ms
        parts.append(
            _table(
                "[[lessons.clips]]",
                {
                    "file": piece.file,
                    "start_ms": max(before, first.start_ms - 200),
                    "end_ms": min(after - 200, last.end_ms + 400) if after - 200 > last.end_ms else last.end_ms,
                    "title": piece.title,
                    "note": piece.note,
                },
            )
        )
    return parts


def scenario_text(laid: list[Laid]) -> str:
    """The scenario as TOML."""
    by_file = {one.sitting.file: one for one in laid}
    parts = [HEADER]
    parts += [_table("[[instruments]]", {"id": name}) for name in ("bassoon", "oboe")]
    for reed, instrument, state, made_on, note in (
        ("B-12", "bassoon", "in_progress", "2026-02-17", "Red binding. Blank bound on this day and rested two weeks."),
        ("H-5", "oboe", "breaking_in", "2026-03-04", "Blue-green thread, long scrape."),
    ):
        parts.append(
            _table(
                "[[reeds]]",
                {
                    "name": reed,
                    "instrument": instrument,
                    "state": state,
                    "made_on": made_on,
                    "note": f"{note} {NEXT_TIMES[reed]}",
                },
            )
        )
    for one in laid:
        sitting = one.sitting
        parts.append(
            _table(
                "[[sessions]]",
                {
                    "date": sitting.date,
                    "title": sitting.title,
                    "place": sitting.place,
                    "temperature_c": sitting.temperature_c,
                    "humidity_percent": sitting.humidity_percent,
                    "note": sitting.note,
                },
                ("temperature_c", "humidity_percent"),
            )
        )
        parts += _recording(one)
    for course in COURSES:
        parts += _lesson(course, by_file)
    return "\n".join(parts)


def _note(placed: Placed) -> dict[str, Any]:
    _, midi, cents, sag = placed.beat.recipe.split(":")
    return {
        "start_ms": placed.start_ms,
        "end_ms": placed.end_ms,
        "midi": int(midi),
        "note": f"{NAMES[int(midi) % 12]}{int(midi) // 12 - 1}",
        "cents": int(cents),
        "sag_cents": int(sag),
    }


def _crow(placed: Placed) -> dict[str, Any]:
    partials, rate, depth, _ = CROWS[placed.beat.recipe]
    return {
        "start_ms": placed.start_ms,
        "end_ms": placed.end_ms,
        "partials_hz": [hz for hz, _ in partials],
        "roughness_hz": rate,
        "roughness_depth": depth,
    }


def _truth(laid: Laid) -> dict[str, Any]:
    sitting: Sitting = laid.sitting
    spoken = [p for p in laid.beats if p.beat.kind == "speech"]
    return {
        "duration_ms": laid.duration_ms,
        "rate": sitting.rate,
        "is_portrait": sitting.is_portrait,
        "reed": sitting.reed,
        "card": {
            "text": f"BENCHREEL REED {sitting.reed}",
            "start_ms": CARD_SETTLED_MS,
            "end_ms": laid.find("hello").end_ms,
        },
        "sentences": [
            {"start_ms": p.start_ms, "end_ms": p.end_ms, "text": p.beat.text, "mode": sitting.modes.get(p.beat.key, "")}
            for p in spoken
        ],
        "sounds": [{"start_ms": start, "end_ms": end, "kind": kind} for start, end, kind in kinds(laid)],
        "notes": [_note(p) for p in laid.beats if p.beat.kind == "play"],
        "crows": [_crow(p) for p in laid.beats if p.beat.kind == "crow"],
        "strokes": [
            {"start_ms": p.start_ms, "end_ms": p.end_ms, "tool": p.beat.recipe.split(":")[0], "count": len(p.strokes)}
            for p in laid.beats
            if p.strokes
        ],
    }


def write(laid: list[Laid], folder: Path) -> None:
    """Write both files."""
    (folder / "scenario.toml").write_text(scenario_text(laid), "utf-8")
    facts = {one.sitting.file: _truth(one) for one in laid}
    (folder / "truth.json").write_text(json.dumps(facts, indent=1, ensure_ascii=False) + "\n", "utf-8")
