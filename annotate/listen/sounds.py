"""Which kind of sound is heard when: speech, play, crow, scrape or quiet.

How it decides, step by step:

1. *Evidence* (``evidence``). Four statements about each 32 ms frame, each
   between -1 (no) and +1 (yes): someone speaks, it is louder than the
   background, noise like strokes goes on, it is a tone.
2. *Score.* A kind's score in a frame is the sum of the evidence times the
   weights in ``WEIGHTS``: one row per kind, to be read like a sentence.
3. *Path.* The best path through the scores (Viterbi), where every change of
   kind costs ``CHANGE_COST``, and a stroke must begin with an onset: the hush
   that a phone turns up between two sentences has none.
4. *Habits.* Short gaps inside a kind are bridged, blips are given to their
   neighbours, and the bursts of each stretch of tone are named together (``tone_kinds``).

Conventions as in ``features``. Confidence is the mean advantage of the chosen
kind over the best other one, as a probability.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from annotate.errors import Cancelled
from annotate.listen import features
from annotate.listen.evidence import Evidence, weigh
from annotate.listen.features import HOP_MS, RATE_HZ, Features, Track
from annotate.listen.stored import Whole
from annotate.listen.tone_kinds import name_bursts
from annotate.model import SOUND_KINDS, Sound

Path = npt.NDArray[np.intp]
SPEECH, PLAY, CROW, SCRAPE, QUIET = range(5)  # places in SOUND_KINDS

#            speech  loud  stroke  tone
WEIGHTS = {
    "speech": (4.0, 0.5, 0.0, 0.0),
    "play": (-2.5, 1.5, 0.0, 3.2),  # any tone: which of the two, the bursts tell afterwards
    "crow": (-2.5, 1.5, 0.0, 3.2),
    "scrape": (-2.5, 0.0, 3.0, -2.0),
    "quiet": (-2.5, -1.5, -2.0, 0.0),
}
CHANGE_COST = 12.0  # in units of score: about four frames of clear evidence
NO_ONSET_COST = 30.0  # for a stroke that begins out of nothing: a second of even noise

# Habits of a bench, in ms.
BRIDGE_MS = {"speech": 600, "play": 450, "crow": 450, "scrape": 900}  # pauses for breath, tongue, and the way back
TALK_BRIDGE_MS = 700  # scraping or hush between two words of one sentence belongs to the talk
FIRST_VOWEL_MS = 300  # a tone shorter than this that runs into talk is its first vowel, heard before the voice is
HUM_MS = 800  # a lone tone shorter than this that touches talk is a hum of the voice ...
HUM_VOICE = 0.10  # ... if the voice detector half believes it: its mean probability; notes and crows stay below 0.04
SHORTEST_MS = {"speech": 200, "play": 100, "crow": 130, "scrape": 170, "quiet": 200}


def hear(
    samples: Whole,
    rate_hz: int = RATE_HZ,
    voice: Track | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> tuple[Sound, ...]:
    """The sounds of a recording, without gaps from 0 to its end.

    Parameters
    ----------
    samples
        Mono float32, full scale 1.0, 16 kHz; may be stored in a file.
    voice
        Speech probability of each 512-sample frame, if known already.
    progress, cancelled
        Told 0..1 as the work goes on; asked whether to stop.

    Returns
    -------
    tuple of Sound
        In order; borders on multiples of 32 ms, the last one at the end; empty for no samples.
    """
    features.validate(samples, rate_hz)
    measured = measure(samples, voice, progress, cancelled)
    return decide(measured, round(samples.size * 1000 / rate_hz))


def measure(
    samples: Whole,
    voice: Track | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Features:
    """The features of a whole recording, telling how far it is."""
    parts = []
    for part in features.blocks(samples, voice):
        if cancelled and cancelled():
            raise Cancelled("was stopped before it was done", "Listening for sounds")
        parts.append(part)
        if progress:
            progress(min(1.0, len(parts) * features.BLOCK / samples.size))
    return features.joined(parts)


def decide(measured: Features, duration_ms: int) -> tuple[Sound, ...]:
    """Sounds from features: evidence, score, path, habits."""
    if not len(measured) or duration_ms <= 0:
        return ()
    found = weigh(measured)
    scores = score(found)
    path = path_before_names(scores, measured, found)
    path = name_tones(path, scores, measured, found)
    return _sounds(path, scores, duration_ms)


def path_before_names(scores: npt.NDArray[np.float32], measured: Features, found: Evidence) -> Path:
    """The best path with its habits kept, in which play and crow are still one: tone."""
    path = keep_habits(best_path(scores, found.onset))
    _give_hums(path, measured.voice)
    return path


def score(found: Evidence) -> npt.NDArray[np.float32]:
    """Score of each kind (columns as in ``SOUND_KINDS``) in each frame."""
    columns = np.stack([found.speech, found.loud, found.stroke, found.tone], axis=1)
    weights = np.array([WEIGHTS[kind] for kind in SOUND_KINDS], dtype=np.float32)
    return np.asarray(columns @ weights.T, dtype=np.float32)


def best_path(scores: npt.NDArray[np.float32], onset: Track) -> Path:
    """The kinds with the highest sum of scores less the costs of the changes (Viterbi)."""
    frames, kinds = scores.shape
    cost = np.full((kinds, kinds), CHANGE_COST)
    np.fill_diagonal(cost, 0)
    came_from = np.zeros((frames, kinds), dtype=np.int8)
    total = scores[0].astype(np.float64)
    everyone = np.arange(kinds)
    for frame in range(1, frames):
        cost[QUIET, SCRAPE] = CHANGE_COST + NO_ONSET_COST * (1 - onset[frame])
        ways = total[:, None] - cost
        best = ways.argmax(axis=0)
        came_from[frame] = best
        total = ways[best, everyone] + scores[frame]
    path = np.empty(frames, dtype=np.intp)
    path[-1] = int(total.argmax())
    for frame in range(frames - 1, 0, -1):
        path[frame - 1] = came_from[frame, path[frame]]
    return path


def runs(path: Path) -> list[tuple[int, int, int]]:
    """(first frame, end frame, kind) of each stretch of one kind."""
    edges = np.concatenate([[0], np.nonzero(np.diff(path))[0] + 1, [path.size]])
    return [(int(a), int(b), int(path[a])) for a, b in pairwise(edges)]


def keep_habits(path: Path) -> Path:
    """Bridge short gaps within a kind, and give blips to their neighbours."""
    path = path.copy()
    _give_to_talk(path)
    for kind in (SCRAPE, PLAY, CROW, SPEECH):
        _bridge(path, kind)
    _give_away(path)
    for kind in (SCRAPE, PLAY, CROW, SPEECH):
        _bridge(path, kind)
    return path


def _give_to_talk(path: Path) -> None:
    """After a crow or a note the voice detector wakes late: the vowel that talk begins with was taken for a tone."""
    stretches = runs(path)
    for before, (start, end, kind), after in zip(stretches, stretches[1:], stretches[2:], strict=False):
        is_first = before[2] == QUIET and after[2] == SPEECH
        if is_first and kind in (PLAY, CROW) and (end - start) * HOP_MS < FIRST_VOWEL_MS:
            path[start:end] = SPEECH


def _give_hums(path: Path, voice: Track) -> None:
    """A hum or a drawn-out "well" is as steady as a note; nobody plays a single short note without a breath."""
    stretches = runs(path)
    for number, (start, end, kind) in enumerate(stretches):
        beside = [other[2] for other in stretches[max(number - 1, 0) : number + 2]]
        is_short = kind in (PLAY, CROW) and (end - start) * HOP_MS < HUM_MS
        if is_short and SPEECH in beside and voice[start:end].mean() > HUM_VOICE:
            path[start:end] = SPEECH


def _bridge(path: Path, kind: int) -> None:
    limit = BRIDGE_MS[SOUND_KINDS[kind]] // HOP_MS
    stretches = runs(path)
    for before, (start, end, held), after in zip(stretches, stretches[1:], stretches[2:], strict=False):
        if before[2] != kind or after[2] != kind:
            continue
        is_gap = held == QUIET and end - start <= limit
        is_talk = kind == SPEECH and held in (QUIET, SCRAPE) and end - start <= TALK_BRIDGE_MS // HOP_MS
        if is_gap or is_talk:
            path[start:end] = kind


def _give_away(path: Path) -> None:
    """Stretches too short for their kind take the kind before them (at the start, after), shortest first."""
    while True:
        stretches = runs(path)
        short = [
            (end - start, number)
            for number, (start, end, kind) in enumerate(stretches)
            if (end - start) * HOP_MS < SHORTEST_MS[SOUND_KINDS[kind]]
        ]
        if not short or len(stretches) == 1:
            return
        number = min(short)[1]
        start, end, _ = stretches[number]
        path[start:end] = stretches[number - 1][2] if number else stretches[1][2]


def tones(path: Path) -> list[tuple[int, int]]:
    """(first frame, end frame) of each stretch of play or crow."""
    is_tone = np.isin(path, (PLAY, CROW)).astype(np.intp)
    return [(start, end) for start, end, tone in runs(is_tone) if tone]


def name_tones(path: Path, scores: npt.NDArray[np.float32], measured: Features, found: Evidence) -> Path:
    """Each stretch of tone as its bursts are named; what lies between two of them is shared.

    The points of each burst are added to the ``scores`` in place, for the confidence.
    """
    path = path.copy()
    for start, end in tones(path):
        named = name_bursts(start, end, measured, found)
        edges = [(int(one[0][-1]) + int(other[0][0]) + 1) // 2 for one, other in pairwise(named)]
        for first, last, (_, kind, points) in zip([start, *edges], [*edges, end], named, strict=False):
            path[first:last] = SOUND_KINDS.index(kind)
            scores[first:last, CROW if points > 0 else PLAY] += abs(points)
    _bridge(path, PLAY)
    _bridge(path, CROW)
    return path


def _sounds(path: Path, scores: npt.NDArray[np.float32], duration_ms: int) -> tuple[Sound, ...]:
    chosen = np.take_along_axis(scores, path[:, None], axis=1)[:, 0]
    others = scores.copy()
    np.put_along_axis(others, path[:, None], -np.inf, axis=1)
    margin = 1 / (1 + np.exp(-(chosen - others.max(axis=1)).clip(-20, 20)))
    heard = []
    stretches = runs(path)
    for start, end, kind in stretches:
        stop_ms = duration_ms if end == path.size else end * HOP_MS
        if stop_ms > start * HOP_MS:
            confidence = round(float(margin[start:end].mean()), 3)
            heard.append(Sound(start * HOP_MS, stop_ms, SOUND_KINDS[kind], confidence))
    return tuple(heard)
