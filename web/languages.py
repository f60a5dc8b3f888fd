"""The languages that are offered for a recording; any other code of the recogniser can come from listening."""

from __future__ import annotations

from annotate.listen.recognition import SURE_OF_LANGUAGE
from annotate.model import Recording

LANGUAGES = {
    **{"en": "English", "de": "German", "fr": "French", "es": "Spanish", "it": "Italian", "nl": "Dutch"},
    **{"pt": "Portuguese", "pl": "Polish", "cs": "Czech", "sv": "Swedish", "da": "Danish", "fi": "Finnish"},
    **{"hu": "Hungarian", "ru": "Russian", "uk": "Ukrainian", "tr": "Turkish", "zh": "Chinese", "ja": "Japanese"},
    **{"ko": "Korean"},
}


def told_language(recording: Recording) -> str:
    """The language of a recording in words, with a question where listening was not sure; "" for none."""
    name = language_name(recording.spoken_language)
    is_sure = bool(recording.language) or recording.heard_language_score >= SURE_OF_LANGUAGE
    return name if is_sure or not name else f"{name}? (not sure; the language can be chosen here)"


def language_name(code: str) -> str:
    """A language in words; the code itself when it is not among those offered."""
    return LANGUAGES.get(code, code)
