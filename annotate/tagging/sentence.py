"""A line read: its tokens, everything found in it, and its clauses."""

from __future__ import annotations

from dataclasses import dataclass, field

from annotate.tagging.corrections import places_in, taken_back
from annotate.tagging.forms import bag, forms
from annotate.tagging.lexicon import Lexicon
from annotate.tagging.patterns import Find, longest
from annotate.tagging.spoken import Amount, amounts
from annotate.tagging.tokens import Token, evidence, tokenise

SUBJECTS = bag("i we it he she they you there that this let these those")
_JOINTS = bag("then so but because while though although whereas if when unless which once after before since as")
_BEING = bag("is are was were be been 's get gets got has have")
_HOLD = bag(
    "monday tuesday wednesday thursday friday saturday sunday sitting time week session night morning "
    "afternoon evening month year tomorrow yesterday earlier later first _ as so that what where when if "
    "until till how than because while who which before after once since and or but see hear know think "
    "like though although unless why whether sure say says said let to of for with from , . : ? then now "
    "today tonight here just also all"
)
_VERBS_AFTER = bag(
    "am is are was were will have has had do did does can could would should might must may me us 's not "
    "just shall take took need want scraped clipped sanded reamed"
)


_TIMES = bag("next tomorrow now today yesterday tonight later")
_LINKS = bag(", _ and so but right ok then well now")
_FRONTED = bag("before after during in on at over since back last yesterday earlier")


@dataclass(frozen=True)
class Clause:
    """One predicate, at tokens ``[start, end)``; ``sentence`` counts the full stops before it."""

    start: int
    end: int
    sentence: int

    def holds(self, find: Find | Amount) -> bool:
        return self.start <= find.start < self.end


@dataclass
class Reading:
    """Everything found in one line, before it is judged."""

    text: str
    tokens: list[Token]
    words: list[str]
    plain: list[str]
    asides: set[int]
    places: list[Find]
    symptoms: list[Find]
    cues: list[Find]
    families: list[Find]
    amounts: list[Amount]
    modes: list[Find]
    none: list[Find]
    pointing: list[Find]
    quantities: list[Find]
    clauses: list[Clause] = field(default_factory=list)

    def said(self, start: int, end: int) -> str:
        return evidence(self.text, self.tokens, start, end)

    def within(self, finds: list[Find], clause: Clause) -> list[Find]:
        return [f for f in finds if clause.holds(f)]


def read(text: str, words: Lexicon) -> Reading:
    """Find everything that may matter in ``text``."""
    tokens = tokenise(text, words.heard_as)
    if not tokens or not tokens[-1].is_stop:
        tokens = [*tokens, Token(".", len(text), len(text))]
    plain = taken_back(text, tokens, words)
    aside = {i for f in words.asides.find(plain) for i in range(f.start, f.end)}
    plain = ["_" if i in aside else w for i, w in enumerate(plain)]
    hidden = {i for f in words.masks.find(plain) if not _is_side(plain, f) for i in range(f.start, f.end)}
    masked = ["_" if i in hidden else w for i, w in enumerate(plain)]
    # "back" in another sense than the place still belongs to phrases such as "back in the case"
    acting = ["back" if p == "back" else m for p, m in zip(plain, masked, strict=True)]
    found = Reading(
        text,
        tokens,
        masked,
        plain,
        aside,
        places_in(words, masked),
        longest(words.symptoms.find(masked)),
        words.cues.find(acting),
        words.families.find(acting),
        amounts(masked),
        words.modes.find(plain),
        words.none.find(plain),
        words.pointing.find(plain),
        words.quantities.find(masked),
    )
    found.clauses = _clauses(found)
    return found


_SCRAPED = {*forms("scrape"), *forms("thin"), *forms("file")}
_CANE = bag("cane wood strokes stroke scrape scraping thin thinning take taking more knife")
_AFTER_SIDE = bag(", . so and by with up then too as")
_OF_PLACE = bag("the its left right upper lower both each")


def _is_side(plain: list[str], mask: Find) -> bool:
    """ "The right, so ..." is a side and "the back on the left" a place; "right, so ..." and "back on" are not."""
    if mask.end - mask.start != 1 or mask.start == 0:
        return False
    if plain[mask.start] in ("window", "windows"):  # "some wood out of the windows"
        return bool(_CANE & set(plain[max(0, mask.start - 7) : mask.start]))
    if plain[mask.start] == "back":
        if plain[mask.start - 1] in _SCRAPED:  # "scraped back, both blades", not "scrape back a bit"
            return (
                plain[mask.end] in (",", ".", "both", "left", "right", "upper", "lower", "and")
                or plain[mask.end][0].isdigit()
            )
        return plain[mask.start - 1] in _OF_PLACE and plain[mask.end : mask.end + 1] != ["of"]
    if plain[mask.start] not in ("left", "right"):
        return False
    after = plain[mask.end] if mask.end < len(plain) else "."
    if plain[mask.start] == "left" and plain[mask.start - 1] == "the":
        return after not in ("over", "alone", "behind", "me")
    after_left = "left" in plain[max(0, mask.start - 8) : mask.start] and plain[mask.start - 1] not in (
        "all",
        "'s",
        "is",
    )
    return (after_left or plain[mask.start - 1] in ("the", "upper", "lower")) and after in _AFTER_SIDE


def _clauses(found: Reading) -> list[Clause]:
    words = found.words
    starts = {0}
    hard = {i + 1 for i, w in enumerate(words) if w in (".", "?")}
    heads = {c.start for c in found.cues if not c.id.endswith("/zone")}
    heads |= {a.start for a in found.amounts if a.unit == "strokes"}
    for i, word in enumerate(words):
        if word in (",", ":"):
            starts.add(i + 1)
        elif _begins(words, i, heads):
            starts.add(i)
    starts |= hard
    cuts = sorted(s for s in starts if s < len(words))
    pieces: list[Clause] = []
    sentence = 0
    for start, end in zip(cuts, [*cuts[1:], len(words)], strict=True):
        if start in hard:
            sentence += 1
        if any(w not in (",", ".", ":", "?", "and", "_") for w in words[start:end]):
            pieces.append(Clause(start, end, sentence))
    return _merged(found, pieces)


def _begins(words: list[str], i: int, heads: set[int]) -> bool:
    """Whether a new clause begins at word ``i`` although no mark stands before it."""
    word = words[i]
    if i == 0 or words[i - 1] in (",", ".", ":", "?"):
        return False
    following = words[i + 1] if i + 1 < len(words) else "."
    if word in ("and", "or", "plus"):
        j = i + 1
        while j < len(words) and words[j] in (
            "then",
            "now",
            "just",
            "also",
            "again",
            "so",
            "maybe",
            "perhaps",
            "still",
            "next",
            "afterwards",
            "finally",
            "quickly",
            "_",
        ):
            j += 1
        if words[j : j + 1] and words[j] in _TIMES:
            j += 1  # "and then tonight I will crow it"
        return j < len(words) and (words[j] in SUBJECTS or j in heads)
    if word == "so":
        return (
            following in SUBJECTS or following in ("today", "now", "tonight", "next", "then", "just") or i + 1 in heads
        )
    if word in ("before", "after", "since", "once", "as"):
        return following in SUBJECTS
    if word == "then" and words[i - 1] in _BEING:
        return False  # "the wire is then tightened"
    if word in _JOINTS:
        return words[i - 1] not in _JOINTS and words[i - 1] not in (
            "and",
            "just",
            "only",
            "even",
            "until",
            "see",
            "what",
        )
    if word in SUBJECTS and words[i - 1] not in _HOLD:
        return following in _VERBS_AFTER
    if word in _TIMES and following in SUBJECTS:
        return words[i - 1] not in ("and", "so", "but", "then", "right", "if", "until")
    return False


def _is_fragment(found: Reading, clause: Clause) -> bool:
    """A piece that says nothing by itself: places, numbers, words without a verb of ours."""
    words = found.words[clause.start : clause.end]
    if (
        {"is", "'s", "are", "was", "were", "looks", "feels"} & set(words[1:])
        or any(w in SUBJECTS for w in words[:4])
        or is_next_place(found, clause)
    ):
        return False
    modes = [m for m in found.modes if m.id not in ("now", "done_now")]
    return not any(
        found.within(finds, clause) for finds in (found.cues, found.symptoms, modes, found.none, found.pointing)
    )


def _is_time_alone(found: Reading, clause: Clause) -> bool:
    """ "Before the break ...", "In the last video, ...": a time in front belongs to what follows."""
    times = [m for m in found.within(found.modes, clause) if m.id in ("day", "recap", "plan")]
    covered = {i for m in times for i in range(m.start, m.end)}
    said = [i for i in range(clause.start, clause.end) if found.words[i] not in _LINKS]
    return bool(said) and found.words[said[0]] in _FRONTED | _TIMES and all(i in covered for i in said)


def is_next_place(found: Reading, clause: Clause) -> bool:
    """ "..., then the right": the work goes on at the next place."""
    words = found.words[clause.start : clause.start + 2]
    return "then" in words and bool(found.within(found.places, clause)) and not found.within(found.cues, clause)


def _merged(found: Reading, pieces: list[Clause]) -> list[Clause]:
    """Fragments join the piece before that holds work, or else the piece after, within one sentence."""
    out: list[Clause] = []
    waiting: Clause | None = None
    for piece in pieces:
        if waiting and waiting.sentence == piece.sentence:
            piece = Clause(waiting.start, piece.end, piece.sentence)
        elif waiting:
            out.append(waiting)
        waiting = None
        if _is_time_alone(found, piece):
            waiting = piece
        elif not _is_fragment(found, piece):
            out.append(piece)
        elif out and out[-1].sentence == piece.sentence and found.within(found.cues, out[-1]):
            out[-1] = Clause(out[-1].start, piece.end, piece.sentence)
        else:
            waiting = piece
    if waiting and out and out[-1].sentence == waiting.sentence:
        out[-1] = Clause(out[-1].start, waiting.end, waiting.sentence)
    elif waiting:
        out.append(waiting)
    return out
