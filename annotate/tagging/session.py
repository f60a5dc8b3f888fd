"""A session's lines, sounds and cards become suggestions with times.

Conventions: integer milliseconds on the recording's clock. A done label runs
from the start of its sentence to the end of the work sound right after it. A
verdict on a crow or on playing just heard joins that sound's label. Plans are
listed, recaps are linked to what they tell again, readings are proposed with
the moment they were said. Nothing here is a tag until the maker accepts it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from annotate.model import Line, Sound
from annotate.tagging.lexicon import Lexicon
from annotate.tagging.marks import DEFAULT_SIGNAL, find_mark
from annotate.tagging.plausible import is_plausible
from annotate.tagging.spoken import to_mm
from annotate.tagging.understand import understand
from annotate.tagging.values import Context, Label, Measurement, Understanding

# Milliseconds of other sound or talk that may lie between words and their work, and between two bouts of one work.
RIGHT_AFTER_MS = 8_000
PAUSE_MS = 6_000
# A verdict comes within this time after the crow or the notes it judges.
VERDICT_MS = 15_000
MOST_CLIPPED_MM = 5  # a length said with clipping that is no longer than this is what comes off, not the reed's own
# What each step sounds like; a step that is not here ends with its sentence.
HEARD_AS = {
    "scrape": "scrape", "sand": "scrape", "profile": "scrape", "ream": "scrape", "clear": "scrape",
    "crow": "crow", "play": "play", "break_in": "play",
}  # fmt: skip
_TESTED = ("crow", "play")


@dataclass(frozen=True)
class CardShown:
    """A reed's card seen by the camera: this reed is in hand from ``at_ms`` on."""

    at_ms: int
    reed: str


@dataclass(frozen=True)
class Suggestion:
    """What the program proposes, with its evidence. ``kind`` is tag, plan, recap or reading.

    ``evidence`` is the maker's words, ``sound`` the kind of sound that carried
    the range, ``rules`` the names of the rules that spoke. ``linked_to`` is the
    position, in the list returned, of the suggestion that a recap tells again
    or that a reading belongs to.
    """

    kind: str
    recording_id: int
    start_ms: int
    end_ms: int
    step: str | None = None
    zones: tuple[str, ...] = ()
    blade: str | None = None
    side: str | None = None
    symptoms: tuple[str, ...] = ()
    reed: str | None = None
    is_reed_known: bool = False
    reading: Measurement | None = None
    evidence: str = ""
    sound: str | None = None
    rules: tuple[str, ...] = ()
    confidence: float = 0.7
    linked_to: int | None = None


@dataclass(frozen=True)
class _Said:
    """A line with what it says and the context it was said in."""

    line: Line
    said: Understanding
    reed: str | None
    is_reed_known: bool
    is_mark: bool = False


def suggest_session(
    lines: Sequence[Line],
    sounds: Sequence[Sound] = (),
    cards: Sequence[CardShown] = (),
    reeds: Sequence[str] = (),
    words: Lexicon | None = None,
    signal: str = DEFAULT_SIGNAL,
) -> list[Suggestion]:
    """Suggestions for one recording, in order of time. ``reeds`` are the ids the library holds."""
    sounds = sorted(sounds, key=lambda s: s.start_ms)
    told = _understood(sorted(lines, key=lambda x: x.start_ms), sounds, cards, reeds, words, signal)
    out: list[Suggestion] = []
    for said in told:
        at = len(out)
        out += [_from_label(said, label, n) for n, label in enumerate(said.said.labels) if label.mode != "negated"]
        tag = next((i for i in range(at, len(out)) if out[i].kind == "tag"), None)
        out += [_from_reading(said, m, tag) for m in said.said.measurements]
    out = _with_sounds(out, sounds)
    out = _with_verdicts(out, told, sounds)
    return _linked(out)


def _understood(
    lines: Sequence[Line],
    sounds: Sequence[Sound],
    cards: Sequence[CardShown],
    reeds: Sequence[str],
    words: Lexicon | None,
    signal: str,
) -> list[_Said]:
    context = Context()
    shown = sorted(cards, key=lambda c: c.at_ms)
    spoken_at, spoken_known = -1, False
    out: list[_Said] = []
    for line in lines:
        test = _just_heard(line, sounds)
        if test:
            context = replace(context, test=test)
        mark = find_mark(line.text, signal, words, reeds)
        said = mark or understand(line.text, context, words, reeds)
        context = context.after(said)
        if said.reed:
            spoken_at, spoken_known = line.start_ms, said.reed.is_known
        card = next((c for c in reversed(shown) if c.at_ms <= line.end_ms), None)
        if card and card.at_ms >= spoken_at:
            context = replace(context, reed=card.reed)
            spoken_known = True
        out.append(_Said(line, said, context.reed, spoken_known, mark is not None))
    return out


def _just_heard(line: Line, sounds: Sequence[Sound]) -> str | None:
    """Crow or play, when one of them was heard within ``VERDICT_MS`` before the line."""
    heard = [s for s in sounds if s.kind in _TESTED and s.start_ms <= line.start_ms <= s.end_ms + VERDICT_MS]
    return max(heard, key=lambda s: s.end_ms).kind if heard else None


def _moment(line: Line, place: int) -> int:
    """The time of a character place: by the line's words where it has them, else in proportion to the text."""
    if line.words:
        seen = 0
        for word in line.words:
            if place <= seen + len(word.text.strip()):
                return max(line.start_ms, min(word.start_ms, line.end_ms))
            seen += len(word.text.strip()) + 1
        return line.words[-1].end_ms
    share = place / max(1, len(line.text))
    return line.start_ms + round(share * (line.end_ms - line.start_ms))


def _sentence_start(text: str, place: int) -> int:
    """Where the sentence that holds ``place`` begins."""
    before = max(text.rfind(mark, 0, place) for mark in (". ", "? ", "! "))
    return before + 2 if before >= 0 else 0


def _from_label(said: _Said, label: Label, number: int) -> Suggestion:
    kind = {"done": "tag", "plan": "plan", "recap": "recap"}[label.mode]
    before = [x for x in said.said.labels[:number] if x.end > _sentence_start(said.line.text, label.start)]
    start = _moment(said.line, label.start if before else _sentence_start(said.line.text, label.start))
    end = max(_moment(said.line, label.end), start + 1)
    return Suggestion(
        kind,
        said.line.recording_id,
        start,
        end,
        label.step,
        label.zones,
        label.blade,
        label.side,
        label.symptoms,
        said.reed,
        said.is_reed_known,
        None,
        label.evidence,
        None,
        label.rules,
        1.0 if said.is_mark else label.confidence,
    )


def _from_reading(said: _Said, reading: Measurement, tag: int | None) -> Suggestion:
    start = _moment(said.line, max(0, said.line.text.find(reading.evidence)))
    return Suggestion(
        "reading", said.line.recording_id, start, max(said.line.end_ms, start + 1), reed=said.reed,
        is_reed_known=said.is_reed_known, reading=reading, evidence=said.line.text,
        rules=("reading said" if reading.is_unit_said else "reading with its unit filled in",),
        confidence=_reading_confidence(said, reading), linked_to=tag,
    )  # fmt: skip


def _reading_confidence(said: _Said, reading: Measurement) -> float:
    """Lower where the unit was not said, and for aims and amounts taken off, which measure no reed; lowest for what
    no reed or bench measures, which was misheard more likely than said."""
    if not is_plausible(reading):
        return 0.2
    steps = {label.step for label in said.said.labels}
    is_aim = bool(steps) and all(label.mode == "plan" for label in said.said.labels)
    is_taken_off = reading.quantity == "length" and "clip" in steps and _is_small(reading)
    if is_aim or is_taken_off:
        return 0.5
    return 0.9 if reading.is_unit_said else 0.7


def _is_small(length: Measurement) -> bool:
    return to_mm(Fraction(length.value), length.unit) <= MOST_CLIPPED_MM


def _with_sounds(found: list[Suggestion], sounds: Sequence[Sound]) -> list[Suggestion]:
    """Stretch every tag over the work sound right after its words, up to the next tag's words."""
    starts = sorted(s.start_ms for s in found if s.kind == "tag")
    out: list[Suggestion] = []
    for one in found:
        kind = HEARD_AS.get(one.step or "") if one.kind == "tag" else None
        limit = next((s for s in starts if s > one.start_ms), None)
        span = _work_after(one, kind, sounds, limit) if kind else None
        if span is None:
            out.append(one)
            continue
        start, end = span
        out.append(
            replace(
                one,
                start_ms=min(one.start_ms, start),
                end_ms=max(one.end_ms, end),
                sound=kind,
                rules=(*one.rules, "range: work sound"),
                confidence=min(1.0, round(one.confidence + 0.1, 2)),
            )
        )
    return out


def _work_after(one: Suggestion, kind: str, sounds: Sequence[Sound], limit: int | None) -> tuple[int, int] | None:
    """Start and end of the work: bouts of one kind, the first right after or under the words (a test: or before)."""
    start, end = one.start_ms, one.end_ms
    heard = False
    for sound in sounds:
        if sound.kind != kind or (limit is not None and sound.start_ms >= limit):
            continue
        if kind in _TESTED and one.start_ms - PAUSE_MS <= sound.end_ms <= one.start_ms and not heard:
            start, heard = min(start, sound.start_ms), True
        elif sound.end_ms > one.start_ms and sound.start_ms <= end + (PAUSE_MS if heard else RIGHT_AFTER_MS):
            end, heard = max(end, sound.end_ms), True
    if not heard:
        return None
    return start, end if limit is None else max(one.end_ms, min(end, limit))


def _with_verdicts(found: list[Suggestion], told: Sequence[_Said], sounds: Sequence[Sound]) -> list[Suggestion]:
    """Symptoms said without work, right after a crow or notes, go to that sound's tag, which is made if needed."""
    out = list(found)
    for said in told:
        if not said.said.symptoms or any(label.mode == "done" for label in said.said.labels):
            continue
        tests = [s for s in sounds if (s.kind in _TESTED and 0 <= said.line.start_ms - s.end_ms <= VERDICT_MS) or
                 (s.kind in _TESTED and s.start_ms <= said.line.start_ms < s.end_ms)]  # fmt: skip
        if not tests:
            continue
        test = max(tests, key=lambda s: s.end_ms)
        at = next(
            (
                i
                for i, o in enumerate(out)
                if o.kind == "tag" and o.step == test.kind and o.start_ms <= test.start_ms < o.end_ms
            ),
            None,
        )
        if at is None:
            out.append(_from_test(said, test))
        else:
            both = tuple(dict.fromkeys((*out[at].symptoms, *said.said.symptoms)))
            out[at] = replace(
                out[at], symptoms=both, end_ms=max(out[at].end_ms, said.line.end_ms),
                evidence=f"{out[at].evidence} … {said.line.text}", rules=(*out[at].rules, "verdict joins its sound"),
            )  # fmt: skip
    return out


def _from_test(said: _Said, test: Sound) -> Suggestion:
    return Suggestion(
        "tag", said.line.recording_id, test.start_ms, said.line.end_ms, test.kind, symptoms=said.said.symptoms,
        reed=said.reed, is_reed_known=said.is_reed_known, evidence=said.line.text, sound=test.kind,
        rules=("verdict on a sound",), confidence=0.6,
    )  # fmt: skip


def _linked(found: list[Suggestion]) -> list[Suggestion]:
    """In order of time, recaps linked to the last earlier tag of the same step that shares a place."""
    order = sorted(range(len(found)), key=lambda i: (found[i].start_ms, i))
    new_place = {old: new for new, old in enumerate(order)}
    out = [
        replace(found[i], linked_to=new_place[link] if (link := found[i].linked_to) is not None else None)
        for i in order
    ]
    for i, one in enumerate(out):
        if one.kind != "recap":
            continue
        earlier = [
            j
            for j in range(i)
            if out[j].kind == "tag"
            and out[j].step == one.step
            and (not one.zones or set(one.zones) & set(out[j].zones))
        ]
        out[i] = replace(one, linked_to=earlier[-1] if earlier else None)
    return out
