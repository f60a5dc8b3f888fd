"""Lines and sounds become suggestions: what was said of the work, where, why, and in which mode.

``understand`` reads one line; ``suggest_session`` puts a session's lines,
sounds and cards together; ``find_mark`` hears a spoken mark; ``with_feedback``
shifts confidence by what the maker made of earlier suggestions.
"""

from annotate.tagging.feedback import Answers, adjusted, key_of, with_feedback
from annotate.tagging.lexicon import Lexicon, build, lexicon
from annotate.tagging.marks import DEFAULT_SIGNAL, check_signal, find_mark, mark_examples, mark_parts, mark_table
from annotate.tagging.session import CardShown, Suggestion, suggest_session
from annotate.tagging.understand import understand
from annotate.tagging.values import Context, Label, Measurement, ReedSaid, Understanding, as_json

__all__ = [
    "DEFAULT_SIGNAL",
    "Answers",
    "CardShown",
    "Context",
    "Label",
    "Lexicon",
    "Measurement",
    "ReedSaid",
    "Suggestion",
    "Understanding",
    "adjusted",
    "as_json",
    "build",
    "check_signal",
    "find_mark",
    "key_of",
    "lexicon",
    "mark_examples",
    "mark_parts",
    "mark_table",
    "suggest_session",
    "understand",
    "with_feedback",
]
