"""Cues that tell no work: a fault, what came of the work, or what goes on beside it."""

from __future__ import annotations

from itertools import pairwise

from annotate.tagging.forms import bag, forms
from annotate.tagging.patterns import Find
from annotate.tagging.sentence import Reading


def is_fault(cue: Find, found: Reading) -> bool:
    """ "It is too open", "the tip is closing" tell a fault, not work; a crow that is low was still blown."""
    step = cue.id.split("/")[0]
    verb = found.words[cue.start]
    if (
        step == "play"
        and found.words[cue.start] == "plays"
        and cue.start
        and found.words[cue.start - 1] in _REED_ITSELF
    ):
        return bool(found.symptoms)  # "the reed plays flat" is a finding
    if step == "inspect" and found.words[cue.start + 1] == "like" and verb.startswith("look"):
        return True  # "do I look like I know where the spine is?"
    if (
        step in ("soak", "scrape", "clip", "sand", "ream")
        and verb.endswith("ing")
        and found.words[cue.start - 1] == "about"
    ):
        return "going" not in found.words[max(0, cue.start - 3) : cue.start]  # "opinions about soaking"
    if step == "soak" and "like" in found.words[max(0, cue.start - 5) : cue.start]:
        return True  # "like a bee in a glass"
    if step in ("play", "soak", "rest") and _is_circumstance(cue, found, step):
        return True
    if step == "scrape" and _is_crack_running(found, cue):
        return True
    open_end = cue.said == "~play" or (step == "play" and found.words[cue.start] == "played")
    if open_end and not _is_of_reed(cue, found):
        return True  # "we played a symphony on Saturday"
    if step == "crow" and found.words[max(0, cue.start - 1)] == "if":
        return True  # "cuts out if I blow"
    if step in ("crow", "play", "leak"):
        return False
    before = found.words[cue.start - 1] if cue.start else "."
    if (
        before in ("that", "which")
        and verb.endswith("s")
        and step not in ("inspect", "measure", "soak", "rest", "retire")
    ):
        return True  # "that takes the edge off": what came of the work
    if before == "which" and verb.endswith("ed"):
        return True  # "which opened the tip"
    if step == "rest" and verb == "dry" and (before == "wet" or found.words[max(0, cue.start - 2)] == "wet"):
        return True  # "wet and dry", "wet-dry" is paper
    if step == "opening" and verb in ("open", "closed") and found.words[cue.start - 2 : cue.start] == ["too", "much"]:
        return True  # "too much open"
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


def _is_crack_running(found: Reading, cue: Find) -> bool:
    """ "A split at the collar, running up the left": the crack runs, no knife."""
    runs = found.words[cue.start] in (*forms("run"), *forms("go"))
    return runs and any(f.id == "crack" and 0 <= cue.start - f.end <= 8 for f in found.symptoms)


def _is_of_reed(cue: Find, found: Reading) -> bool:
    """Playing is a test only where the reed, a note, a time or a fault is told with it."""
    if any(f.id == "play/" and f.start == cue.start for f in found.families):
        return True
    told = any(a.unit in ("min", "h") for a in found.amounts) or bool(found.symptoms)
    near = found.words[cue.end : cue.end + 6]
    notes = any(len(w) == 1 and "b" <= w <= "g" for w in near) or {"note", "notes", "low", "high"} & set(near)
    return told or bool(notes) or bool({"it", "reed", "this", "that", "one", ".", ","} & set(near[:2]))


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


_HOW = bag(
    "strong strongly full loud louder loudly soft softer softly quiet quietly forte piano hard high low up down fast"
)


_REED_ITSELF = bag("reed it one this that")
