"""What a film is made of, and what came out: frozen values. No I/O.

Times of a source piece are milliseconds on the recording's own clock; overlay
times are milliseconds from the start of their piece in the film; chapters and
captions are timed in the film.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from annotate import model, timecode
from annotate.errors import BadInput
from annotate.lesson.cutting.drawing import Picture, Stage, is_picture

SOUND_RATE_HZ = 48_000
SLOWEST, FASTEST = Fraction(1, 8), Fraction(16)


@dataclass(frozen=True)
class Overlay:
    """A picture with transparency (RGBA), laid over the film for a while.

    ``x`` and ``y`` are the film pixels of its upper left corner.
    """

    start_ms: int
    end_ms: int
    picture: Picture
    x: int = 0
    y: int = 0

    def __post_init__(self) -> None:
        timecode.check_range(self.start_ms, self.end_ms)
        if not is_picture(self.picture, 4):
            raise BadInput("an overlay must be a picture with transparency", next_step="Give height x width x 4 bytes.")


@dataclass(frozen=True)
class SourcePiece:
    """A range of a recording.

    ``gain_db`` changes the loudness; None leaves the sound out. Peaks that would
    rise above ``ceiling_db`` (dBTP) are held back. ``speed`` 4 shows it four times
    as fast. ``fade_ms`` is how long the sound takes to come and go, so that no
    joint clicks. With a ``stage`` the picture plays in a box of it. Where there is
    no picture the sound is drawn, that of ``drawn_ms`` (from, to) if the piece is a
    part of something. ``fingerprint`` says which file it is for the cache (without
    one, its name, size and time of change do).
    """

    path: Path
    start_ms: int
    end_ms: int
    probe: model.Probe
    fingerprint: str = ""
    overlays: tuple[Overlay, ...] = ()
    speed: Fraction = Fraction(1)
    gain_db: float | None = 0.0
    ceiling_db: float | None = None
    fade_ms: int = 8
    stage: Stage | None = None
    drawn_ms: tuple[int, int] | None = None

    def __post_init__(self) -> None:
        timecode.check_range(self.start_ms, self.end_ms)
        if self.start_ms >= self.probe.duration_ms:
            timecode.check_range(self.start_ms, self.end_ms, self.probe.duration_ms)
        if not SLOWEST <= self.speed <= FASTEST:
            raise BadInput("is not a speed for a clip", str(self.speed), f"Use {SLOWEST} to {FASTEST}.")

    @property
    def has_picture(self) -> bool:
        return self.probe.picture_stream is not None

    @property
    def has_sound(self) -> bool:
        return self.probe.sound_stream is not None and self.gain_db is not None


@dataclass(frozen=True)
class StillPiece:
    """A picture (RGB), shown for a while in silence: a title card."""

    picture: Picture
    duration_ms: int
    overlays: tuple[Overlay, ...] = ()

    def __post_init__(self) -> None:
        if self.duration_ms <= 0:
            raise BadInput("A title card is shown for no time", next_step="Give it some seconds.")
        if not is_picture(self.picture, 3):
            raise BadInput("A title card must be a picture", next_step="Give height x width x 3 bytes.")


Piece = SourcePiece | StillPiece


@dataclass(frozen=True)
class Chapter:
    """A named moment of the film."""

    start_ms: int
    title: str


@dataclass(frozen=True)
class Caption:
    """Words shown for a while, in the film's own caption track."""

    start_ms: int
    end_ms: int
    text: str


@dataclass(frozen=True)
class FilmOptions:
    """How the film is made. What is None is taken from the pieces.

    ``crf`` is x264's constant quality (lower is better and larger). With a
    ``cache_folder`` encoded pictures are kept there and used again.
    """

    width: int | None = None
    height: int | None = None
    rate: Fraction | None = None
    crf: int = 20
    preset: str = "veryfast"
    sound_bits_per_second: int = 192_000
    may_copy: bool = True
    cache_folder: Path | None = None
    language: str = "und"


@dataclass(frozen=True)
class Placed:
    """Where a piece lies in the film, exactly.

    ``first_picture`` and ``pictures`` count film pictures. ``source_start`` is the
    file time (seconds) that its first picture stands for; ``is_even`` says that
    film pictures and source pictures go one to one.
    """

    first_picture: int
    pictures: int
    rate: Fraction
    source_start: Fraction = Fraction(0)
    origin: Fraction = Fraction(0)
    speed: Fraction = Fraction(1)
    is_even: bool = False

    @property
    def start(self) -> Fraction:
        """Film time of its start, in seconds."""
        return self.first_picture / self.rate

    @property
    def end(self) -> Fraction:
        """Film time of its end, in seconds."""
        return (self.first_picture + self.pictures) / self.rate

    @property
    def start_ms(self) -> int:
        return timecode.from_seconds(self.start)

    @property
    def end_ms(self) -> int:
        return timecode.from_seconds(self.end)

    @property
    def first_sample(self) -> int:
        return round(self.start * SOUND_RATE_HZ)

    @property
    def samples(self) -> int:
        return round(self.end * SOUND_RATE_HZ) - self.first_sample

    def film_ms(self, recording_ms: int) -> int:
        """The film's time of a moment of the recording, held inside this piece."""
        moment = self.origin + Fraction(recording_ms, 1000) - self.source_start
        return timecode.from_seconds(min(max(self.start + moment / self.speed, self.start), self.end))


@dataclass(frozen=True)
class FilmPlan:
    """The film before it is made: its one size and rate, and where each piece lies."""

    width: int
    height: int
    rate: Fraction
    placed: tuple[Placed, ...]

    @property
    def pictures(self) -> int:
        return self.placed[-1].first_picture + self.placed[-1].pictures

    @property
    def duration_ms(self) -> int:
        return timecode.from_seconds(self.pictures / self.rate)


@dataclass(frozen=True)
class FilmResult:
    """A finished film. ``reused`` pictures came encoded from the cache, ``copied`` ones from the recording."""

    path: Path
    plan: FilmPlan
    copied: int
    encoded: int
    reused: int


def check_pieces(pieces: Sequence[Piece]) -> None:
    """Refuse a film of nothing."""
    if not pieces:
        raise BadInput("There is nothing to show in this lesson", next_step="Add a clip first.")
