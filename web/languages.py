"""The languages that are offered for a recording; any other code of the recogniser can come from listening."""

from __future__ import annotations

LANGUAGES = {
    **{"en": "English", "de": "German", "fr": "French", "es": "Spanish", "it": "Italian", "nl": "Dutch"},
    **{"pt": "Portuguese", "pl": "Polish", "cs": "Czech", "sv": "Swedish", "da": "Danish", "fi": "Finnish"},
    **{"hu": "Hungarian", "ru": "Russian", "uk": "Ukrainian", "tr": "Turkish", "zh": "Chinese", "ja": "Japanese"},
    **{"ko": "Korean"},
}


def language_name(code: str) -> str:
    """A language in words; the code itself when it is not among those offered."""
    return LANGUAGES.get(code, code)
