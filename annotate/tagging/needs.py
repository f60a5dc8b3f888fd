"""Whether a cue holds where it stands: what it needs is there, and it tells work and no fault or circumstance."""

from __future__ import annotations

from annotate.tagging.forms import bag, forms
from annotate.tagging.lexicon import BLADE_ZONES, WIRE_ZONES
from annotate.tagging.patterns import Find
from annotate.tagging.places import is_landmark
from annotate.tagging.sentence import Clause, Reading

_CANE_WORDS = bag(
    "cane wood hump bump ridge lump spot hair bit whisker touch shaving fraction more material thou sliver"
)
_ADJECTIVES = bag(
    "thin narrow free open dull level even smooth round flat clean clear dry wet loose slim trim tight light"
)
_NOUNS_OF_WORK = bag("polish rub sanding buff squeeze pinch twist turn trim clip scrape stroke strokes soak blow pass")
_BEFORE_ADJECTIVE = bag(
    "is 's are was too very so bit as more still looks look feels feel sounds quite rather seems how not "
    "a an really pretty nice already almost little be nicely now"
)
_PARING = (
    forms("feather")
    | forms("shave")
    | forms("thin")
    | forms("lighten")
    | forms("pare")
    | forms("whittle")
    | forms("dust")
)
_FITS = bag("going goes go fit fits fitting sit sits sitting slide slides further fully seat seats reach reaches")
_SOUNDS = bag("attack attacks start starts sound run test try hit entry onset response")
_BEFORE_NOUN = bag("the its that this every each an my any soft of their no")
_PRONOUNS = bag("it this that them those these there here each")
_HOW_SOON = bag("just suddenly simply almost nearly quickly slowly promptly completely then always")
_OPENING_WORDS = bag("opening aperture gap mouth tip reed blades")


def _has_plain_object(found: Reading, cue: Find) -> bool:
    """ "Feather that", "dust the right one": only cane can be meant."""
    sides = any(p.id.startswith("sides:") and 0 <= p.start - cue.end <= 2 for p in found.places)
    return sides or found.words[cue.end] in _PRONOUNS


def _is_auxiliary(cue: Find, found: Reading, clause: Clause) -> bool:
    """ "What does the gauge say", "don't": no doing. "I got four thou at the tip": read off, not got off."""
    verb, words = found.words[cue.start], found.words
    if verb in ("do", "does", "did") and cue.id.startswith("scrape"):
        asked = words[cue.start - 1] in ("what", "how", "why", "where", "which") if cue.start else False
        return asked or words[cue.start + 1] in ("you", "i", "we", "it", "they")
    if verb in ("get", "got", "have", "gets", "getting") and cue.id in ("scrape/cane", "scrape/zone"):
        off = {"off", "out", "down", "thinner", "lighter"} & set(words[cue.start : clause.end])
        read = any(a.start - cue.end <= 3 and a.unit != "strokes" for a in found.amounts if cue.end <= a.start)
        return read and not off
    return False


def _is_cane_taken(cue: Find, found: Reading, zones: set[str]) -> bool:
    """ "A bit of cane off the back" is scraped off; "a bit of cane out of the tube" is cleared out."""
    said = set(found.words[cue.start : cue.end])
    if {"guillotine", "clippers", "nippers"} & set(found.words[max(0, cue.start - 3) : cue.end]):
        return True
    end = {"end", "front", "length"} & set(found.words[cue.end : cue.end + 4])
    taken = said & {"cane", "sliver", "hair", "shaving", "shavings"} and (zones & BLADE_ZONES or end)
    return bool(taken) and not said & {"loose", "stuck", "between", "out"}


def is_met(cue: Find, found: Reading, clause: Clause, zones: set[str], carried: tuple[str, ...]) -> bool:
    """Whether what the cue needs is said: a place, a wire, an opening, cane, or nothing at all."""
    step, need = cue.id.split("/")
    words = found.words[clause.start : clause.end]
    if _is_noun(cue, found) or _is_auxiliary(cue, found, clause):
        return False
    points = any(w in _PRONOUNS for w in words)
    if step == "crow" and "bocal" in found.words[cue.start : cue.end] and _FITS & set(words):
        return False
    if step == "play" and "bocal" in found.words[cue.start : cue.end + 2]:
        return False
    if step == "clear" and _is_cane_taken(cue, found, zones):
        return False
    if need == "":
        return True
    if need == "cane":
        if found.words[cue.start] in _PARING and _has_plain_object(found, cue):
            return True
        if zones & BLADE_ZONES:
            return True
        if zones and step == "scrape":
            return bool(zones & {"inside", "tube", "butt"}) and any(w in ("knife", "file") for w in words)
        if step == "scrape" and {"blade", "blades"} & set(found.words[cue.end : cue.end + 3]) and not zones:
            return True
        strokes = any(a.unit == "strokes" for a in found.amounts if clause.holds(a))
        taken = bool(_CANE_WORDS & set(words)) and bool({"off", "away", "down", "out"} & set(words))
        return strokes or taken or (points and bool(set(carried) & BLADE_ZONES))
    if need == "zone":
        return bool(zones & BLADE_ZONES) or (points and bool(set(carried) & BLADE_ZONES) and _is_near(found, cue))
    if need == "wire name":
        return (bool(zones & WIRE_ZONES) and _is_beside(found, cue)) or is_wire_before(found, cue, clause)
    if need == "wire":
        return (
            bool(zones & WIRE_ZONES)
            or says_wire(found, clause)
            or is_wire_before(found, cue, clause)
            or (points and bool(set(carried) & WIRE_ZONES or {"wire", "wires"} & set(found.words[: clause.start])))
        )
    if need == "blade":
        blades = [p for p in found.within(found.places, clause) if p.id.startswith("blades:")]
        return any(0 <= p.start - cue.end <= 3 for p in blades)
    if need == "place":
        looks = found.words[cue.start]
        there = [p for p in found.within(found.places, clause) if p.start >= cue.end]
        return not looks.endswith("s") and any(not is_landmark(found, p, clause) for p in there)
    if need == "opening name":
        said = any(p.id == "zones:opening" and 0 <= p.start - cue.end <= 5 for p in found.within(found.places, clause))
        return said or ("opening" in carried and not zones and _is_near(found, cue))
    if need == "opening":
        return _is_opening(cue, found, clause, zones)
    if need == "tip":
        return not (zones & (BLADE_ZONES - {"tip", "corners", "whole"})) and not zones & (
            WIRE_ZONES | {"binding", "opening"}
        )
    return False


def is_wire_before(found: Reading, cue: Find, clause: Clause) -> bool:
    """ "Rear wire slack, nipped up": a note whose object was named just before."""
    at = found.clauses.index(clause)
    before = found.clauses[at - 1] if at else None
    if before is None or before.sentence != clause.sentence or cue.start != clause.start:
        return False
    return found.words[cue.start].endswith("ed") and clause.end - clause.start <= 4 and says_wire(found, before)


def says_wire(found: Reading, clause: Clause) -> bool:
    """The word wire, not as part of "wire-up blade"."""
    blades = [p for p in found.within(found.places, clause) if p.id.startswith("blades:")]
    return any(
        found.words[i] in ("wire", "wires") and not any(b.start <= i < b.end for b in blades)
        for i in range(clause.start, clause.end)
    )


def _is_beside(found: Reading, cue: Find) -> bool:
    """A wire is named within three words of the cue."""
    wires = [p for p in found.places if p.id.split(":")[1] in WIRE_ZONES]
    return any(p.start - cue.end <= 3 and cue.start - p.end <= 3 for p in wires)


def _is_near(found: Reading, cue: Find) -> bool:
    """The pronoun is the verb's own object: "smooth that out"."""
    return any(w in _PRONOUNS for w in found.words[cue.end : cue.end + 2])


def _is_opening(cue: Find, found: Reading, clause: Clause, zones: set[str]) -> bool:
    words = found.words[clause.start : clause.end]
    if "opening" in zones or zones & WIRE_ZONES:
        return True
    if found.words[cue.end - 1] in ("further", "more") and any(p.id == "zones:opening" for p in found.places):
        return True
    if zones & (BLADE_ZONES - {"tip", "corners", "whole"}):
        return False
    verb = found.words[cue.start]
    at = cue.start - 1
    while at > clause.start and found.words[at] in _HOW_SOON:
        at -= 1
    before = found.words[at] if cue.start else "."
    if verb.startswith("clos") and {"finger", "thumb"} & set(words):
        return False  # the end of the tube is closed, for a leak test
    sided = any(p.id.startswith("sides:") and 0 < p.start - cue.start <= 3 for p in found.places)
    if sided and not zones and verb.startswith(("press", "push", "squeez", "coax")):
        return True  # "press the right side down"
    if before in ("it", "which", "that", "reed", "she") and verb in ("opened", "opens", "closed", "closes", "stays"):
        return False  # "it opened up beautifully" tells what came of the work
    if before in ("stays", "stay", "keeps", "is", "'s", "was") and verb in ("closed", "open", "opened"):
        return False
    if verb.startswith(
        (
            "even",
            "level",
            "straight",
            "true",
            "squar",
            "correct",
            "fix",
            "adjust",
            "sort",
            "balanc",
            "help",
            "equali",
            "coax",
        )
    ):
        return any(f.id in ("uneven_opening", "tip_open", "tip_closed") for f in found.symptoms)
    return bool(_OPENING_WORDS & set(words)) or any(w in _PRONOUNS for w in words)


def _is_noun(cue: Find, found: Reading) -> bool:
    """ "Opening" and "reading" are verbs only after be, by, start, or before up, the, it."""
    words = found.words
    before = words[cue.start - 1] if cue.start else "."
    if words[cue.start] == "profile" and before in ("the", "a", "its", "this"):
        return True
    if cue.id == "inspect/" and any(a.start < cue.start < a.end for a in found.amounts):
        return True  # "three turns on the tip"
    if cue.id.startswith("play") and words[cue.start] in _SOUNDS and before in _BEFORE_NOUN:
        return True  # "the attack on low F is fuzzy"
    if words[cue.start] == "playing" and before in ("my", "your", "his", "her", "their", "our", "the", "of"):
        return True
    if words[cue.start] == "flex" and before in ("the", "its", "good", "nice", "even", "more", "less", "of"):
        return True
    if words[cue.start] == "dust":
        return before in (
            "cane",
            "the",
            "saw",
            "fine",
            "this",
            "that",
            "of",
            "no",
            "all",
            "some",
            "wood",
            "any",
            "more",
        )
    if words[cue.start] == "file" and cue.id == "scrape/":
        return (
            before in ("a", "the", "this", "my", "fine", "flat", "diamond", "small", "little", "with")
            and cue.end - cue.start <= 2
        )
    if words[cue.start] in _ADJECTIVES and before in _BEFORE_ADJECTIVE and words[cue.end - 1] not in _NOUNS_OF_WORK:
        return True
    if words[cue.start] != "opening":
        return False
    after = words[cue.start + 1] if cue.start + 1 < len(words) else "."
    if before in ("the", "tip", "a", "an", "this", "that", "its", "of", "reed") or after in ("is", "'s", "was"):
        return True
    return after not in ("up", "the", "it", "this", "out", "down", "that") or (before in ("reed",) and after == "the")
