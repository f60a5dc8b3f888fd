"""Tags as W3C Web Annotations (JSON-LD), both ways, so that other programs can read and give them.

Source: W3C Recommendation "Web Annotation Data Model" (w3.org/TR/annotation-model): 3.2.2 embedded bodies and
purposes, 4.2.1 fragment selector; and "Media Fragments URI 1.0" (w3.org/TR/media-frags), 4.2.1 time in NPT.

The step, zones, blade, side, symptoms and reed are tagging bodies such as
``step/scrape``; the note is a commenting body; the range is a fragment
``t=1.5,3.25`` (seconds) of the recording, named by its fingerprint.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from annotate.errors import BadInput
from annotate.model import Tag

CONTEXT = "http://www.w3.org/ns/anno.jsonld"
FRAGMENTS = "http://www.w3.org/TR/media-frags/"
_NPT = re.compile(
    r"^t=(?:npt:)?(?:(\d+):)?(?:(\d{1,2}):)?(\d+(?:\.\d*)?)?(?:,(?:(\d+):)?(?:(\d{1,2}):)?(\d+(?:\.\d*)?))$"
)


@dataclass(frozen=True)
class Annotated:
    """A tag with what stands for its recording and reed outside the library: a fingerprint and a name."""

    tag: Tag
    fingerprint: str
    reed: str = ""


def write(items: Iterable[Annotated]) -> str:
    """An annotation collection with one page, as JSON text."""
    found = [_annotation(item) for item in items]
    page = {"type": "AnnotationPage", "startIndex": 0, "items": found}
    collection = {"@context": CONTEXT, "type": "AnnotationCollection", "total": len(found), "first": page}
    return json.dumps(collection, ensure_ascii=False, indent=2) + "\n"


def read(text: str, recording_ids: Mapping[str, int]) -> list[Annotated]:
    """The tags of a collection, a page, a list or a single annotation.

    Parameters
    ----------
    recording_ids : mapping
        Fingerprint to recording id; annotations of other recordings are refused.

    Raises
    ------
    BadInput
        Naming the annotation that cannot be a tag, and why.
    """
    try:
        data = json.loads(text)
    except json.JSONDecodeError as error:
        raise BadInput(f"is not JSON (line {error.lineno})", next_step="Check the file.") from None
    return [_tag(one, number, recording_ids) for number, one in enumerate(_listed(data))]


def _listed(data: Any) -> list[Any]:
    while isinstance(data, dict) and data.get("type") in ("AnnotationCollection", "AnnotationPage"):
        data = data.get("items", data.get("first"))
    if isinstance(data, dict):
        return [data]
    if isinstance(data, list):
        return data
    raise BadInput("holds no annotations", next_step="Give a W3C annotation collection, page or list.")


def _annotation(item: Annotated) -> dict[str, Any]:
    tag = item.tag
    bodies = [{"type": "TextualBody", "purpose": "tagging", "value": value} for value in _words(item)]
    if tag.note:
        bodies.append({"type": "TextualBody", "purpose": "commenting", "value": tag.note, "format": "text/plain"})
    selector = {"type": "FragmentSelector", "conformsTo": FRAGMENTS, "value": fragment(tag.start_ms, tag.end_ms)}
    return {
        "@context": CONTEXT,
        "type": "Annotation",
        "motivation": "tagging",
        "body": bodies,
        "target": {"type": "SpecificResource", "source": f"urn:sha256:{item.fingerprint}", "selector": selector},
    }


def _words(item: Annotated) -> Iterator[str]:
    tag = item.tag
    yield f"step/{tag.step}"
    yield from (f"zone/{zone}" for zone in tag.zones)
    if tag.blade:
        yield f"blade/{tag.blade}"
    if tag.side:
        yield f"side/{tag.side}"
    yield from (f"symptom/{symptom}" for symptom in tag.symptoms)
    if item.reed:
        yield f"reed/{item.reed}"


def fragment(start_ms: int, end_ms: int) -> str:
    """The range as a media fragment in seconds, half-open as the standard has it."""
    return f"t={_seconds(start_ms)},{_seconds(end_ms)}"


def read_fragment(value: str) -> tuple[int, int]:
    """Start and end in ms of a temporal fragment in normal play time; a missing start is 0."""
    found = _NPT.match(value.strip())
    if not found:
        raise BadInput("is not a time range", value[:60], "Write for example t=1.5,3.25 (seconds).")
    parts = found.groups()
    return _ms(parts[:3]), _ms(parts[3:])


def _seconds(ms: int) -> str:
    return f"{ms // 1000}.{ms % 1000:03d}".rstrip("0").rstrip(".")


def _ms(parts: tuple[str | None, ...]) -> int:
    numbers = [part for part in parts[:2] if part is not None]
    whole, _, rest = (parts[2] or "0").partition(".")
    seconds = 0
    for part in [*numbers, whole]:
        seconds = seconds * 60 + int(part)
    return seconds * 1000 + int((rest + "000")[:3])


def _tag(one: Any, number: int, recording_ids: Mapping[str, int]) -> Annotated:
    where = f"annotation {number + 1}"
    try:
        target = one["target"]
        source = str(target["source"]).removeprefix("urn:sha256:")
        start_ms, end_ms = read_fragment(str(target["selector"]["value"]))
        bodies = one.get("body", [])
        bodies = bodies if isinstance(bodies, list) else [bodies]
        texts = [(str(body.get("purpose", "")), str(body.get("value", ""))) for body in bodies]
    except (KeyError, TypeError, AttributeError):
        raise BadInput("has no target with a time range", where, "Give a FragmentSelector.") from None
    if source not in recording_ids:
        raise BadInput("is about a recording that is not in the library", where, "Add that recording first.")
    words: dict[str, list[str]] = {}
    for purpose, value in texts:
        group, slash, name = value.partition("/")
        if purpose == "tagging" and slash:
            words.setdefault(group, []).append(name)
    if len(words.get("step", [])) != 1:
        raise BadInput("does not name one step", where, "Give one tagging body such as step/scrape.")
    tag = Tag(
        recording_id=recording_ids[source],
        start_ms=start_ms,
        end_ms=end_ms,
        step=words["step"][0],
        zones=tuple(words.get("zone", [])),
        blade=next(iter(words.get("blade", [])), None),
        side=next(iter(words.get("side", [])), None),
        symptoms=tuple(words.get("symptom", [])),
        note="\n".join(value for purpose, value in texts if purpose == "commenting"),
    )
    return Annotated(tag, source, next(iter(words.get("reed", [])), ""))
