"""Which kind of sound is heard when: speech, play, crow, scrape or quiet.

How it decides, in the order of the functions below:

1. *Evidence.* Five statements about each 32 ms frame, each between -1 (no) and
   +1 (yes): someone speaks, it is louder than the background, noise like
   strokes goes on, it is a tone, the tone is rough. Each is ``tanh((measure - middle) /
   width)`` of one measure of ``features``.
2. *Score.* A kind's score in a frame is the sum of the evidence times the
   weights in ``WEIGHTS``: one row per kind, to be read like a sentence.
3. *Path.* The best path through the scores (Viterbi), where every change of
   kind costs ``CHANGE_COST``, and a stroke must begin with an onset: the hush
   that a phone turns up between two sentences has none.
4. *Habits.* Short gaps inside a kind are bridged, blips are given to their
   neighbours, and a lone clear pitch in the range of crows is a crow (a peep).

Conventions as in ``features``. Confidence is the mean advantage of the chosen
kind over the best other one, as a probability.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from annotate.errors import Cancelled
from annotate.listen import features
from annotate.listen.features import HOP_MS, RATE_HZ, Features, Samples, Track
from annotate.model import SOUND_KINDS, Sound

Path = npt.NDArray[np.intp]
SPEECH, PLAY, CROW, SCRAPE, QUIET = range(5)
assert SOUND_KINDS == ("speech", "play", "crow", "scrape", "quiet")

# The background: what the quietest moments of the half minute around sound like.
BACKGROUND_FRAMES = 937  # 30 s: longer than most bouts of sanding, shorter than a shower
BACKGROUND_PERCENT = 3.0  # of the frames: 1 s of every 30 s is enough to show the background
BACKGROUND_SPAN_DB = 20.0  # no background lies further above the recording's quietest: automatic gain has 18 dB
HIGHEST_BACKGROUND_DB = -38.0  # below full scale: what is louder all the time is no background any more
FOLLOWED_DB = 6.0  # a background that a phone turns up is followed while it stays this near,
ALIKE_DB = 4.0  # or has risen alike in all bands to within this: a gain does that, a new sound does not,
FOLLOWED_DB_PER_S = 12.0  # and rises no faster: gain controls recover more slowly than this
CREEP_DB_PER_S = 0.5  # even noise that came up behind other sounds is the new background after a while
LOWEST_BACKGROUND_DB = -68.0  # below full scale: under every microphone's own noise; digital silence counts as this

# Evidence: (middle, width) of the tanh, in the unit of the measure.
VOICE = (0.20, 0.10)  # mean speech probability over 0.3 s; 95 % of other sounds than notes lie below 0.04
VOICE_FRAMES = 9
HELD_NOTE_VOICE = 0.65  # added to the middle for held notes, which the detector takes for vowels one time in 10
HELD = (0.55, 0.06)  # share of tone that stays on its pitch: 0.6-1 of notes, however quick; 0-0.4 of talk
HELD_CENTS = 12.0  # a note moves less than this from frame to frame
HELD_PERIODICITY = (0.6, 0.8)  # from where on a frame counts as tone, and as clear enough to stay
HELD_SPAN_FRAMES = 47  # 1.5 s
HELD_LEAST_TONE = 0.2  # of that time; less says nothing
LOUD = (8.0, 4.0)  # dB above the background; a background alone stays within 3 dB
TONE = (0.40, 0.06)  # middle periodicity of 0.2 s; noise stays below 0.3, notes lie above 0.9, crows from 0.35 ...
TONE_FRAMES = 7
CONSTANCY = 0.12  # ... and this is added if the pitch stays within a whole tone, which that of noise never does
HUM_DB = 4.0  # below this above the background, what hums is the background
HARMONICITY = (18.0, 2.0)  # dB of periodic over other power; the better quarter of a note's frames lies above 19
ROUGHNESS = (-1.0, 0.10)  # log10 of the depth of beats; steady notes stay below 0.1, crows lie above 0.15
LOW_HARMONICITY = (20.5, 1.5)  # dB; the same for held low notes: two beating tones can come near them
FOOT = (-26.0, 2.0)  # dB; low notes have a partial below 260 Hz less than 23 dB under their strongest
NO_FOOT_DB = -32.0  # under this there is no partial below 260 Hz, so the pitch is not below either
QUICK_LOW = -0.5  # what a quick figure of low notes counts: too short to be clear, and no crow
HELD_FRAMES = 12  # 0.4 s
LOW_NOTE_HZ = 130.0  # below: neighbouring partials of a note lie so close that they beat like a crow
STROKE_FRAMES = 25  # 0.8 s: noise that comes back within this is one bout of strokes
STEADY_DB = 1.5  # deviation of the level over a fifth of a second below which noise is even
STEADY_SHARE = 0.15  # what loudness counts for even noise just above the background ...
STEADY_FULL_DB = 25.0  # ... growing to the full weight this far above it: no gain control goes there
ONSET_DB = 6.0  # step of the level within a tenth of a second that makes an onset

#            speech  loud  stroke  tone  rough
WEIGHTS = {
    "speech": (4.0, 0.5, 0.0, 0.0, 0.0),
    "play": (-2.5, 1.5, 0.0, 2.0, -1.5),
    "crow": (-2.5, 1.5, 0.0, 2.0, 1.5),
    "scrape": (-2.5, 0.0, 3.0, -2.0, 0.0),
    "quiet": (-2.5, -1.5, -2.0, 0.0, 0.0),
}
CHANGE_COST = 12.0  # in units of score: about four frames of clear evidence
TONE_CHANGE_COST = 30.0  # more, between play and crow: nobody takes the reed off the bocal without a pause
NO_ONSET_COST = 30.0  # for a stroke that begins out of nothing: a second of even noise

# Habits of a bench, in ms.
BRIDGE_MS = {"speech": 600, "play": 450, "crow": 450, "scrape": 900}  # pauses for breath, tongue, and the way back
TALK_BRIDGE_MS = 700  # scraping or hush between two words of one sentence belongs to the talk
SHORTEST_MS = {"speech": 200, "play": 100, "crow": 130, "scrape": 170, "quiet": 200}
POOL_FRAMES = 25  # 0.8 s: tones are judged by the company they keep

# A peep is a crow of one clear pitch: only its surroundings tell it from a note.
PEEP_HZ = (290.0, 640.0)  # crows reported from C4-C#4 (on the bocal) to C5 (oboe), with a third to spare
PEEP_LONGEST_MS = 2400  # one breath into a bare reed; long tones are held longer
PEEP_SHORTEST_MS = 250  # shorter ones are notes of a quick figure
PLAIN_CROW_MS = 350  # a rough burst this long is a crow ...
MOSTLY_CROW = 0.6  # ... and takes the rest of its stretch along, if so much of it may be one too
CROW_BURSTS = 4  # more than this at a stretch is tonguing practice
FIGURE_BURSTS = 4  # this many bursts ...
FIGURE_MS = 300  # ... no longer than this are notes: nobody crows so fast
PEEP_WOBBLE_CENTS = 60.0  # within one burst; the next note of a scale is 100 away
BURST_FRAMES = 13  # 0.4 s: a dip ...
BURST_DIP_DB = 12.0  # ... this deep below the loudest moment within it parts two bursts


@dataclass(frozen=True)
class Evidence:
    """Per frame: what speaks for what, each -1..1; ``onset`` 0..1; ``tonal`` marks frames with a pitch."""

    speech: Track
    loud: Track
    stroke: Track
    tone: Track
    rough: Track
    onset: Track
    tonal: npt.NDArray[np.bool_]


def hear(
    samples: Samples,
    rate_hz: int = RATE_HZ,
    voice: Track | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> tuple[Sound, ...]:
    """The sounds of a recording, without gaps from 0 to its end.

    Parameters
    ----------
    samples
        Mono float32, full scale 1.0, 16 kHz; may be an array mapped from disk.
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
    samples: Samples,
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
    found = evidence(measured)
    scores = score(found)
    path = best_path(scores, found.onset)
    path = keep_habits(path)
    path = name_tones(path, measured, found)
    return _sounds(path, scores, duration_ms)


def evidence(measured: Features) -> Evidence:
    """The five statements about each frame."""
    bands = above_background(measured)
    excess = bands.max(axis=0)
    held = _held(measured)
    voice = ndimage.uniform_filter1d(measured.voice, VOICE_FRAMES, mode="nearest")
    speech = np.tanh((voice - VOICE[0] - HELD_NOTE_VOICE * held) / VOICE[1])
    tone = _soft(_tonality(measured, excess), TONE)
    tonal = tone > 0
    stroke = _stroke(np.where(tonal | (speech > 0), 0, excess), _unrest(measured))
    rough = _rough(measured, tonal & (speech < 0.5), bands[0])
    return Evidence(speech, _soft(excess, LOUD), stroke, tone, rough, _onset(measured), tonal)


def score(found: Evidence) -> npt.NDArray[np.float32]:
    """Score of each kind (columns as in ``SOUND_KINDS``) in each frame."""
    columns = np.stack([found.speech, found.loud, found.stroke, found.tone, found.rough], axis=1)
    weights = np.array([WEIGHTS[kind] for kind in SOUND_KINDS], dtype=np.float32)
    return np.asarray(columns @ weights.T, dtype=np.float32)


def _soft(values: Track, scale: tuple[float, float]) -> Track:
    return np.tanh((values - scale[0]) / scale[1]).astype(np.float32)


def _bands(measured: Features) -> list[Track]:
    """The three bands' levels (dB), freed of single clicks."""
    bands = (measured.low_db, measured.middle_db, measured.high_db)
    return [ndimage.median_filter(np.maximum(band, LOWEST_BACKGROUND_DB), 3, mode="nearest") for band in bands]


def above_background(measured: Features) -> npt.NDArray[np.float32]:
    """How far (dB) each frame stands above the background, in the low, middle and high band (bands x frames)."""
    is_even = ndimage.maximum_filter1d(_unrest(measured), 7, mode="nearest") < 2 * STEADY_DB
    is_even &= (measured.periodicity < TONE[0]) & (measured.voice < VOICE[0])
    bands = _bands(measured)
    smooth = [ndimage.uniform_filter1d(band, 9, mode="nearest") for band in bands]
    excess = []
    for band, even, followed in zip(bands, smooth, _followed(np.stack(smooth), is_even), strict=True):
        floor = ndimage.percentile_filter(even, BACKGROUND_PERCENT, size=BACKGROUND_FRAMES, mode="nearest")
        highest = min(HIGHEST_BACKGROUND_DB, float(np.percentile(even, BACKGROUND_PERCENT)) + BACKGROUND_SPAN_DB)
        excess.append(band - np.maximum(np.minimum(floor, highest), followed))
    return np.stack(excess).astype(np.float32)


def _followed(bands_db: npt.NDArray[np.float32], is_even: npt.NDArray[np.bool_]) -> npt.NDArray[np.float32]:
    """The background (dB, bands x frames) as someone hears it who follows it from moment to moment.

    It falls at once with the level, and rises with even noise that is near it
    or has its colour: so a hush turned up by a phone stays the background, and
    sanding that sets in with a step does not become it.
    """
    fast, slow = FOLLOWED_DB_PER_S * HOP_MS / 1000, CREEP_DB_PER_S * HOP_MS / 1000
    followed = np.empty_like(bands_db)
    held = bands_db[:, :31].min(axis=1).tolist()
    for frame, (levels, even) in enumerate(zip(bands_db.T.tolist(), is_even.tolist(), strict=True)):
        above = [max(level - low, 0.0) for level, low in zip(levels, held, strict=True)]
        most = max(above)
        rise = 0.0
        if even:
            rise = fast if most < FOLLOWED_DB or most - min(above) < ALIKE_DB else slow
        held = [min(level, low + min(rise, up)) for level, low, up in zip(levels, held, above, strict=True)]
        followed[:, frame] = held
    return followed


def _unrest(measured: Features) -> Track:
    """Deviation (dB) of the level over a fifth of a second, in the least even band."""
    unrest = []
    for band in _bands(measured):
        mean = ndimage.uniform_filter1d(band, 7, mode="nearest")
        square = ndimage.uniform_filter1d(band * band, 7, mode="nearest")
        unrest.append(np.sqrt(np.maximum(square - mean * mean, 0)))
    return np.asarray(np.max(unrest, axis=0), dtype=np.float32)


def _onset(measured: Features) -> Track:
    """0..1: how much louder the next tenth of a second is than the last, in the band where it rises most."""
    rise = []
    for band in _bands(measured):
        mean = ndimage.uniform_filter1d(band, 3, mode="nearest")
        padded = np.pad(mean, 2, mode="edge")
        rise.append(padded[4:] - padded[:-4])
    strongest = ndimage.maximum_filter1d(np.max(rise, axis=0), 5, mode="nearest")
    return np.clip(strongest / ONSET_DB, 0, 1).astype(np.float32)


def _stroke(noise_db: Track, unrest: Track) -> Track:
    """-1..1: whether noise above the background goes on here, the gaps between strokes filled.

    Even noise just above the background counts little: it may be the
    background itself, turned up by a phone.
    """
    filled = ndimage.grey_closing(noise_db, STROKE_FRAMES, mode="nearest")
    stroke = _soft(filled, LOUD)
    share = np.clip((filled - LOUD[0]) / (STEADY_FULL_DB - LOUD[0]), STEADY_SHARE, 1)
    is_even = ndimage.maximum_filter1d(unrest, STROKE_FRAMES // 2, mode="nearest") < STEADY_DB
    return np.where(is_even & (stroke > 0), stroke * share, stroke).astype(np.float32)


def _tonality(measured: Features, excess_db: Track) -> Track:
    """Periodicity of what stands out of the background (a fan may hum), and more if the pitch stays where it is."""
    heard = np.where(excess_db > HUM_DB, measured.periodicity, 0)
    middle = ndimage.median_filter(heard, TONE_FRAMES, mode="nearest")
    cents = _cents(measured)
    usual = ndimage.median_filter(np.nan_to_num(cents), TONE_FRAMES, mode="nearest")
    near = np.abs(np.nan_to_num(cents) - usual) < 200
    constant = ndimage.uniform_filter1d((near & (usual > 0)).astype(np.float32), TONE_FRAMES, mode="nearest")
    return np.asarray(middle + CONSTANCY * (constant > 0.8), dtype=np.float32)


def _cents(measured: Features) -> Track:
    """Pitch in cents above 1 Hz; nan where there is none."""
    return np.asarray(1200 * np.log2(np.where(measured.pitch_hz > 0, measured.pitch_hz, np.nan)), dtype=np.float32)


def _held(measured: Features) -> Track:
    """0..1: whether the tones of the moment stay on their pitches, as notes do and voices do not."""
    is_tone = measured.periodicity > HELD_PERIODICITY[0]
    stays = (measured.periodicity > HELD_PERIODICITY[1]) & (
        np.abs(np.diff(_cents(measured), prepend=np.nan)) < HELD_CENTS
    )
    tones = ndimage.uniform_filter1d(is_tone.astype(np.float32), HELD_SPAN_FRAMES, mode="nearest")
    staying = ndimage.uniform_filter1d(stays.astype(np.float32), HELD_SPAN_FRAMES, mode="nearest")
    share = staying / np.maximum(tones, HELD_LEAST_TONE)
    return np.asarray((1 + _soft(share, HELD)) / 2, dtype=np.float32)


def _rough(measured: Features, voiced: npt.NDArray[np.bool_], low_excess_db: Track) -> Track:
    """Rough or smooth tone, judged over the tonal frames of the 0.8 s around; 0 where there is no tone.

    A note has clear frames between its changes, a crow has none: so the best
    tenth of the harmonicity and the smoother third of the beats decide. What
    seems a low note is one if it has a foot; beats of a crow have none.
    """
    # What the background adds is not the tone's own noise.
    background = np.minimum(10 ** (-low_excess_db / 10), 0.5)
    periodic = np.clip(measured.periodicity / (1 - background), 0.05, 0.9995)
    harmonicity_db = 10 * np.log10(periodic / (1 - periodic))
    is_low = (measured.pitch_hz < LOW_NOTE_HZ) & (measured.foot_db > NO_FOOT_DB)
    fast = np.where(is_low, 0, measured.fast_beats)
    beats = np.log10(np.hypot(measured.slow_beats, fast) + 0.003)
    rough = np.zeros(len(measured), np.float32)
    for group in _groups(np.nonzero(voiced)[0], POOL_FRAMES // 2):
        clear = ndimage.percentile_filter(harmonicity_db[group], 90, size=POOL_FRAMES, mode="nearest")
        even = ndimage.percentile_filter(beats[group], 30, size=POOL_FRAMES, mode="nearest")
        high = np.maximum(-_soft(clear, HARMONICITY), _soft(even, ROUGHNESS))
        foot = ndimage.median_filter(measured.foot_db[group], HELD_FRAMES, mode="nearest")
        held_low = np.maximum(-_soft(clear, LOW_HARMONICITY), -_soft(foot, FOOT))
        low = np.where(_constant(measured.pitch_hz[group]), held_low, QUICK_LOW)
        rough[group] = np.where(ndimage.median_filter(is_low[group], HELD_FRAMES, mode="nearest"), low, high)
    return rough


def _constant(pitch_hz: Track) -> npt.NDArray[np.bool_]:
    """Where a pitch stays within a semitone for at least 0.4 s."""
    cents = 1200 * np.log2(np.maximum(pitch_hz, 1))
    near = np.abs(cents - ndimage.median_filter(cents, HELD_FRAMES + 1, mode="nearest")) < 100
    kept: npt.NDArray[np.bool_] = ndimage.binary_opening(near, np.ones(HELD_FRAMES, dtype=bool))
    return kept


def _groups(numbers: Path, gap: int) -> list[Path]:
    """Runs of rising numbers, parted where the next is more than ``gap`` further on."""
    if not numbers.size:
        return []
    return [part for part in np.split(numbers, np.nonzero(np.diff(numbers) > gap)[0] + 1) if part.size]


def best_path(scores: npt.NDArray[np.float32], onset: Track) -> Path:
    """The kinds with the highest sum of scores less the costs of the changes (Viterbi)."""
    frames, kinds = scores.shape
    cost = np.full((kinds, kinds), CHANGE_COST)
    cost[PLAY, CROW] = cost[CROW, PLAY] = CHANGE_COST + TONE_CHANGE_COST
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
    for kind in (SCRAPE, PLAY, CROW, SPEECH):
        _bridge(path, kind)
    _give_away(path)
    for kind in (SCRAPE, PLAY, CROW, SPEECH):
        _bridge(path, kind)
    return path


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


def name_tones(path: Path, measured: Features, found: Evidence) -> Path:
    """Tell play from crow once more, for each stretch of tone as a whole, by its bursts.

    Many short bursts are a figure on the instrument; a few that are rough, or
    lone clear pitches in the range of crows, are a reed blown alone.
    """
    path = path.copy()
    is_tone = np.isin(path, (PLAY, CROW))
    for start, end, tone in runs(is_tone.astype(np.intp)):
        if not tone:
            continue
        bursts = _bursts(start, end, measured, found)
        if len(bursts) >= FIGURE_BURSTS and np.percentile([b.size for b in bursts], 80) * HOP_MS <= FIGURE_MS:
            path[start:end] = PLAY
        elif bursts and len(bursts) <= CROW_BURSTS and _is_crowing(bursts, measured, found):
            path[start:end] = CROW
    return path


def _is_crowing(bursts: list[Path], measured: Features, found: Evidence) -> bool:
    """All bursts may be crows; or most may, and one plainly is."""
    may = [_may_crow(burst, measured, found) for burst in bursts]
    share = sum(b.size for b, yes in zip(bursts, may, strict=True) if yes) / sum(b.size for b in bursts)
    plain = any(np.median(found.rough[b]) > 0.5 and b.size * HOP_MS >= PLAIN_CROW_MS for b in bursts)
    return all(may) or (plain and share >= MOSTLY_CROW)


def _may_crow(burst: Path, measured: Features, found: Evidence) -> bool:
    """Whether one burst is rough, or one clear pitch in the range of crows, not held as long as a long tone."""
    if np.median(found.rough[burst]) > 0:
        return True
    if not PEEP_SHORTEST_MS <= burst.size * HOP_MS <= PEEP_LONGEST_MS:
        return False
    pitch_hz = measured.pitch_hz[burst]
    middle = float(np.median(pitch_hz))
    while middle < PEEP_HZ[0] and np.median(measured.foot_db[burst]) < NO_FOOT_DB:
        pitch_hz, middle = 2 * pitch_hz, 2 * middle
    steady = np.abs(1200 * np.log2(np.maximum(pitch_hz, 1) / middle)) < PEEP_WOBBLE_CENTS
    return PEEP_HZ[0] <= middle <= PEEP_HZ[1] and bool(steady.mean() > 0.8)


def _bursts(start: int, end: int, measured: Features, found: Evidence) -> list[Path]:
    """The frames of each stretch of tone between dips of the level; bits under a tenth of a second left out."""
    tonal = np.nonzero(found.tonal[start:end] & (measured.pitch_hz[start:end] > 0))[0] + start
    if not tonal.size:
        return []
    level = measured.level_db[tonal]
    loud = tonal[level > ndimage.maximum_filter1d(level, BURST_FRAMES, mode="nearest") - BURST_DIP_DB]
    return [group for group in _groups(loud, 1) if group.size >= 3]


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
