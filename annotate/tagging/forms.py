"""Word forms of English verbs: "clip" is also said clips, clipped, clipping."""

from __future__ import annotations

from functools import cache


def bag(words: str) -> frozenset[str]:
    """The words of a line as a set: long lists stay readable."""
    return frozenset(words.split())


_IRREGULAR = {
    "take": ("took", "taken"), "cut": ("cut", "cut"), "put": ("put", "put"), "blow": ("blew", "blown"),
    "give": ("gave", "given"), "leave": ("left", "left"), "let": ("let", "let"), "get": ("got", "gotten"),
    "go": ("went", "gone"), "do": ("did", "done"), "make": ("made", "made"), "hold": ("held", "held"),
    "grind": ("ground", "ground"), "bring": ("brought", "brought"), "run": ("ran", "run"), "bend": ("bent", "bent"),
    "have": ("had", "had"), "come": ("came", "come"), "read": ("read", "read"), "throw": ("threw", "thrown"),
    "set": ("set", "set"), "keep": ("kept", "kept"), "draw": ("drew", "drawn"), "slide": ("slid", "slid"),
    "see": ("saw", "seen"), "wet": ("wet", "wetted"), "split": ("split", "split"), "shut": ("shut", "shut"),
    "find": ("found", "found"), "feel": ("felt", "felt"), "sound": ("sounded", "sounded"), "sink": ("sank", "sunk"),
    "break": ("broke", "broken"), "begin": ("began", "begun"), "stand": ("stood", "stood"), "bin": ("binned", "binned"),
    "try": ("tried", "tried"), "dry": ("dried", "dried"), "shave": ("shaved", "shaven"), "stick": ("stuck", "stuck"),
    "speak": ("spoke", "spoken"), "bleed": ("bled", "bled"), "lose": ("lost", "lost"), "fall": ("fell", "fallen"),
    "shrink": ("shrank", "shrunk"), "say": ("said", "said"), "tell": ("told", "told"), "hear": ("heard", "heard"),
    "hang": ("hung", "hung"), "spin": ("spun", "spun"), "rise": ("rose", "risen"), "creep": ("crept", "crept"),
    "sweep": ("swept", "swept"), "wind": ("wound", "wound"), "wear": ("wore", "worn"), "steal": ("stole", "stolen"),
    "send": ("sent", "sent"), "fling": ("flung", "flung"), "swing": ("swung", "swung"), "fly": ("flew", "flown"),
    "think": ("thought", "thought"), "buy": ("bought", "bought"), "shoot": ("shot", "shot"), "sing": ("sang", "sung"),
    "is": ("was", "been"), "hit": ("hit", "hit"), "wring": ("wrung", "wrung"), "lay": ("laid", "laid"),
    "sit": ("sat", "sat"), "stroke": ("stroked", "stroked"), "whistle": ("whistled", "whistled"),
}  # fmt: skip
# Past forms that are no other form of a verb in use: "went", "threw", "took".
PAST = frozenset(past for verb, both in _IRREGULAR.items() for past in both[:1] if past != verb and past != "read")
# Final consonant doubled before -ing and -ed although the word has more than one vowel sound, or not doubled.
_NO_DOUBLE = bag(
    "open tighten loosen lighten flatten straighten level even file measure inspect moisten profile "
    "narrow widen lower shorten deepen enlarge feather soften freshen sharpen sew mow crow show blow chew "
    "flex wax play rest crack adjust remove examine finish polish balance steepen gauge weaken wobble "
    "slow sow"
)


_BE = {
    "be": "base", "is": "s", "'s": "s", "am": "s", "are": "s", "was": "past", "were": "past", "been": "past",
    "being": "ing",
}  # fmt: skip


@cache
def forms(verb: str) -> dict[str, str]:
    """Every form of ``verb`` mapped to its kind: base, s, ing or past."""
    if verb == "be":
        return dict(_BE)
    out = {verb: "base", _third(verb): "s", _ing(verb): "ing"}
    past = _IRREGULAR.get(verb, (_past(verb),) * 2)
    for form in past:
        out.setdefault(form, "past")
    return out


def _third(verb: str) -> str:
    if verb.endswith(("s", "x", "z", "ch", "sh")) or verb in ("go", "do"):
        return verb + "es"
    if verb.endswith("y") and verb[-2] not in "aeiou":
        return verb[:-1] + "ies"
    return "has" if verb == "have" else verb + "s"


def _doubles(verb: str) -> bool:
    if len(verb) < 3 or verb in _NO_DOUBLE:
        return False
    if verb.startswith("re") and len(verb) > 4:
        return _doubles(verb[2:])  # rewet as wet, reclip as clip
    a, b, c = verb[-3], verb[-2], verb[-1]
    single_vowel = sum(ch in "aeiou" for ch in verb) == 1
    return c not in "aeiouwxy" and b in "aeiou" and a not in "aeiou" and single_vowel


def _ing(verb: str) -> str:
    if verb.endswith("ie"):
        return verb[:-2] + "ying"
    if verb.endswith("e") and not verb.endswith(("ee", "oe", "ye")):
        return verb[:-1] + "ing"
    return verb + (verb[-1] if _doubles(verb) else "") + "ing"


def _past(verb: str) -> str:
    if verb.endswith("e"):
        return verb + "d"
    if verb.endswith("y") and verb[-2] not in "aeiou":
        return verb[:-1] + "ied"
    return verb + (verb[-1] if _doubles(verb) else "") + "ed"
