"""What a lesson is made from: its clips with everything the library knows about them. No I/O."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from annotate.lesson.told.choosing import tag_title
from annotate.lesson.told.passage import Part, parts_of
from annotate.model import Clip, Correction, Lesson, Line, Reading, Recording, Reed, Session, Sound, Tag
from annotate.vocabulary import Vocabulary, vocabulary


@dataclass(frozen=True)
class Compared:
    """One number of a clip and of what is shown before it, as written; "" where there is none."""

    what: str
    before: str
    after: str


@dataclass(frozen=True)
class Step:
    """One clip of a lesson, counted from 1, with what was said, done, measured and corrected in it.

    ``before`` is the range it is set against, gathered in the same way; ``heard``
    are the numbers of the sounds of both.
    """

    number: int
    clip: Clip
    path: Path
    recording: Recording
    session: Session
    reed: Reed | None = None
    tags: tuple[Tag, ...] = ()
    lines: tuple[Line, ...] = ()
    readings: tuple[Reading, ...] = ()
    corrections: tuple[Correction, ...] = ()
    sounds: tuple[Sound, ...] = ()
    before: Step | None = None
    heard: tuple[Compared, ...] = ()

    @property
    def words(self) -> Vocabulary:
        """The trade words of this step's instrument."""
        return vocabulary(self.reed.instrument if self.reed else "bassoon")

    @property
    def title(self) -> str:
        """The clip's own title, else one from its tag."""
        if self.clip.title.strip():
            return self.clip.title.strip()
        return tag_title(self.tags[0], self.words) if self.tags else f"Step {self.number}"

    @property
    def where(self) -> str:
        """Which reed and which day; never which place."""
        return f"Reed {self.reed.name}, {self.session.date}" if self.reed else self.session.date

    @property
    def cautions(self) -> tuple[str, ...]:
        """Ids of the cautions that this step needs."""
        steps = (self.words.steps.get(tag.step) for tag in self.tags)
        return tuple(dict.fromkeys(caution for word in steps if word for caution in word.cautions))


@dataclass(frozen=True)
class Material:
    """A lesson and its steps."""

    lesson: Lesson
    steps: tuple[Step, ...]

    def parts(self, step: Step) -> tuple[Part, ...]:
        """How the step's clip is shown, by the choices of the lesson and its own."""
        return parts_of(step.clip, self.lesson.showing, step.sounds, step.lines)

    @property
    def cautions(self) -> tuple[tuple[str, str], ...]:
        """Every caution of the lesson once, as (id, sentence), in the order they come up."""
        ids = dict.fromkeys(caution for step in self.steps for caution in step.cautions)
        sentences = vocabulary("bassoon").cautions
        return tuple((caution, sentences[caution]) for caution in ids if caution in sentences)

    @property
    def dates(self) -> tuple[str, ...]:
        """The days of the recordings, oldest first."""
        return tuple(sorted({one.session.date for one in self._shown}))

    @property
    def reeds(self) -> tuple[str, ...]:
        """The ids of the reeds shown, in the order they come up."""
        return tuple(dict.fromkeys(one.reed.name for one in self._shown if one.reed))

    @property
    def _shown(self) -> tuple[Step, ...]:
        """All that is seen: each clip, and before it what it is set against."""
        return tuple(one for step in self.steps for one in (step.before, step) if one is not None)
