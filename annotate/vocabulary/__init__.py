"""Trade words as data: ids, labels, aliases and cautions (see ``words.py``)."""

from annotate.vocabulary.words import Vocabulary, Word, vocabulary

__all__ = ["Vocabulary", "Word", "vocabulary"]
