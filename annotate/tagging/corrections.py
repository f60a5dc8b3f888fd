"""Places in a line of words, and self-corrections: of "left, sorry, right" only the last word counts."""

from __future__ import annotations

import re
from itertools import pairwise

from annotate.tagging.lexicon import Lexicon
from annotate.tagging.patterns import Find, longest
from annotate.tagging.spoken import amounts
from annotate.tagging.tokens import Token


def places_in(words: Lexicon, plain: list[str]) -> list[Find]:
    """Zones, blades and sides; of each kind the longest, and a wire named by a blade's word is a wire."""
    found = words.places.find(plain)
    kinds = {kind: longest([f for f in found if f.id.startswith(kind)]) for kind in ("zones", "blades", "sides")}
    zones = kinds["zones"]
    blades = [b for b in kinds["blades"] if not any(z.start <= b.start and b.end <= z.end for z in zones)]
    sides = [s for s in kinds["sides"] if not any(z.start < s.start and s.end <= z.end for z in zones)]
    zones = [z for z in zones if not any(b.start <= z.start and z.end <= b.end for b in blades)]
    said = {s.start for s in sides}
    sides += [
        Find(f"sides:{plain[z.start - 1]}", z.start - 1, z.start)
        for z in zones
        if z.start
        and plain[z.start - 1] in ("left", "right")
        and z.start - 1 not in said
        and not any(s.start <= z.start - 1 < s.end for s in sides)
    ]
    return sorted([*zones, *blades, *sides], key=lambda f: f.start)


# Phrases that can only take something back: after them a verb replaces the verb before.
_FOR_VERBS = (
    "i mean",
    "i meant",
    "lie",
    "correction",
    "scratch that",
    "strike that",
    "rather",
    "make that",
    "rephrase",
)


def taken_back(text: str, tokens: list[Token], words: Lexicon) -> list[str]:
    """Self-corrections: of "left, sorry, right" only the last word counts; what it replaces is blanked."""
    plain = [t.word for t in tokens]
    out = _hesitated(text, tokens, words)
    for fix in words.corrections.find(plain):
        reach = 3 if plain[fix.start : fix.end] == ["no"] else 7
        if " ".join(plain[fix.start : fix.end]).endswith(_FOR_VERBS):
            _verb_taken_back(words, out, fix)
        after = _first_kind(words, out, fix.end, min(len(out), fix.end + reach))
        after += _amount_after_all(out, fix) if not after else []
        if not after:
            continue
        for kind, place in after:
            before = _last_of_kind(words, out, max(0, fix.start - 10), fix.start, kind)
            if before and before.id != place.id:
                out[before.start : before.end] = ["_"] * (before.end - before.start)
                if kind != "amount":
                    _one_breath(out, before.end, fix, place.start)
        if any(_last_of_kind(words, plain, max(0, fix.start - 10), fix.start, kind) for kind, _ in after):
            out[fix.start : fix.end] = ["_"] * (fix.end - fix.start)
    return out


def _one_breath(out: list[str], start: int, fix: Find, end: int) -> None:
    """ "Tightened wire one, I mean wire two": the verb keeps its object though commas stand between."""
    if end - fix.end <= 2 and all(w in (",", "_") for w in out[start : fix.start]):
        out[start:end] = ["_" if w == "," else w for w in out[start:end]]


def _hesitated(text: str, tokens: list[Token], words: Lexicon) -> list[str]:
    """ "Top blade, er, bottom blade": a place of the same kind right after a hesitation replaces the one before."""
    out = [t.word for t in tokens]
    if not re.search(r",\s*(er|erm|uh|um)\b", text, re.IGNORECASE):
        return out
    for kind in ("blades", "sides", "zones"):
        places = [p for p in places_in(words, out) if p.id.startswith(kind)]
        for one, two in pairwise(places):
            between = text[tokens[one.end - 1].end : tokens[two.start].start]
            if one.id != two.id and re.fullmatch(
                r"[,.\s]*(er|erm|uh|um)[,.\s]*(the|on the|)\s*", between, re.IGNORECASE
            ):
                out[one.start : one.end] = ["_"] * (one.end - one.start)
    return out


def _verb_taken_back(words: Lexicon, out: list[str], fix: Find) -> None:
    """ "I scraped, I tell a lie, I sanded the tip": only sanding was done."""
    cues = words.cues.find(out)
    after = next((c for c in cues if 0 <= c.start - fix.end <= 4), None)
    before = [c for c in cues if 0 <= fix.start - c.end <= 6 and "." not in out[c.end : fix.start]]
    if after and before and before[-1].id.split("/")[0] != after.id.split("/")[0]:
        for cue in before:
            out[cue.start] = "_"


def _amount_after_all(out: list[str], fix: Find) -> list[tuple[str, Find]]:
    """ "Seventeen, no, I read it upside down, eleven hundredths": a number taken back at once."""
    if not any(fix.start - 2 <= a.end <= fix.start for a in amounts(out[: fix.start])):
        return []
    near = [a for a in amounts(out) if fix.end <= a.start <= fix.end + 8]
    if not near or "." in out[fix.end : near[0].start]:
        return []
    return [("amount", Find(f"amount:{near[0].value}", near[0].start, near[0].end))]


def _first_kind(words: Lexicon, plain: list[str], start: int, end: int) -> list[tuple[str, Find]]:
    stop = next((i for i in range(start, end) if plain[i] in (".", "?")), end)
    piece = plain[start:stop]
    out: list[tuple[str, Find]] = []
    for find in places_in(words, [*piece, "."]):
        kind = find.id.split(":")[0]
        if kind not in [k for k, _ in out]:
            out.append((kind, Find(find.id, find.start + start, find.end + start)))
    for amount in amounts(piece)[:1]:
        if amount.start <= 2:
            out.append(("amount", Find(f"amount:{amount.value}", amount.start + start, amount.end + start)))
    return out


def _last_of_kind(words: Lexicon, plain: list[str], start: int, end: int, kind: str) -> Find | None:
    piece = plain[start:end]
    if kind == "amount":
        said = amounts(piece)
        return Find(f"amount:{said[-1].value}", said[-1].start + start, said[-1].end + start) if said else None
    found = [f for f in places_in(words, [*piece, "."]) if f.id.startswith(kind)]
    return Find(found[-1].id, found[-1].start + start, found[-1].end + start) if found else None
