"""Places in a line of words, and self-corrections: of "left, sorry, right" only the last word counts."""

from __future__ import annotations

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


def taken_back(plain: list[str], tokens: list[Token], words: Lexicon) -> list[str]:
    """Self-corrections: of "left, sorry, right" only the last word counts; what it replaces is blanked."""
    out = list(plain)
    for fix in words.corrections.find(plain):
        reach = 3 if plain[fix.start : fix.end] == ["no"] else 7
        after = _first_kind(words, out, fix.end, min(len(out), fix.end + reach))
        if not after:
            continue
        for kind, place in after:
            before = _last_of_kind(words, out, max(0, fix.start - 10), fix.start, kind)
            if before and before.id != place.id:
                out[before.start : before.end] = ["_"] * (before.end - before.start)
        if any(_last_of_kind(words, plain, max(0, fix.start - 10), fix.start, kind) for kind, _ in after):
            out[fix.start : fix.end] = ["_"] * (fix.end - fix.start)
    return out


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
