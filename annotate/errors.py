"""Every error a person may meet, as one small tree.

    BenchreelError              something went wrong; the text is a whole sentence
    |- NotFound                 an id or name that the library does not hold
    |- BadInput                 what was given cannot be used as it is
    |  |- BadTime               a range that ends before it starts, or lies past the recording
    |  |- BadUnit               a unit that does not fit the quantity
    |  |- BadWord               a step, zone, blade, side, symptom or state that is not in the vocabulary
    |  `- NotMedia              a file that holds no picture or sound that can be read
    |     |- Unfinished         a recording that was cut off before it was closed
    |     `- StillChanging      a file that is still being written
    |- AlreadyThere             the same file, or the same id, is in the library
    |- ChangedElsewhere         another window wrote first; both versions are carried
    |- StepStays                a step that cannot be taken back or done again by now
    |- Missing                  a file the library refers to is not where it was
    |- NoModel                  no speech model, or one that fails its check
    |- NoSpace                  the disk is full
    |- Cancelled                someone asked the work to stop
    `- ToolFailed               the encoder, decoder or recogniser gave up

Each says what happened, to what, and what to do next. The text is made in
``__str__`` from the data carried, so an error survives pickling between
processes.
"""

from __future__ import annotations

import re
from typing import Any

# What happened is told of its subject (“zero.mp4” is empty.) when it begins with one of these;
# else it is a clause of its own, and the subject stands before it (zero.mp4: the disk is full.).
_SAID_OF_SUBJECT = frozenset(
    [
        *("is", "are", "was", "were", "has", "have", "had", "does", "cannot", "could", "may", "must"),
        *("holds", "lacks", "needs", "names", "leads", "refers", "lies", "starts", "ends", "fails"),
    ]
)
# Subjects in the program's own words, which need no quotes round them.
_OWN_NAME = re.compile(
    r"(annotation|card|chapter|clip|correction|lesson|line|mark|plan|port|reading|recording|reed|session|suggestion"
    r"|tag|work) \d+\b.*|Your own words|The sound|Listening for sounds",
    re.IGNORECASE,
)


class BenchreelError(Exception):
    """Base of the tree. ``what`` happened, to which ``subject``, and what to do ``next_step``."""

    code = "failed"

    def __init__(self, what: str, subject: str = "", next_step: str = "") -> None:
        super().__init__(what, subject, next_step)
        self.what = what
        self.subject = subject
        self.next_step = next_step

    def __str__(self) -> str:
        sentence = _sentence(self.what, self.subject)
        return f"{sentence} {self.next_step}".strip()

    def data(self) -> dict[str, Any]:
        """The error as plain data, for JSON bodies and the work table."""
        return {"code": self.code, "message": str(self), "subject": self.subject}


def _sentence(what: str, subject: str) -> str:
    """What happened to which subject, with a capital and a full stop."""
    if what.partition(" ")[0] in _SAID_OF_SUBJECT:
        sentence = f"{_named(subject)} {what}"
    elif subject:
        sentence = f"{subject}: {what}"
    else:
        sentence = what[:1].upper() + what[1:]
    return sentence if sentence.endswith((".", "!", "?")) else sentence + "."


def _named(subject: str) -> str:
    if not subject:
        return "This"
    if subject == "(nothing)":
        return "An empty text"
    if _OWN_NAME.fullmatch(subject):
        return subject[:1].upper() + subject[1:]
    return f"“{subject}”"


class NotFound(BenchreelError):
    """An id or name that the library does not hold."""

    code = "not_found"


class BadInput(BenchreelError):
    """What was given cannot be used as it is."""

    code = "bad_input"


class BadTime(BadInput):
    """A time or range that cannot be on this recording."""

    code = "bad_time"


class BadUnit(BadInput):
    """A unit that does not fit the quantity."""

    code = "bad_unit"


class BadWord(BadInput):
    """A word that is not in the vocabulary."""

    code = "bad_word"


class NotMedia(BadInput):
    """A file that holds no picture or sound that can be read."""

    code = "not_media"


class Unfinished(NotMedia):
    """A recording that was cut off before it was closed."""

    code = "unfinished"


class StillChanging(NotMedia):
    """A file that is still being written."""

    code = "still_changing"


class AlreadyThere(BenchreelError):
    """The same file, or the same id, is in the library; ``existing_id`` says where."""

    code = "already_there"

    def __init__(self, what: str, subject: str = "", next_step: str = "", existing_id: int = 0) -> None:
        super().__init__(what, subject, next_step)
        self.args = (what, subject, next_step, existing_id)
        self.existing_id = existing_id

    def data(self) -> dict[str, Any]:
        return {**super().data(), "existing_id": self.existing_id}


class ChangedElsewhere(BenchreelError):
    """Another window wrote first: ``theirs`` is what is stored, ``yours`` what was sent."""

    code = "changed_elsewhere"

    def __init__(
        self,
        what: str,
        subject: str = "",
        next_step: str = "",
        theirs: dict[str, Any] | None = None,
        yours: dict[str, Any] | None = None,
    ) -> None:
        super().__init__(what, subject, next_step)
        self.args = (what, subject, next_step, theirs, yours)
        self.theirs = theirs or {}
        self.yours = yours or {}

    def data(self) -> dict[str, Any]:
        return {**super().data(), "theirs": self.theirs, "yours": self.yours}


class StepStays(BenchreelError):
    """A step that cannot be taken back or done again by now; ``step_id`` names it."""

    code = "step_stays"

    def __init__(self, what: str, subject: str = "", next_step: str = "", step_id: int = 0) -> None:
        super().__init__(what, subject, next_step)
        self.args = (what, subject, next_step, step_id)
        self.step_id = step_id

    def data(self) -> dict[str, Any]:
        return {**super().data(), "step": self.step_id}


class Missing(BenchreelError):
    """A file the library refers to is not where it was."""

    code = "missing"


class NoModel(BenchreelError):
    """No speech model, or one that fails its check."""

    code = "no_model"


class NoSpace(BenchreelError):
    """The disk is full."""

    code = "no_space"


class Cancelled(BenchreelError):
    """Someone asked the work to stop."""

    code = "cancelled"


class ToolFailed(BenchreelError):
    """The encoder, decoder or recogniser gave up."""

    code = "tool_failed"
