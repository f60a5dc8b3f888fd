"""Which reed's card is shown to the camera, and when: found by OpenCV in sampled pictures.

The key pictures are looked at first. Where they are too far apart, or one
seems to hold a code that cannot be read in it, pictures around it follow. A
cheap look (``card_places``) says where a code might be; only there is one read
(``card_codes``). What was no code a moment ago, and has not changed, is not
tried again. Codes that are no reed's card are passed over.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import cv2
import numpy as np

from annotate.errors import Cancelled
from annotate.intake.card_codes import Reader
from annotate.intake.card_frames import SKIPS, WIDEST_MS, Gap, Look, between, gaps, joined, keys
from annotate.intake.card_places import Grey, Place, places
from annotate.intake.fingerprint import never, nothing
from annotate.model import Probe

MERGE_MS = 2500  # a card hidden by the hand for this long is still the same showing
LAST_MS = 40  # a showing lasts a picture longer than its last sighting
DOUBT_STEP_MS = 90  # where something might be a card: one picture in three
MOST_DOUBTS = 60
SAME_LEVELS = 3.0  # mean difference of grey levels below which a place has not changed
THUMB = (24, 24)
WAITING = 3  # pictures decoded ahead of the looking


@dataclass(frozen=True)
class CardSeen:
    """A reed's card in the picture from ``at_ms`` to ``until_ms`` on the recording's clock."""

    at_ms: int
    until_ms: int
    name: str


@dataclass(frozen=True)
class _Seen:
    """What one picture showed: the reeds read, and how much else looked like a code (0: nothing)."""

    at_ms: int
    names: tuple[str, ...]
    doubt: float


@dataclass
class _Eye:
    """Looks at pictures one after the other and remembers what was at each place in the last one."""

    reader: Reader = field(default_factory=Reader)
    known: list[tuple[Place, Grey, tuple[str, ...]]] = field(default_factory=list)

    def look(self, look: Look) -> _Seen:
        names: dict[str, None] = {}
        doubt, known = 0.0, []
        for place in places(look.grey):
            thumb = _thumb(look.grey, place)
            read = self._before(place, thumb)
            if read is None:
                read = self.reader.names(look.grey, place)
                if not read and self.reader.has_corners:
                    doubt = max(doubt, place.share)
            known.append((place, thumb, read))
            names |= dict.fromkeys(read)
        self.known = known
        return _Seen(look.at_ms, tuple(names), 0.0 if names else doubt)

    def _before(self, place: Place, thumb: Grey) -> tuple[str, ...] | None:
        """What was read at this very place in the picture before, if it looks the same; None if it must be read."""
        for other, before, read in self.known:
            if other.box == place.box and float(np.mean(cv2.absdiff(thumb, before))) < SAME_LEVELS:
                return read
        return None


def find_cards(
    path: Path,
    probe: Probe,
    progress: Callable[[float], None] = nothing,
    cancelled: Callable[[], bool] = never,
) -> list[CardSeen]:
    """The cards shown, in order of their first sighting; a recording without picture shows none.

    Where a card is first seen may be up to half a second, in recordings with a
    key picture every second up to one second, after it came into the picture.

    Raises
    ------
    Cancelled, Missing, NotMedia
        See ``errors``.
    """
    if probe.picture_stream is None:
        progress(1.0)
        return []
    watch = _Watch(path, probe, progress, cancelled)
    with ThreadPoolExecutor(max_workers=1) as pool:
        watch.all(pool)
    progress(1.0)
    return merged((seen.at_ms, name) for seen in watch.seen for name in seen.names)


@dataclass
class _Watch:
    """One recording being gone through, in up to five passes."""

    path: Path
    probe: Probe
    progress: Callable[[float], None]
    cancelled: Callable[[], bool]
    seen: list[_Seen] = field(default_factory=list)

    def all(self, pool: ThreadPoolExecutor) -> None:
        length = self.probe.duration_ms
        self._pass(pool, keys(self.path, self.probe), 0.0, 0.4)
        done = 0.4
        for skip in SKIPS:
            missing = gaps([one.at_ms for one in self.seen], 0, length)
            if missing:
                self._pass(pool, between(self.path, self.probe, missing, skip), done, done + 0.2)
            done += 0.2 if skip != SKIPS[-1] else 0.1
        doubtful = self._doubtful(length)
        if doubtful:
            self._pass(pool, between(self.path, self.probe, doubtful, "NONREF", DOUBT_STEP_MS), 0.9, 1.0)

    def _pass(self, pool: ThreadPoolExecutor, looks: Iterable[Look], start: float, end: float) -> None:
        """Look at these pictures while the next ones are being decoded."""
        eye, waiting = _Eye(), deque[Future[_Seen]]()
        for look in looks:
            if self.cancelled():
                raise Cancelled("looking for cards was stopped", self.path.name)
            waiting.append(pool.submit(eye.look, look))
            if len(waiting) > WAITING:
                self.seen.append(waiting.popleft().result())
            self.progress(min(end, start + (end - start) * look.at_ms / self.probe.duration_ms))
        self.seen.extend(future.result() for future in waiting)

    def _doubtful(self, length: int) -> list[Gap]:
        """Around the pictures that most looked as if they held a card and gave none, with none read near them."""
        read = [one.at_ms for one in self.seen if one.names]
        unread = [
            one for one in self.seen if one.doubt and not any(abs(one.at_ms - at_ms) <= WIDEST_MS for at_ms in read)
        ]
        unread.sort(key=lambda one: -one.doubt)
        return joined([Gap(max(0, one.at_ms - 500), min(length, one.at_ms + 500)) for one in unread[:MOST_DOUBTS]])


def merged(sightings: Iterable[tuple[int, str]]) -> list[CardSeen]:
    """Sightings (ms, reed) as showings: those of one card with no other between them and little time are one."""
    return sorted(_merged(sightings), key=lambda one: (one.at_ms, one.name))


def _merged(sightings: Iterable[tuple[int, str]]) -> Iterator[CardSeen]:
    open_ones: dict[str, CardSeen] = {}
    for at_ms, name in sorted(set(sightings)):
        before = open_ones.get(name)
        if before is not None and at_ms - before.until_ms <= MERGE_MS and not _between(open_ones, before, at_ms):
            open_ones[name] = CardSeen(before.at_ms, at_ms + LAST_MS, name)
            continue
        if before is not None:
            yield before
        open_ones[name] = CardSeen(at_ms, at_ms + LAST_MS, name)
    yield from open_ones.values()


def _between(others: dict[str, CardSeen], before: CardSeen, at_ms: int) -> bool:
    """Whether another card was first shown after ``before`` was last seen, and before ``at_ms``."""
    return any(
        before.until_ms < one.at_ms < at_ms and one.until_ms < at_ms for one in others.values() if one is not before
    )


def _thumb(grey: Grey, place: Place) -> Grey:
    left, top, right, bottom = place.box
    every = max(1, min(right - left, bottom - top) // 96)  # a large place need not be averaged from all its pixels
    return np.asarray(
        cv2.resize(grey[top:bottom:every, left:right:every], THUMB, interpolation=cv2.INTER_AREA), np.uint8
    )
