"""What Benchreel knows about: frozen values that check themselves. No I/O.

Times are integer milliseconds on the recording's own clock, half-open
``[start_ms, end_ms)``. The clock's zero is the earliest picture or sound in
the file (``Recording.origin`` in the file's own seconds). An ``id`` of 0 means
"not stored yet". ``version`` counts changes: a writer says which version it
saw, so that two windows never overwrite each other.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Any

from annotate.errors import BadInput
from annotate.timecode import check_range

REED_STATES = ("blank", "in_progress", "breaking_in", "playing", "resting", "retired")
SOUND_KINDS = ("speech", "play", "crow", "scrape", "quiet")
MODES = ("done", "plan", "recap", "negated")
SHARING = ("undecided", "free", "people", "private")
MAX_NAME = 120
MAX_NOTE = 20_000
FASTEST_SCRAPING = 8
SCRAPING_SOUNDS = ("off", "low")
SHORTEST_LONG_MS, LONGEST_LONG_MS = 2_000, 3_600_000  # less than the first is no long scraping, no long quiet


def _text(value: str, what: str, limit: int, *, needed: bool = False) -> None:
    if needed and not value.strip():
        raise BadInput(f"{what} is empty", next_step="Write something there.")
    if len(value) > limit:
        raise BadInput(f"{what} is longer than {limit} characters", next_step="Shorten it.")
    if "\x00" in value:
        raise BadInput(f"{what} holds a character that cannot be stored", next_step="Remove it.")


def check_day(value: str) -> None:
    """Refuse what is not a day in the one way of writing it: days are sorted as text."""
    try:
        is_day = date.fromisoformat(value).isoformat() == value
    except ValueError:
        is_day = False
    if not is_day:
        raise BadInput(
            "is not a date", value[:40] or "(nothing)", "Write it as year-month-day, for example 2026-03-14."
        )


@dataclass(frozen=True)
class Reed:
    """A reed with the maker's own id (``name``) and its state."""

    name: str
    instrument: str = "bassoon"
    state: str = "in_progress"
    made_on: str | None = None
    note: str = ""
    id: int = 0
    version: int = 0

    def __post_init__(self) -> None:
        _text(self.name, "The reed's id", MAX_NAME, needed=True)
        _text(self.note, "The note", MAX_NOTE)
        if self.made_on is not None:
            check_day(self.made_on)
        if self.state not in REED_STATES:
            raise BadInput("is not a state of a reed", self.state, f"Use one of {', '.join(REED_STATES)}.")


@dataclass(frozen=True)
class Session:
    """One sitting at the bench.

    ``sharing`` is 'undecided' until the maker says 'free', 'people' (people in the picture) or
    'private'; whatever is not free is asked about before it leaves.
    """

    date: str
    title: str = ""
    place: str = ""
    temperature_c: Decimal | None = None
    humidity_percent: Decimal | None = None
    note: str = ""
    sharing: str = "undecided"
    id: int = 0
    version: int = 0

    def __post_init__(self) -> None:
        check_day(self.date)
        _text(self.title, "The title", MAX_NAME)
        _text(self.place, "The place", MAX_NAME)
        _text(self.note, "The note", MAX_NOTE)
        if self.sharing not in SHARING:
            raise BadInput("is not a kind of sharing", self.sharing, f"Use one of {', '.join(SHARING)}.")
        for value in (self.humidity_percent, self.temperature_c):
            if value is not None and not value.is_finite():
                raise BadInput("is not a number", str(value), "Write digits, for example 21.5.")
        if self.humidity_percent is not None and not 0 <= self.humidity_percent <= 100:
            raise BadInput("is not a relative humidity", f"{self.humidity_percent} %", "Give 0 to 100 %.")
        if self.temperature_c is not None and not -60 <= self.temperature_c <= 70:
            raise BadInput("is not a room temperature", f"{self.temperature_c} °C", "Give -60 to 70 °C.")


@dataclass(frozen=True)
class Stream:
    """One stream of a media file as the container states it.

    ``start`` is in seconds on the file's own clock; ``rate`` is frames per
    second for pictures, samples per second for sound.
    """

    index: int
    kind: str  # picture | sound | text | other
    codec: str
    start: Fraction = Fraction(0)
    rate: Fraction | None = None
    channels: int = 0
    pixel_format: str = ""
    language: str = ""
    title: str = ""
    is_default: bool = False


@dataclass(frozen=True)
class Probe:
    """What intake reads off a media file.

    ``width`` and ``height`` are upright, as shown. ``origin`` is the file time
    (seconds) of the recording clock's zero. ``rate`` is None where the picture
    rate varies (``is_variable_rate``) or there is no picture. ``picture_stream``
    and ``sound_stream`` are the indexes of the streams in use, or None.
    ``cut_short`` says, where the file seems to end too early, what is missing.
    """

    container: str
    duration_ms: int
    origin: Fraction
    streams: tuple[Stream, ...]
    picture_stream: int | None
    sound_stream: int | None
    width: int = 0
    height: int = 0
    rotation: int = 0
    rate: Fraction | None = None
    is_variable_rate: bool = False
    is_hdr: bool = False
    needs_playable: bool = False
    recorded_at: str | None = None
    why_playable: str = ""
    cut_short: str = ""


@dataclass(frozen=True)
class Recording:
    """One media file of a session, never altered.

    ``path`` is relative to the library's folder when ``is_kept`` (a copy lies in
    the library), else absolute. ``playable_path`` (relative) is set when the
    browser needs a copy; ``fingerprint`` is the SHA-256 of the whole file.
    ``language`` is what the maker chose ("" leaves it to listening),
    ``heard_language`` what was told by listening, with its score (0..1).
    """

    session_id: int
    name: str
    path: str
    is_kept: bool
    fingerprint: str
    size_bytes: int
    probe: Probe
    position: int = 0
    reed_id: int | None = None
    playable_path: str | None = None
    peaks_path: str | None = None
    sheet_path: str | None = None
    language: str = ""
    heard_language: str = ""
    heard_language_score: float = 0.0
    id: int = 0
    version: int = 0

    @property
    def spoken_language(self) -> str:
        """The language chosen, else the one heard, else ""."""
        return self.language or self.heard_language

    @property
    def duration_ms(self) -> int:
        return self.probe.duration_ms

    @property
    def has_picture(self) -> bool:
        return self.probe.picture_stream is not None

    @property
    def has_sound(self) -> bool:
        return self.probe.sound_stream is not None


@dataclass(frozen=True)
class Instead:
    """What may have been said instead of ``heard`` (both plain words): the sound speaks for it by ``nats``.

    ``nats`` is the natural logarithm of its chance over that of the heard words, mostly below 0.
    """

    heard: str
    right: str
    nats: float


@dataclass(frozen=True)
class Word:
    """One spoken word with its time and the recogniser's probability (0..1); ``instead`` may begin at it."""

    start_ms: int
    end_ms: int
    text: str
    probability: float = 1.0
    instead: tuple[Instead, ...] = ()


@dataclass(frozen=True)
class Line:
    """A stretch of speech. ``heard_text`` keeps what the recogniser wrote when the maker changes ``text``."""

    recording_id: int
    start_ms: int
    end_ms: int
    text: str
    words: tuple[Word, ...] = ()
    heard_text: str = ""
    id: int = 0
    version: int = 0

    def __post_init__(self) -> None:
        check_range(self.start_ms, self.end_ms)
        _text(self.text, "The line", MAX_NOTE)


@dataclass(frozen=True)
class Sound:
    """A stretch of one kind of sound heard in the audio, with a confidence (0..1)."""

    start_ms: int
    end_ms: int
    kind: str
    confidence: float = 1.0

    def __post_init__(self) -> None:
        check_range(self.start_ms, self.end_ms)
        if self.kind not in SOUND_KINDS:
            raise BadInput("is not a kind of sound", self.kind, f"Use one of {', '.join(SOUND_KINDS)}.")


@dataclass(frozen=True)
class CardShown:
    """A reed's card in the picture: the reed of that ``name`` is in hand from then on, until another is shown.

    ``reed_id`` is the reed that had the name when the card was seen; it stays when the reed is called otherwise.
    """

    start_ms: int
    end_ms: int
    name: str
    reed_id: int | None = None


@dataclass(frozen=True)
class Tag:
    """The maker's statement: what was done where, on which reed, in a time range."""

    recording_id: int
    start_ms: int
    end_ms: int
    step: str
    zones: tuple[str, ...] = ()
    blade: str | None = None
    side: str | None = None
    reed_id: int | None = None
    symptoms: tuple[str, ...] = ()
    note: str = ""
    id: int = 0
    version: int = 0

    def __post_init__(self) -> None:
        check_range(self.start_ms, self.end_ms)
        _text(self.note, "The note", MAX_NOTE)


@dataclass(frozen=True)
class Reading:
    """A measured value. ``value`` and ``unit`` stay as the maker gave them.

    ``zone`` is the place on the reed, ``place_note`` says it finer (for example
    "10 mm from the tip"), ``moisture`` is 'wet', 'dry' or None, ``tool`` the
    measuring instrument. It hangs on a tag, or on a moment of a recording, or
    on a reed and a date alone.
    """

    quantity: str
    value: Decimal
    unit: str
    reed_id: int | None = None
    recording_id: int | None = None
    tag_id: int | None = None
    at_ms: int | None = None
    zone: str | None = None
    blade: str | None = None
    side: str | None = None
    place_note: str = ""
    moisture: str | None = None
    tool: str = ""
    uncertainty: Decimal | None = None
    taken_on: str | None = None
    note: str = ""
    id: int = 0
    version: int = 0

    def __post_init__(self) -> None:
        if not self.value.is_finite():
            raise BadInput("is not a number", str(self.value), "Write digits, for example 1.6.")
        if self.taken_on is not None:
            check_day(self.taken_on)
        if self.moisture not in (None, "wet", "dry"):
            raise BadInput("is neither wet nor dry", str(self.moisture), "Use wet, dry or nothing.")
        if self.uncertainty is not None and not (self.uncertainty.is_finite() and self.uncertainty >= 0):
            raise BadInput("is not an uncertainty", str(self.uncertainty), "Give zero or more.")
        _text(self.note, "The note", MAX_NOTE)
        _text(self.tool, "The measuring instrument", MAX_NAME)
        _text(self.place_note, "The place", MAX_NAME)


@dataclass(frozen=True)
class Correction:
    """Sets right something said in a recording: what was ``said`` in the range, and what is ``right``."""

    recording_id: int
    start_ms: int
    end_ms: int
    said: str
    right: str
    id: int = 0
    version: int = 0

    def __post_init__(self) -> None:
        check_range(self.start_ms, self.end_ms)
        _text(self.said, "What was said", MAX_NOTE)
        _text(self.right, "What is right", MAX_NOTE, needed=True)


@dataclass(frozen=True)
class Suggestion:
    """What the program proposes and the maker has not yet decided on; never a statement of the maker's.

    ``kind`` is 'tag', 'reading', 'plan' or 'recap'; ``content`` holds the fields of
    what it would become; ``evidence`` are the words or the sound it rests on;
    ``confidence`` runs 0..1; ``state`` is 'open', 'accepted' or 'dismissed'.
    """

    recording_id: int
    start_ms: int
    end_ms: int
    kind: str
    content: dict[str, Any]
    evidence: str = ""
    rule: str = ""
    confidence: float = 0.0
    state: str = "open"
    id: int = 0
    version: int = 0

    def __post_init__(self) -> None:
        check_range(self.start_ms, self.end_ms)
        if self.kind not in ("tag", "reading", "plan", "recap"):
            raise BadInput("is not a kind of suggestion", self.kind)
        if self.state not in ("open", "accepted", "dismissed"):
            raise BadInput("is not a state of a suggestion", self.state)


@dataclass(frozen=True)
class Plan:
    """Something to do to a reed next time, in the maker's words; ``is_done`` once it has been."""

    text: str
    reed_id: int | None = None
    recording_id: int | None = None
    at_ms: int | None = None
    is_done: bool = False
    id: int = 0
    version: int = 0

    def __post_init__(self) -> None:
        _text(self.text, "The plan", MAX_NOTE, needed=True)


@dataclass(frozen=True)
class Mark:
    """A press of a button while filming: ``made_at`` (ISO 8601, UTC, to the millisecond) and what was meant.

    It becomes a tag once the recording it belongs to is known.
    """

    made_at: str
    step: str = ""
    zones: tuple[str, ...] = ()
    blade: str | None = None
    side: str | None = None
    reed_id: int | None = None
    note: str = ""
    session_id: int | None = None
    tag_id: int | None = None
    id: int = 0
    version: int = 0


@dataclass(frozen=True)
class LeftWord:
    """A doubtful word that the maker leaves as it is: what was ``heard`` in the stretch, and what was ``proposed``."""

    recording_id: int
    start_ms: int
    end_ms: int
    heard: str
    proposed: str
    id: int = 0
    version: int = 0

    def __post_init__(self) -> None:
        check_range(self.start_ms, self.end_ms)
        _text(self.heard, "What was heard", MAX_NOTE, needed=True)
        _text(self.proposed, "What was proposed", MAX_NOTE)


@dataclass(frozen=True)
class Before:
    """The range that a clip is set against: how it looked or sounded before. Of any recording.

    With ``is_beside`` both are seen side by side, else one after the other; their
    sounds always follow one another, equally loud.
    """

    recording_id: int
    start_ms: int
    end_ms: int
    is_beside: bool = True

    def __post_init__(self) -> None:
        check_range(self.start_ms, self.end_ms)


@dataclass(frozen=True)
class Clip:
    """One piece of a lesson: a range of a recording, with a title and, if it came from one, its tag.

    ``scraping_speed`` is its own choice where it differs from the lesson's
    (``Showing.scraping_speed``).
    """

    recording_id: int
    start_ms: int
    end_ms: int
    title: str = ""
    note: str = ""
    tag_id: int | None = None
    still_ms: int | None = None  # chosen picture for the summary, on the recording's clock
    scraping_speed: int | None = None
    before: Before | None = None
    is_cover: bool = False  # its picture is the lesson's cover; where no clip says so, the first one's is

    def __post_init__(self) -> None:
        check_range(self.start_ms, self.end_ms)
        _text(self.title, "The clip's title", 500)
        _text(self.note, "The clip's note", MAX_NOTE)
        if self.scraping_speed is not None:
            _scraping_speed(self.scraping_speed)
        one = self.before
        if one and one.recording_id == self.recording_id and one.start_ms < self.end_ms and self.start_ms < one.end_ms:
            raise BadInput(
                "The clip and what is shown before it are the same stretch", self.title, "Choose an earlier one."
            )


def _scraping_speed(value: int) -> None:
    if not 1 <= value <= FASTEST_SCRAPING:
        raise BadInput(
            "is not a speed for long scraping", str(value), f"Use 2 to {FASTEST_SCRAPING}, or 1 for as it was."
        )


@dataclass(frozen=True)
class Showing:
    """How the clips of a lesson are shown.

    Scraping that goes on for longer than ``scraping_longer_ms`` runs
    ``scraping_speed`` times as fast (1: as it was), its sound 'off' or 'low'.
    Quiet longer than ``quiet_longer_ms`` becomes a short rest (None: as it was).
    ``evens_loudness`` makes clips equally loud; lessons stored before there was
    that choice are not evened. ``burns_captions`` draws captions into the picture.
    """

    scraping_speed: int = 1
    scraping_longer_ms: int = 10_000
    scraping_sound: str = "off"
    quiet_longer_ms: int | None = None
    evens_loudness: bool = True
    burns_captions: bool = False

    def __post_init__(self) -> None:
        _scraping_speed(self.scraping_speed)
        if self.scraping_sound not in SCRAPING_SOUNDS:
            raise BadInput("is not a choice for the sound of fast scraping", self.scraping_sound, "Use off or low.")
        for value, what in ((self.scraping_longer_ms, "scraping"), (self.quiet_longer_ms, "quiet")):
            if value is not None and not SHORTEST_LONG_MS <= value <= LONGEST_LONG_MS:
                raise BadInput(f"is no length from which {what} is long", f"{value} ms", "Use 2 seconds to an hour.")


@dataclass(frozen=True)
class Lesson:
    """An ordered choice of clips, with what frames them."""

    title: str
    goal: str = ""
    audience: str = ""
    tools: tuple[str, ...] = ()
    review: str = ""
    note: str = ""
    clips: tuple[Clip, ...] = ()
    has_title_cards: bool = True
    showing: Showing = Showing()
    id: int = 0
    version: int = 0

    def __post_init__(self) -> None:
        _text(self.title, "The lesson's title", 300, needed=True)
        for value, what in ((self.goal, "The goal"), (self.audience, "The audience"), (self.review, "The review")):
            _text(value, what, MAX_NOTE)
        if sum(clip.is_cover for clip in self.clips) > 1:
            raise BadInput("has more than one cover", self.title, "Choose the picture of one clip as the cover.")
        overlap = self.first_overlap()
        if overlap:
            one, two = overlap
            raise BadInput(
                f"clips {one + 1} and {two + 1} show the same stretch of the same recording",
                self.title,
                "Trim one of them so that they do not overlap.",
            )

    @property
    def recording_ids(self) -> tuple[int, ...]:
        """The recordings that it shows, in the order they come up, each once."""
        shown = (one for clip in self.clips for one in (clip.before, clip) if one is not None)
        return tuple(dict.fromkeys(one.recording_id for one in shown))

    def first_overlap(self) -> tuple[int, int] | None:
        """Positions of the first two clips that share a stretch of one recording, or None."""
        seen: list[tuple[int, int, int, int]] = sorted(
            (clip.recording_id, clip.start_ms, clip.end_ms, number) for number, clip in enumerate(self.clips)
        )
        for before, after in pairwise(seen):
            if before[0] == after[0] and after[1] < before[2]:
                first, second = sorted((before[3], after[3]))
                return first, second
        return None


@dataclass(frozen=True)
class Job:
    """A long piece of work. ``progress`` runs 0..1; ``state`` is waiting, running, done, failed or cancelled."""

    kind: str
    subject: dict[str, int | str] = field(default_factory=dict)
    state: str = "waiting"
    progress: float = 0.0
    message: str = ""
    error: str = ""
    error_code: str = ""
    attempts: int = 0
    result: dict[str, str] = field(default_factory=dict)
    created_at: str = ""
    started_at: str = ""
    finished_at: str = ""
    cancel_wanted: bool = False
    id: int = 0
