"""What the maker made of earlier suggestions shifts the confidence of the next ones.

Pure: the counts come from the library and go in here. A rule that was
dismissed often speaks more softly; one whose step was changed to the same
other step more often than it was kept proposes that other step.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from annotate.tagging.session import Suggestion

# Evidence that weighs as much as this many answers stands behind a rule before anyone answered.
PRIOR_ANSWERS = 4.0
# A step is proposed anew once it was chosen at least this often, and more often than the first one was kept.
CHANGES_TO_SHIFT = 2


@dataclass(frozen=True)
class Answers:
    """How often suggestions of one kind were accepted, dismissed, or changed to another step (``changed_to``)."""

    accepted: int = 0
    dismissed: int = 0
    changed_to: Mapping[str, int] = field(default_factory=dict)


def key_of(suggestion: Suggestion) -> str:
    """The key under which answers are remembered: step and the first rule that spoke."""
    rule = suggestion.rules[0] if suggestion.rules else ""
    return f"{suggestion.kind}|{suggestion.step or ''}|{rule}"


def adjusted(confidence: float, answers: Answers) -> float:
    """The confidence after the maker's answers.

    Parameters
    ----------
    confidence : float
        0..1 as the rules gave it.
    answers : Answers
        Counts for this kind of suggestion.

    Returns
    -------
    float
        0..1: the mean of the rule's own confidence, weighed as ``PRIOR_ANSWERS``
        answers, and the answers (accepted 1, changed 1/2, dismissed 0). This is
        the posterior mean of a beta prior (Gelman et al., Bayesian Data
        Analysis, section 2.4, from memory).
    """
    changed = sum(answers.changed_to.values())
    total = PRIOR_ANSWERS + answers.accepted + answers.dismissed + changed
    return round((PRIOR_ANSWERS * confidence + answers.accepted + changed / 2) / total, 4)


def with_feedback(suggestions: Iterable[Suggestion], remembered: Mapping[str, Answers]) -> list[Suggestion]:
    """The suggestions with confidence (and, where it was changed again and again, step) shifted by earlier answers.

    Spoken marks stay as they are: they are the maker's own words.
    """
    out: list[Suggestion] = []
    for one in suggestions:
        answers = remembered.get(key_of(one))
        if answers is None or "spoken mark" in one.rules:
            out.append(one)
            continue
        step = _shifted(one.step, answers)
        rules = one.rules if step == one.step else (*one.rules, f"changed before to {step}")
        out.append(replace(one, step=step, rules=rules, confidence=adjusted(one.confidence, answers)))
    return out


def _shifted(step: str | None, answers: Answers) -> str | None:
    best = max(answers.changed_to.items(), key=lambda item: (item[1], item[0]), default=None)
    if best and best[1] >= CHANGES_TO_SHIFT and best[1] > answers.accepted:
        return best[0]
    return step
