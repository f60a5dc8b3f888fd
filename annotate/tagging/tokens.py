"""A sentence as tokens: lower case, contractions opened, fillers gone, common mishearings put right.

Every token keeps where it stands in the text, so that evidence can be shown
in the maker's own words.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from annotate.tagging.forms import bag

_TOKEN = re.compile(
    r"(?<!\? )\b[Nn]o\.(?=\s*\d)|"
    r"(?<!\w)#(?=\s?\d)|(?<![\w.])[-−+](?=\d)|->|→|\d+/\d+|[½¼¾⅓⅔⅛⅜⅝⅞]|\d+(?:,\d{3})+(?!\d)|\d+[.,]\d+|[.,](?=\d)\d+|\d+|°|%|\"|[A-Za-zÀ-ÿµ]+(?:['’][A-Za-z]+)*|[#♯♭]"
    r"|\.\.\.|…|--+|[.,;:!?()\n–—]"
)
_ENDS = {".": ".", "!": ".", "?": "?", ";": ",", "...": ".", "…": ".", "\n": ".", ":": ","}
_SIGNS = {"no.": "number", "#": "number", "-": "minus", "−": "minus", "+": "plus", "->": ",", "→": ","}
_COMMAS = {",", "(", ")", "–", "—"}
_ENDINGS = {
    "n't": ("not",),
    "'m": ("am",),
    "'re": ("are",),
    "'ve": ("have",),
    "'ll": ("will",),
    "'d": ("would",),
    "'s": ("'s",),
}
_WHOLE = {
    "dinnae": "do not", "cannae": "can not", "didnae": "did not", "wasnae": "was not", "isnae": "is not",
    "won't": "will not", "wont": "will not", "can't": "can not", "cannot": "can not", "cant": "can not",
    "shan't": "shall not", "let's": "let us", "lets": "let us", "gonna": "going to", "wanna": "want to",
    "gotta": "have to", "lemme": "let me", "gimme": "give me", "'em": "them", "dont": "do not", "didnt": "did not",
    "doesnt": "does not", "isnt": "is not", "im": "i am", "ive": "i have", "thats": "that is", "hasnt": "has not",
    "havent": "have not", "wasnt": "was not", "it's": "it is", "that's": "that is", "there's": "there is",
    "here's": "here is", "what's": "what is", "who's": "who is", "he's": "he is", "she's": "she is", "ain't": "is not",
    "everything's": "everything is", "this's": "this is", "one's": "one is", "kinda": "kind of", "sorta": "sort of",
    "y'all": "you", "cos": "because", "cuz": "because", "'cause": "because", "an'": "and", "&": "and",
    "theres": "there is", "heres": "here is", "whats": "what is", "youre": "you are", "theyre": "they are",
    "weve": "we have", "youve": "you have", "itll": "it will", "ill": "i will", "wouldnt": "would not",
    "couldnt": "could not", "shouldnt": "should not", "arent": "are not", "werent": "were not", "aint": "is not",
    "outta": "out of", "tryna": "trying to", "imma": "i will", "i'ma": "i will", "alot": "a lot", "okay": "ok",
}  # fmt: skip
_SAID_ASIDE = (
    "um", "umm", "uh", "uhm", "er", "erm", "hmm", "hm", "mm hmm", "ah", "you know", "sort of", "kind of", "basically",
    "honestly", "literally", "frankly", "i guess", "i suppose", "i think", "i reckon", "i believe", "like ,", "please",
    "obviously", "i would say", "i would think", "i would guess", "i am thinking", "i am afraid", "i must say",
    "i have to say", "i dare say", "mind you", "what i want to do is", "what i am going to do is", "i want you to",
    "i would like you to", "can you", "could you", "would you", "go ahead and", "as it were", "real quick",
)  # fmt: skip
_FILLERS: dict[str, list[tuple[str, ...]]] = {}
for _said in _SAID_ASIDE:
    _FILLERS.setdefault(_said.split()[0], []).append(tuple(_said.split()))
# "Could you hold it up" asks for work; "can you hear that" and "would you believe it" do not.
_ASKING = (("can", "you"), ("could", "you"), ("would", "you"))
_PARTICIPLES = bag("taken thrown cut done gone been given made had left got thought hoped already just only found set")
_DOING = bag(
    "scrape clip sand ream soak crow check hold take give put open close tighten loosen measure thin squeeze file play "
    "try trim pass turn blow clear dust feather wet"
)


@dataclass(frozen=True)
class Token:
    """One word or mark: ``word`` as the rules see it, and its place ``[start, end)`` in the text."""

    word: str
    start: int
    end: int

    @property
    def is_stop(self) -> bool:
        return self.word in (".", "?")


def tokenise(text: str, heard_as: Mapping[str, str] | None = None) -> list[Token]:
    """The tokens of ``text``; ``heard_as`` maps misheard phrases to the trade's words."""
    tokens = [t for m in _TOKEN.finditer(text) for t in _open(m.group(), m.start(), m.end(), text)]
    tokens = _had_done(_next_heads(text, tokens))
    tokens = _without_fillers(tokens)
    if heard_as:
        tokens = _put_right(tokens, heard_as)
    return _without_repeats(tokens)


def _had_done(tokens: list[Token]) -> list[Token]:
    """ "I'd clipped it" is had, "I'd clip it" is would: the verb after it tells."""
    return [
        Token("had", t.start, t.end)
        if t.word == "would" and t.end - t.start == 2 and i + 1 < len(tokens) and is_participle(tokens[i + 1].word)
        else t
        for i, t in enumerate(tokens)
    ]


def is_participle(word: str) -> bool:
    return (word.endswith("ed") and word not in ("need", "feed")) or word in _PARTICIPLES


def _next_heads(text: str, tokens: list[Token]) -> list[Token]:
    """ "Next: the collar" heads a list for next time; "next, the collar" only goes on."""
    out: list[Token] = []
    for token in tokens:
        if text[token.start : token.end] == ":" and out and out[-1].word == "next":
            out.append(Token("time", token.start, token.end))
        out.append(token)
    return out


def _open(raw: str, start: int, end: int, text: str) -> list[Token]:
    word = raw.lower().replace("’", "'")
    if word in _ENDS:
        return [Token(_ENDS[word], start, end)]
    if word in _SIGNS:
        return [Token(_SIGNS[word], start, end)]
    if word in _COMMAS or word.startswith("--"):
        return [Token(",", start, end)]
    if word[0].isdigit() or (word[0] in ".," and len(word) > 1):
        word = word.replace(",", "" if re.fullmatch(r"\d+(,\d{3})+", word) else ".")
        return [Token(word, start, end)]
    if word in _WHOLE:
        return [Token(w, start, end) for w in _WHOLE[word].split()]
    for ending, words in _ENDINGS.items():
        if word.endswith(ending) and len(word) > len(ending):
            cut = end - len(ending)
            stem = [Token(w, start, cut) for w in _WHOLE.get(word[: -len(ending)], word[: -len(ending)]).split()]
            return stem + [Token(w, cut, end) for w in words]
    if len(word) > 5 and word.endswith("in") and text[end : end + 1] in ("'", "’"):
        word += "g"  # "eyeballin' it"
    return [Token(word.replace("'", ""), start, end)]


def _without_fillers(tokens: list[Token]) -> list[Token]:
    kept: list[Token] = []
    words = [t.word for t in tokens]
    i = 0
    while i < len(tokens):
        filler = next((f for f in _FILLERS.get(words[i], ()) if tuple(words[i : i + len(f)]) == f), None)
        if (
            filler == ("like", ",")
            and kept
            and kept[-1].word not in (",", "so", "is", "am", "'s", "and", "but", "just")
        ):
            filler = None
        if filler in _ASKING and not _DOING & set(words[i + 2 : i + 3]):
            filler = None
        if filler == ("you", "know") and words[i + 2 : i + 3] in (["how"], ["what"], ["that"], ["when"]):
            filler = None
        if filler in (("kind", "of"), ("sort", "of")) and i and words[i - 1] in ("a", "this", "that", "the", "what"):
            filler = None
        if filler is None:
            kept.append(tokens[i])
            i += 1
            continue
        i += len(filler) - (filler[-1] == ",")
        if i < len(tokens) and words[i] == "," and (not kept or kept[-1].word in (",", ".", "?", ":")):
            i += 1
    return kept


def _put_right(tokens: list[Token], heard_as: Mapping[str, str]) -> list[Token]:
    longest = max(len(k.split()) for k in heard_as)
    out: list[Token] = []
    i = 0
    while i < len(tokens):
        for size in range(min(longest, len(tokens) - i), 0, -1):
            right = heard_as.get(" ".join(t.word for t in tokens[i : i + size]))
            if right is not None:
                first, last = tokens[i], tokens[i + size - 1]
                out += [Token(w, first.start, last.end) for w in right.split()]
                i += size
                break
        else:
            out.append(tokens[i])
            i += 1
    return out


def _without_repeats(tokens: list[Token]) -> list[Token]:
    """ "the the tip" is said once; numbers may repeat ("point oh oh four")."""
    keep_double = {"oh", "o", "zero", "nought", "naught", "left", "right", "snip", "no"}
    return [
        t
        for i, t in enumerate(tokens)
        if i == 0
        or tokens[i - 2].word == "point"
        or t.word != tokens[i - 1].word
        or t.word[0].isdigit()
        or t.word in keep_double
    ]


def evidence(text: str, tokens: list[Token], start: int, end: int) -> str:
    """The maker's own words from token ``start`` to ``end``."""
    if start >= end or start >= len(tokens):
        return ""
    return text[tokens[start].start : tokens[min(end, len(tokens)) - 1].end]
