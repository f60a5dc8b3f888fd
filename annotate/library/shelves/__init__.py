"""What lies in the library, one shelf for each kind of value."""

from annotate.library.shelves.ahead import Marks, Plans
from annotate.library.shelves.lessons import Lessons
from annotate.library.shelves.lines import LeftWords, Lines
from annotate.library.shelves.own import Reeds, Sessions
from annotate.library.shelves.recordings import Recordings
from annotate.library.shelves.shelf import Shelf
from annotate.library.shelves.statements import Corrections, Readings, Tags
from annotate.library.shelves.suggestions import Suggestions

__all__ = [
    "Corrections", "LeftWords", "Lessons", "Lines", "Marks", "Plans", "Readings", "Recordings", "Reeds", "Sessions",
    "Shelf", "Suggestions", "Tags",
]  # fmt: skip
