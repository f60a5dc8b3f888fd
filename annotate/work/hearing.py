"""Hears a whole sound: kinds of sound, notes and crows in them, and words. For the library and for single files."""

from __future__ import annotations

import errno
import shutil
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from platformdirs import user_cache_path

from annotate.errors import NoSpace
from annotate.intake.opening import check_file
from annotate.intake.probe import probe
from annotate.listen.audio import RATE_HZ, sound_blocks, sound_of
from annotate.listen.crow import measure_crow
from annotate.listen.line_cut import Utterance
from annotate.listen.marks import AROUND_MS, Tops, find_marks
from annotate.listen.model_files import find_model
from annotate.listen.notes import find_notes
from annotate.listen.recognise import Part, Recogniser, Watch, Wishes
from annotate.listen.sounds import hear
from annotate.listen.stored import StoredSound, Whole
from annotate.listen.trade_words import hint_words
from annotate.listen.voiced import Samples
from annotate.model import Probe, Sound

SCRATCH = "benchreel-listen-"
FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)  # no room left on the disk, for this user, in one file
STALE_S = 86_400  # a scratch folder this old belongs to no run
BLOCK = 30 * RATE_HZ
MEASURED_KINDS = ("play", "crow")
SURE = 0.9  # confidence from which a stretch without speech is kept from the recogniser
EDGE_MS = 300  # speech may begin a little before the border that was heard
# Shares of the time it takes, measured on eleven minutes with half of it speech, two cores: decode, tell sounds apart,
# measure notes and crows.
DECODED, TOLD_APART, MEASURED = 0.08, 0.13, 0.16
LONG_MS = 1_000  # shorter stretches are left to the recogniser's own voice detector


@dataclass(frozen=True)
class Heard:
    """What was heard in a file. ``measures`` goes with ``sounds``: notes, a crow and marks, as plain data."""

    sounds: tuple[Sound, ...]
    measures: tuple[dict[str, Any], ...]
    lines: tuple[Utterance, ...]
    language: str

    def as_data(self) -> dict[str, Any]:
        """The form that ``benchreel listen --json`` prints."""
        return {
            "sounds": [asdict(sound) for sound in self.sounds],
            "notes": [note for measure in self.measures for note in measure.get("notes", ())],
            "crows": [measure["crow"] for measure in self.measures if "crow" in measure],
            "marks": [
                {"start_ms": sound.start_ms, "end_ms": sound.end_ms, **measure["marks"]}
                for sound, measure in zip(self.sounds, self.measures, strict=True)
                if "marks" in measure
            ],
            "lines": [asdict(line) for line in self.lines],
            "language": self.language,
        }


@contextmanager
def decoded(
    path: Path, probed: Probe, folder: Path | None, progress: Callable[[float], None], tops: Tops | None = None
) -> Iterator[StoredSound]:
    """The sound on the recording's clock at 16 kHz, decoded once into a file that is gone afterwards.

    ``tops`` counts cut tops on the way, for ``measured``.
    """
    folder = folder or _own_folder()
    _clear(folder)
    # What cannot be cleared away now is cleared another day.
    with tempfile.TemporaryDirectory(dir=folder, prefix=SCRATCH, ignore_cleanup_errors=True) as scratch:
        raw = Path(scratch) / "sound.f32"
        _write(raw, sound_blocks(sound_of(path, probed), RATE_HZ, tops=tops), probed.duration_ms, progress)
        yield StoredSound(raw)


def _own_folder() -> Path:
    """Where the sound lies meanwhile: the user's cache, for the folder of temporary files may be memory."""
    try:
        return user_cache_path("benchreel", ensure_exists=True)
    except OSError:
        return Path(tempfile.gettempdir())


def _write(raw: Path, blocks: Iterable[Samples], duration_ms: int, progress: Callable[[float], None]) -> None:
    """Write the blocks one after the other."""
    count = 0
    try:
        with raw.open("wb") as file:
            for block in blocks:
                file.write(block.astype("<f4", copy=False).tobytes())
                count += block.size
                progress(min(1.0, count * 1000 / RATE_HZ / max(duration_ms, 1)))
    except OSError as error:
        if error.errno not in FULL:
            raise
        needed_mb = duration_ms * RATE_HZ * 4 // 1_000_000_000 + 1
        step = f"Listening needs about {needed_mb} MB there for a while: free some and try again."
        raise NoSpace("The disk is full", str(raw.parent.parent), step) from error


def _clear(folder: Path) -> None:
    for left in folder.glob(f"{SCRATCH}*"):
        if time.time() - left.stat().st_mtime > STALE_S:
            shutil.rmtree(left, ignore_errors=True)


def measured(
    samples: Whole,
    sounds: Sequence[Sound],
    a4_hz: float,
    progress: Callable[[float], None] = lambda done: None,
    tops: Tops | None = None,
) -> list[dict[str, Any]]:
    """What was measured in each sound, as plain data: ``notes`` in playing, ``crow`` in a crow, ``marks`` in both.

    What ``progress`` raises ends the work, also in the middle of a long sound.
    """
    whole = sum(_length(sound) for sound in sounds if sound.kind in MEASURED_KINDS)
    made: list[dict[str, Any]] = []
    before = 0
    for sound in sounds:
        if sound.kind not in MEASURED_KINDS:
            made.append({})
            continue
        part_done = _part(progress, before / whole, _length(sound) / whole)
        part_done(0.0)
        made.append(_measures(samples, sound, a4_hz, part_done, tops))
        before += _length(sound)
    return made


def _measures(
    samples: Whole, sound: Sound, a4_hz: float, progress: Callable[[float], None], tops: Tops | None
) -> dict[str, Any]:
    before_ms = min(sound.start_ms, AROUND_MS)
    around = samples[_at(sound.start_ms - before_ms) : _at(sound.end_ms + AROUND_MS)]
    # A part of what was read and not read again: a sound may last for hours.
    piece = around[_at(before_ms) : _at(before_ms + sound.end_ms - sound.start_ms)]
    cut = tops.per_s(sound.start_ms, sound.end_ms) if tops else None
    told: dict[str, Any] = {"marks": asdict(find_marks(around, RATE_HZ, cut)), "rate_hz": RATE_HZ}
    if sound.kind == "play":
        told["notes"] = [asdict(note) for note in find_notes(piece, RATE_HZ, sound.start_ms, a4_hz, progress)]
    elif (crow := measure_crow(piece, RATE_HZ, sound.start_ms, a4_hz)) is not None:
        told["crow"] = asdict(crow)
    return told


def _part(progress: Callable[[float], None], start: float, share: float) -> Callable[[float], None]:
    """The progress of one part, told as that of the whole."""
    return lambda done: progress(start + share * done)


def _at(ms: int) -> int:
    return ms * RATE_HZ // 1000


def _length(sound: Sound) -> int:
    return sound.end_ms - sound.start_ms


def may_hold_speech(sounds: Sequence[Sound], duration_ms: int) -> tuple[tuple[int, int], ...]:
    """Where the recogniser may look: everywhere but in long stretches that are surely something else."""
    spans: list[tuple[int, int]] = []
    at = 0
    for sound in sounds:
        start, end = sound.start_ms + EDGE_MS, sound.end_ms - EDGE_MS
        if sound.kind == "speech" or sound.confidence < SURE or sound.end_ms - sound.start_ms < LONG_MS:
            continue
        if start > at:
            spans.append((at, start))
        at = end
    if duration_ms > at:
        spans.append((at, duration_ms))
    return tuple(spans)


def words(
    samples: Whole, sounds: Sequence[Sound], wishes: Wishes, start_ms: int, watch: Watch, say: Callable[[str], None]
) -> Iterator[Part]:
    """The lines part by part from ``start_ms`` on; the model is opened first (``say`` hears what is fetched)."""
    say("opening the speech model")
    recogniser = Recogniser(find_model(may_fetch=True, say=say).folder)
    say("writing down what is said")
    first = _at(start_ms)
    blocks = (samples[at : at + BLOCK] for at in range(first, samples.size, BLOCK))
    total_ms = samples.size * 1000 // RATE_HZ
    spans = may_hold_speech(sounds, total_ms)
    wanted = Wishes(wishes.language, wishes.hints, spans)
    yield from recogniser.parts(blocks, wanted, start_ms=start_ms, total_ms=total_ms, watch=watch)


def hear_file(
    file: Path, *, a4_hz: float, language: str | None, progress: Callable[[float], None], say: Callable[[str], None]
) -> Heard:
    """Hear any media file without a library. A file without sound gives nothing heard."""
    check_file(file)
    probed = probe(file)
    if probed.sound_stream is None:
        return Heard((), (), (), "")
    # Looked for first: without it all that was heard by then would be lost.
    find_model(may_fetch=True, say=say)
    tops = Tops()
    with decoded(file, probed, None, lambda done: progress(DECODED * done), tops) as samples:
        sounds = hear(samples, RATE_HZ, progress=lambda done: progress(DECODED + (TOLD_APART - DECODED) * done))
        measures = measured(samples, sounds, a4_hz, lambda done: progress(TOLD_APART + (MEASURED - TOLD_APART) * done))
        wishes = Wishes(language, hint_words())
        watch = Watch(lambda done: progress(MEASURED + (1 - MEASURED) * done))
        parts = list(words(samples, sounds, wishes, 0, watch, say))
    found = next((part.language for part in parts if part.language), language or "")
    return Heard(sounds, tuple(measures), tuple(line for part in parts for line in part.utterances), found)
