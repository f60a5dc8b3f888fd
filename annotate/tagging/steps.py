"""Which step a clause speaks of: the strongest cue whose need is met."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from annotate.tagging.anyverb import any_verb
from annotate.tagging.forms import bag, forms
from annotate.tagging.lexicon import BLADE_ZONES, WIRE_ZONES
from annotate.tagging.patterns import Find
from annotate.tagging.places import is_landmark
from annotate.tagging.sentence import Clause, Reading
from annotate.tagging.spoken import Amount

# One clause is one piece of work. Where several cues stand in it, the one that says more wins.
_ORDER = [
    "retire",
    "break_in",
    "leak",
    "soak",
    "clear",
    "ream",
    "form",
    "measure",
    "sand",
    "clip",
    "wires",
    "opening",
    "crow",
    "rest",
    "profile",
    "inspect",
    "play",
    "scrape",
]
_CANE_WORDS = bag(
    "cane wood hump bump ridge lump spot hair bit whisker touch shaving fraction more material thou sliver"
)
GRITS = frozenset((150, 180, 220, 240, 280, 320, 360, 400, 500, 600, 800, 1000, 1200, 1500, 2000, 2500, 3000, 4000))
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
_REED_ITSELF = bag("reed it one this that")
_FITS = bag("going goes go fit fits fitting sit sits sitting slide slides further fully seat seats reach reaches")
_HOW = bag("loud louder loudly soft softer softly quiet quietly forte piano hard high low up down fast")
_PRONOUNS = bag("it this that them those these there here each")
_OPENING_WORDS = bag("opening aperture gap mouth tip reed blades")


def cue_of(found: Reading, clause: Clause, carried: tuple[str, ...]) -> Find | None:
    """The cue that names the clause's step, or None. ``carried`` are the zones spoken of before."""
    zones = {f.id.split(":")[1] for f in found.within(found.places, clause) if f.id.startswith("zones:")}
    met = _met(found.cues, found, clause, zones, carried)
    if not met:
        counted = _by_numbers(found, clause, zones, carried)
        if counted:
            return counted
        met = _met(found.families, found, clause, zones, carried)
    if not met:
        return any_verb(found, clause)
    # "open the tip by squeezing the wire" is about the opening, "squeeze the wire to open the tip" about the wire.
    pair = [c for c in met if c.id.split("/")[0] in ("wires", "opening")]
    if zones & WIRE_ZONES and any(c.id.startswith("wires") for c in pair):
        squeezes = [c for c in pair if c.id.startswith("opening") and not _says_opening(found, c)]
        met, pair = [c for c in met if c not in squeezes], [c for c in pair if c not in squeezes]
    if set(carried) & WIRE_ZONES and any(c.id.startswith("wires") for c in met) and not zones:
        met = [c for c in met if not c.id.startswith("clip")]
    if zones & WIRE_ZONES:
        met = [c for c in met if not c.id.startswith("form")] or met
        met = [c for c in met if not _has_wire_object(found, c)] or met
        pair = [c for c in pair if c in met]
    looks = [c.start for c in met if c.id == "inspect/"]
    if looks and any(c.id.startswith("opening") and c.start >= min(looks) for c in pair):
        met, pair = [c for c in met if c not in pair], []
    if pair:
        first = min(pair, key=lambda c: (c.start, c.id != "wires/wire"))
        met = [c for c in met if c not in pair or c.id == first.id]
    if any(c.id == "scrape/cane" for c in met) and _is_clip_by_length(found, clause, zones):
        return Find("clip/tip", met[0].start, met[0].end, f"{met[0].said} + length off the tip")
    best = min(met, key=lambda c: (_ORDER.index(c.id.split("/")[0]), c.start, -c.end))
    if best.id.startswith("scrape/") and names_paper(found, clause):
        return Find("sand/", best.start, best.end, f"{best.said} + paper")
    return best


def _met(cues: list[Find], found: Reading, clause: Clause, zones: set[str], carried: tuple[str, ...]) -> list[Find]:
    near = [c for c in found.within(cues, clause) if _is_met(c, found, clause, zones, carried)]
    return [c for c in near if not _is_fault(c, found)]


def _has_wire_object(found: Reading, cue: Find) -> bool:
    """ "I opened the first wire": the wire was worked, whatever the verb."""
    at = next((i for i in range(cue.start + 1, cue.start + 5) if found.words[i : i + 1] == ["wire"]), None)
    wires = [p for p in found.places if p.id.split(":")[1] in WIRE_ZONES]
    return cue.id.startswith("opening") and at is not None and any(0 < p.start - cue.start <= 2 for p in wires)


def _is_clip_by_length(found: Reading, clause: Clause, zones: set[str]) -> bool:
    """ "Half a millimetre off the tip" is a length; a tip is never that thick."""
    far = any(
        clause.holds(a)
        and ((a.unit == "mm" and Fraction(15, 100) <= a.value <= 3) or (a.unit == "in" and a.part >= 16))
        for a in found.amounts
    )
    off = {"off", "from"} & set(found.words[clause.start : clause.end])
    return far and bool(off) and zones <= {"tip", "whole"} and "tip" in zones


_STROKED = bag("rails channels wings back heart corners tip spine collar windows")
_GAUGES = bag("gauge dial micrometer thickness thick measure measured measures reads reading thou mm indicator")


def _by_numbers(found: Reading, clause: Clause, zones: set[str], carried: tuple[str, ...]) -> Find | None:
    """ "Six on the left rail" is strokes, "with eight hundred" is paper, though no verb says so."""
    if names_paper(found, clause):
        return Find("sand/", clause.start, clause.end, "paper named")
    for a in found.amounts:
        after = found.words[a.end] if a.end < len(found.words) else "."
        if clause.holds(a) and a.unit in ("mm", "thou", "in", "µm") and after in ("off", "out") and zones & BLADE_ZONES:
            return Find("scrape/cane", a.start, a.end, "amount off a place")
    places = zones or set(carried)
    if not places & _STROKED or _GAUGES & set(found.words[max(0, clause.start - 8) : clause.end]):
        return None
    for a in found.amounts:
        if clause.holds(a) and counts_strokes(found, a) and (zones or _is_of_strokes(found, a)):
            return Find("scrape/cane", a.start, a.end, "number of strokes at a place")
    return None


_AFTER_STROKES = bag("on up down along off across each per more apiece here there light gentle quick short . , at")


def _is_of_strokes(found: Reading, amount: Amount) -> bool:
    """ "Ten per side", "four more": strokes at the place named before."""
    return found.words[amount.end] in ("per", "each", "more", "apiece", "a")


def counts_strokes(found: Reading, amount: Amount) -> bool:
    """Whether a bare number can only be a number of strokes where cane is worked."""
    whole = amount.value.denominator == 1 and 2 <= amount.value <= 100 and amount.unit is None
    before = found.words[amount.start - 1] if amount.start else "."
    if not whole or before in _NAMED_BY_NUMBER or (len(before) == 1 and before.isalpha()) or amount.value in GRITS:
        return False
    after = found.words[amount.end] if amount.end < len(found.words) else "."
    if after == "a":
        return found.words[amount.end + 1] == "side"
    if after in (",", "and") and _counts_on(found, amount):
        return False
    return after in _AFTER_STROKES


_NAMED_BY_NUMBER = bag("or to number wire wires blade blades reed grit point room page bar bars at the take minus")


def _counts_on(found: Reading, amount: Amount) -> bool:
    """ "Five, six, seven": only the last is said for all."""
    return any(
        b.start - amount.end <= 2 and b.start >= amount.end and b.value == amount.value + 1 for b in found.amounts
    )


def _says_opening(found: Reading, cue: Find) -> bool:
    """Open, close or even, and not the squeeze by which it is done."""
    verb = found.words[cue.start]
    return not verb.startswith(
        (
            "squee",
            "pinch",
            "press",
            "push",
            "squi",
            "squa",
            "mash",
            "mass",
            "gentle",
            "little",
            "bit",
            "small",
            "slight",
            "tiny",
            "quick",
            "down",
            "up",
            "give",
            "gav",
            "coax",
            "bend",
        )
    )


def names_paper(found: Reading, clause: Clause) -> bool:
    """A grit or "with four hundred": the work is done with paper."""
    for amount in found.amounts:
        if not clause.holds(amount):
            continue
        before = found.words[amount.start - 1] if amount.start else ""
        after = found.words[amount.end] if amount.end < len(found.words) else "."
        if (
            amount.unit is None
            and amount.value in GRITS
            and amount.value >= 220
            and after in ("for", "on", "inside", "over")
        ):
            return True
        if amount.unit == "grit" or (
            amount.unit is None and amount.value in GRITS and before in ("with", "using", "the", "of")
        ):
            return True
    return False


def _is_fault(cue: Find, found: Reading) -> bool:
    """ "It is too open", "the tip is closing" tell a fault, not work; a crow that is low was still blown."""
    step = cue.id.split("/")[0]
    if (
        step == "play"
        and found.words[cue.start] == "plays"
        and cue.start
        and found.words[cue.start - 1] in _REED_ITSELF
    ):
        return bool(found.symptoms)  # "the reed plays flat" is a finding
    if step in ("play", "soak", "rest") and _is_circumstance(cue, found, step):
        return True
    open_end = cue.said == "~play" or (step == "play" and found.words[cue.start] == "played")
    if open_end and not _is_of_reed(cue, found):
        return True  # "we played a symphony on Saturday"
    if step == "crow" and found.words[max(0, cue.start - 1)] == "if":
        return True  # "cuts out if I blow"
    if step in ("crow", "play", "leak"):
        return False
    verb, before = found.words[cue.start], found.words[cue.start - 1] if cue.start else "."
    if (
        before in ("that", "which")
        and verb.endswith("s")
        and step not in ("inspect", "measure", "soak", "rest", "retire")
    ):
        return True  # "that takes the edge off": what came of the work
    if before == "which" and verb.endswith("ed"):
        return True  # "which opened the tip"
    if step == "rest" and before in ("and", "or") and found.words[cue.start - 2] == "wet":
        return True  # "wet and dry" is paper
    if step == "opening" and _is_let_happen(found, cue):
        return True
    if step == "rest" and {"will", "settle"} <= set(found.words[cue.start : cue.end]):
        return True  # "it will settle" is a hope
    if step == "inspect" and any(cue.start - 4 <= i < cue.start for i in found.asides):
        return True
    if step == "rest" and any(
        w in ("when", "once", "if", "after", "until", "because") for w in found.words[max(0, cue.start - 4) : cue.start]
    ):
        return True
    return any(f.start <= cue.start < f.end for f in found.symptoms)


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


def _is_of_reed(cue: Find, found: Reading) -> bool:
    """Playing is a test only where the reed, a note, a time or a fault is told with it."""
    if any(f.id == "play/" and f.start == cue.start for f in found.families):
        return True
    told = any(a.unit in ("min", "h") for a in found.amounts) or bool(found.symptoms)
    near = found.words[cue.end : cue.end + 6]
    notes = any(len(w) == 1 and "b" <= w <= "g" for w in near) or {"note", "notes", "low", "high"} & set(near)
    return told or bool(notes) or bool({"it", "reed", "this", "that", "one", ".", ","} & set(near[:2]))


def _is_cane_taken(cue: Find, found: Reading, zones: set[str]) -> bool:
    """ "A bit of cane off the back" is scraped off; "a bit of cane out of the tube" is cleared out."""
    said = set(found.words[cue.start : cue.end])
    end = {"end", "front", "length"} & set(found.words[cue.end : cue.end + 4])
    taken = said & {"cane", "sliver", "hair", "shaving", "shavings"} and (zones & BLADE_ZONES or end)
    return bool(taken) and not said & {"loose", "stuck", "between", "out"}


def _is_let_happen(found: Reading, cue: Find) -> bool:
    """ "That's let the mouth open up": what came of the work."""
    before = found.words[max(0, cue.start - 6) : cue.start]
    return any(a in ("has", "'s", "that", "is", "which") and b in ("let", "lets") for a, b in pairwise(before))


def _is_circumstance(cue: Find, found: Reading, step: str) -> bool:
    """ "When I play loud", "while it soaks": what goes on beside the thing told."""
    before = found.words[max(0, cue.start - 3) : cue.start]
    if step == "play":
        how = set(found.words[cue.end - 1 : cue.end + 2]) & _HOW
        return bool(how) and any(a in ("when", "whenever", "if") and b in ("i", "we") for a, b in pairwise(before))
    return "while" in before


def _is_met(cue: Find, found: Reading, clause: Clause, zones: set[str], carried: tuple[str, ...]) -> bool:
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
        return bool(zones & WIRE_ZONES) and _is_beside(found, cue)
    if need == "wire":
        return (
            bool(zones & WIRE_ZONES)
            or _says_wire(found, clause)
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
        return _is_opening(cue, found, words, zones)
    if need == "tip":
        return not (zones & (BLADE_ZONES - {"tip", "corners", "whole"})) and not zones & (
            WIRE_ZONES | {"binding", "opening"}
        )
    return False


def _says_wire(found: Reading, clause: Clause) -> bool:
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


def _is_opening(cue: Find, found: Reading, words: list[str], zones: set[str]) -> bool:
    if "opening" in zones or zones & WIRE_ZONES:
        return True
    if found.words[cue.end - 1] in ("further", "more") and any(p.id == "zones:opening" for p in found.places):
        return True
    if zones & (BLADE_ZONES - {"tip", "corners", "whole"}):
        return False
    verb = found.words[cue.start]
    before = found.words[cue.start - 1] if cue.start else "."
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


def is_strong(cue: Find) -> bool:
    """A cue that needs nothing beside itself."""
    return cue.id.endswith("/")
