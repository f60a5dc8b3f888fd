"""What a clip is called that is made of a tag."""

from __future__ import annotations

import pytest

from annotate.lesson.told.choosing import tag_title
from annotate.model import Tag
from annotate.vocabulary import vocabulary


@pytest.mark.parametrize(
    ("zones", "blade", "side", "title"),
    [
        (("rails",), None, "left", "Scrape: rails, left"),
        (("rails",), "up", "right", "Scrape: rails, right, wire-up blade"),
        (("rails",), "both", "both", "Scrape: rails"),
        ((), None, None, "Scrape"),
    ],
)
def test_left_and_right_of_one_step_are_told_apart(
    zones: tuple[str, ...], blade: str | None, side: str | None, title: str
) -> None:
    tag = Tag(recording_id=1, start_ms=0, end_ms=1_000, step="scrape", zones=zones, blade=blade, side=side)
    assert tag_title(tag, vocabulary("bassoon")) == title
