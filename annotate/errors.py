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

from typing import Any


class BenchreelError(Exception):
    """Base of the tree. ``what`` happened, to which ``subject``, and what to do ``next_step``."""

    code = "failed"

    def __init__(self, what: str, subject: str = "", next_step: str = "") -> None:
        super().__init__(what, subject, next_step)
        self.what = what
        self.subject = subject
        self.next_step = next_step

    def __str__(self) -> str:
        head = f"{self.subject}: {self.what}" if self.subject else self.what
        sentence = head if head.endswith((".", "!", "?")) else head + "."
        return f"{sentence} {self.next_step}".strip()

    def data(self) -> dict[str, Any]:
        """The error as plain data, for JSON bodies and the work table."""
        return {"code": self.code, "message": str(self), "subject": self.subject}


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
