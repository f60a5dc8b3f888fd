"""Every error reads as a sentence, whatever it is about."""

from __future__ import annotations

import pickle

import pytest

from annotate.errors import AlreadyThere, BadInput, BadUnit, BenchreelError, NoModel, NoSpace, NotFound, NotMedia


@pytest.mark.parametrize(
    ("error", "text"),
    [
        (BadUnit("is not a unit of length", "Hz", "Use mm."), "“Hz” is not a unit of length. Use mm."),
        (NotMedia("holds a single picture", "one.mp4"), "“one.mp4” holds a single picture."),
        (BadInput("cannot be removed: 2 tags refer to it", "B14"), "“B14” cannot be removed: 2 tags refer to it."),
        (BadInput("holds no number (about one)", "line 2"), "Line 2 holds no number (about one)."),
        (NotFound("is not in the library", "tag 7", "Look again."), "Tag 7 is not in the library. Look again."),
        (BadInput("is not a number", "(nothing)", "Write 1.6."), "An empty text is not a number. Write 1.6."),
        (NoSpace("the disk is full", "reeds.zip", "Make room."), "reeds.zip: the disk is full. Make room."),
        (NoModel("there is no speech model", next_step="Get one."), "There is no speech model. Get one."),
        (AlreadyThere("is the id of another reed", "line up"), "“line up” is the id of another reed."),
        (BadInput("is not JSON (line 1)"), "This is not JSON (line 1)."),
        (BenchreelError("Is it ready?"), "Is it ready?"),
    ],
)
def test_what_happened_to_what_and_what_next(error: BenchreelError, text: str) -> None:
    assert str(error) == text
    assert str(pickle.loads(pickle.dumps(error))) == text
