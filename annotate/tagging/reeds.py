"""Reeds named in speech: "reed seven" is 7, "B fourteen" is B-14, "the green one" is the green reed."""

from __future__ import annotations

import re
from collections.abc import Sequence

from annotate.tagging.forms import bag
from annotate.tagging.sentence import Reading
from annotate.tagging.spoken import amounts
from annotate.tagging.values import ReedSaid

COLOURS = bag(
    "green red blue yellow black white orange purple pink brown grey gray gold silver violet turquoise maroon navy"
)
_NOTES = frozenset("abcdefg")
_LAST_OCTAVE = 6  # above the range of any double reed a letter and a number name no note
_PITCHES = bag("415 430 435 438 439 440 441 442 443 444 445 446 460 465 466")  # Hz that an A is tuned to
_NAMING = bag("reed read reeds")
_HANDLED = bag(
    "clip soak sand scrape ream retire bin toss measure crow fetch grab finish rest inspect check tip of for"
)
_GAUGES = bag(
    "gauge dial micrometer caliper calipers calliper callipers indicator mike hygrometer thermometer tuner ruler"
)


def reed_said(found: Reading, known: Sequence[str] = ()) -> ReedSaid | None:
    """The first reed named in the line; ``known`` are the ids the library holds."""
    for i in range(len(found.words)):
        hit = _at(found, i)
        if hit:
            name, end = hit
            match = resolve(name, known)
            return ReedSaid(match or name, match is not None, found.said(i, end))
    return None


def resolve(name: str, known: Sequence[str]) -> str | None:
    """The known id that ``name`` means, comparing letters and figures only; a colour may be part of a longer id."""
    plain = _plain(name)
    exact = next((k for k in known if _plain(k) == plain), None)
    if exact:
        return exact
    if name.isdigit():
        ends = [k for k in known if re.fullmatch(rf"[a-z]*0*{name}", _plain(k))]
        return ends[0] if len(ends) == 1 else None
    if name in COLOURS:
        part = [k for k in known if name in re.split(r"[^a-z]+", k.lower())]
        return part[0] if len(part) == 1 else None
    return None


def _plain(name: str) -> str:
    letters, figures = re.sub(r"[^a-z]", "", name.lower()), re.sub(r"[^0-9]", "", name)
    return letters + figures.lstrip("0")


def _at(found: Reading, i: int) -> tuple[str, int] | None:
    words = found.words
    word, before = words[i], words[i - 1] if i else ""
    if word in _NAMING and not _is_reading(found, i):
        j = i + 1
        while j < len(words) and words[j] in ("number", "no", "is", "id", "called", ","):
            if words[j] in ("is", ",") and not (j + 1 < len(words) and words[j + 1] in ("number",)):
                break
            j += 1
        return _id(words, j, is_named=True)
    if word == "number" and before not in (
        *_NAMING,
        "wire",
        "blade",
        "recording",
        "camera",
        "phone",
        "video",
        "lesson",
        "episode",
    ):
        after = _id(words, i + 1, is_named=True)
        if after and (
            i == 0
            or words[after[1] : after[1] + 1] == ["reed"]
            or before
            in (
                "is",
                ",",
                "to",
                "with",
                "on",
                "and",
                "now",
                "take",
                "for",
                "put",
                "reed",
                ".",
                "so",
                "back",
                "'s",
                "of",
                "next",
                "this",
            )
        ):
            return after
    if len(word) == 1 and word.isalpha() and word != "i":
        return _id(words, i, is_named=_introduces(found, i) or _is_written(found, i) or _is_handled(found, i))
    if (
        word in COLOURS
        and words[i + 1 : i + 2] in (["one"], ["reed"], ["read"])
        and before in ("the", "this", "my", "that", "our")
    ):
        return word, i + 2
    if word in COLOURS and (words[i + 1 : i + 3] == ["thread", "reed"] or _is_wrapping(words, i)):
        return word, i + 2
    return None


def _is_wrapping(words: Sequence[str], i: int) -> bool:
    """ "The reed with the blue thread"."""
    led = [w for w in words[max(0, i - 3) : i] if w not in ("the", "a")]
    return words[i + 1] in ("thread", "wrapping", "binding", "string") and led[-2:] == ["reed", "with"]


def _is_written(found: Reading, i: int) -> bool:
    """ "B-7": with a hyphen, as notes hardly are; "A-440" is a pitch."""
    one, two = found.tokens[i], found.tokens[i + 1]
    if one.word == "a" and two.word in _PITCHES:
        return False
    return found.text[one.end : two.start] in ("-", "‑", "–") and two.word[0].isdigit()


def _is_handled(found: Reading, i: int) -> bool:
    """ "B seven's had it", "C four's wires", "clip D five", "E nine: ...": what is done to reeds, not to notes."""
    words = found.words
    said = amounts(words[i + 1 : i + 5])
    if not said or said[0].start != 0:
        return False
    number, end = said[0], i + 1 + said[0].end
    if words[i] not in ("a", "s") and number.value > _LAST_OCTAVE and number.unit is None:
        return True
    if words[i] == "a" and number.value == 1:
        return False
    before, after = words[i - 1] if i else ".", words[end : end + 2]
    if before in _HANDLED and words[i] != "a" and after[:1] in ([","], ["."], ["and"], ["for"], ["in"], ["to"]):
        return True
    if after[:1] == ["'s"]:
        return after[1:] in (
            ["had"],
            ["wires"],
            ["wire"],
            ["tip"],
            ["crow"],
            ["opening"],
            ["blades"],
            ["back"],
            ["been"],
        )
    return before in (".", ",", "so", "and", "now") and after[:1] in (["goes"], ["needs"], ["gets"], ["wants"])


def _is_reading(found: Reading, i: int) -> bool:
    """ "The gauge reads seventeen", "I read point four": heard as reed, but a verb."""
    heard = found.text[found.tokens[i].start : found.tokens[i].end].lower()
    before = found.words[max(0, i - 3) : i]
    return heard in ("read", "reads") and bool(
        before[-1:] in (["i"], ["we"], ["you"], ["to"], ["it"], ["that"]) or _GAUGES & set(before)
    )


def _introduces(found: Reading, i: int) -> bool:
    """ "This is B five", "we are done with B three": no note is meant where nothing is played or at fault."""
    before = " ".join([w for w in found.words[:i] if w not in ("_", ",") and w not in _NOTES][-2:])
    led = before in (
        "this is",
        "that is",
        "here is",
        "done with",
        "working on",
        "work on",
        "back to",
        "on to",
        "it is",
        "finished with",
        "now with",
        "start with",
        "called reed",
    )
    sounding = found.symptoms or any(c.id.startswith(("play", "crow")) for c in found.cues)
    return led and not sounding


def _id(words: Sequence[str], i: int, *, is_named: bool) -> tuple[str, int] | None:
    """An id at ``i``: an optional letter and a number, or a letter alone after "reed"."""
    if i >= len(words):
        return None
    letter = words[i] if len(words[i]) == 1 and words[i].isalpha() else ""
    start = i + 1 if letter else i
    if letter and words[start : start + 1] in (["hyphen"], ["dash"]):
        start += 1  # "C hyphen eight"
    said = amounts(words[start:])
    if said and said[0].start == 0 and said[0].value.denominator == 1 and said[0].unit in (None,) and not said[0].part:
        value, end = int(said[0].value), start + said[0].end
        if value < 0:
            return None
        if not letter:
            return (str(value), end) if is_named else None
        if not is_named and ((letter in _NOTES and value < 10) or letter in ("a", "i", "s")):
            return None
        return f"{letter.upper()}-{value}", end
    if (
        letter
        and is_named
        and words[i - 1] in _NAMING
        and letter not in ("i", "a")
        and words[i + 1 : i + 2] not in (["flat"], ["sharp"])
    ):
        return letter.upper(), i + 1
    return None
