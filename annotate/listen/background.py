"""What a recording sounds like when nothing happens, followed from moment to moment.

Conventions: levels in dB of full scale, one value per 32 ms frame, in the low,
middle and high band of ``features``. Minimum statistics after R. Martin,
"Noise power spectral density estimation based on optimal smoothing and
minimum statistics", IEEE Trans. Speech Audio Process. 9 (2001), with a
percentile for the minimum; the following of a gain is our own.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from annotate.listen.features import HOP_MS, Features, Track

# The background: what the quietest moments of the half minute around sound like.
BACKGROUND_FRAMES = 937  # 30 s: longer than most bouts of sanding, shorter than a shower
BACKGROUND_PERCENT = 3.0  # of the frames: 1 s of every 30 s is enough to show the background
BACKGROUND_SPAN_DB = 20.0  # no background lies further above the recording's quietest: automatic gain has 18 dB
HIGHEST_BACKGROUND_DB = -38.0  # below full scale: what is louder all the time is no background any more
FOLLOWED_DB = 8.0  # a background that a phone turns up is followed while it stays this near,
ALIKE_DB = 6.0  # or has risen alike in all bands to within this: a gain does that, a new sound does not,
FOLLOWED_DB_PER_S = 25.0  # and rises no faster: few gain controls recover faster than this
# A background that was taken for quieter than it is, or has been lost, is still followed while it rises in all bands
# by the same to within this over so many frames (0.3 s).
PARALLEL_DB, PARALLEL_FRAMES = 3.0, 9
START_FRAMES = 31  # 1 s: long enough to hold a moment between strokes
CREEP_DB_PER_S = 0.5  # even noise that came up behind other sounds is the new background after a while
LOWEST_BACKGROUND_DB = -68.0  # below full scale: under every microphone's own noise; digital silence counts as this
STEADY_DB = 1.5  # deviation of the level over a fifth of a second below which noise is even
UNVOICED = 0.20  # speech probability under which a frame may be background
UNTONED = 0.40  # periodicity under which it may


def above_background(measured: Features) -> npt.NDArray[np.float32]:
    """How far (dB) each frame stands above the background, in the low, middle and high band (bands x frames)."""
    is_even = ndimage.maximum_filter1d(unrest(measured), 7, mode="nearest") < 2 * STEADY_DB
    is_even &= (measured.periodicity < UNTONED) & (measured.voice < UNVOICED)
    levels = bands(measured)
    smooth = [ndimage.uniform_filter1d(band, 9, mode="nearest") for band in levels]
    excess = []
    for band, even, followed in zip(levels, smooth, _followed(np.stack(smooth), is_even), strict=True):
        floor = ndimage.percentile_filter(even, BACKGROUND_PERCENT, size=BACKGROUND_FRAMES, mode="nearest")
        highest = min(HIGHEST_BACKGROUND_DB, float(np.percentile(even, BACKGROUND_PERCENT)) + BACKGROUND_SPAN_DB)
        excess.append(band - np.maximum(np.minimum(floor, highest), followed))
    return np.stack(excess).astype(np.float32)


def _followed(bands_db: npt.NDArray[np.float32], is_even: npt.NDArray[np.bool_]) -> npt.NDArray[np.float32]:
    """The background (dB, bands x frames) as someone hears it who follows it from moment to moment.

    It falls at once with the level, and rises with even noise that is near it
    or has its colour: so a hush turned up by a phone stays the background, and
    sanding that sets in with a step does not become it. It is followed from the
    end to the start first: a recording that begins in the middle of a note has
    its hush only later, and the note is not the background till then.
    """
    start = _start(bands_db, is_even)
    backward = _one_way(bands_db[:, ::-1], is_even[::-1], _start(bands_db[:, ::-1], is_even[::-1]))
    return _one_way(bands_db, is_even, np.minimum(start, backward[:, -1]))


def _start(bands_db: npt.NDArray[np.float32], is_even: npt.NDArray[np.bool_]) -> npt.NDArray[np.float32]:
    """What to begin with: the quietest of the first second; of a tone or a voice no more than a background can have."""
    quietest = bands_db[:, :START_FRAMES].min(axis=1)
    is_hush = bool(is_even[:START_FRAMES].any())
    return np.asarray(quietest if is_hush else np.minimum(quietest, HIGHEST_BACKGROUND_DB), dtype=np.float32)


def _one_way(
    bands_db: npt.NDArray[np.float32], is_even: npt.NDArray[np.bool_], start_db: npt.NDArray[np.float32]
) -> npt.NDArray[np.float32]:
    """The background (dB, bands x frames) followed in one direction."""
    fast = FOLLOWED_DB_PER_S * HOP_MS / 1000
    lost = _lost_rise(bands_db, is_even).clip(CREEP_DB_PER_S * HOP_MS / 1000, fast)
    followed = np.empty_like(bands_db)
    held = start_db.tolist()
    frames = zip(bands_db.T.tolist(), is_even.tolist(), lost.tolist(), strict=True)
    for frame, (levels, even, slow) in enumerate(frames):
        above = [max(level - low, 0.0) for level, low in zip(levels, held, strict=True)]
        most = max(above)
        rise = 0.0
        if even:
            rise = fast if most < FOLLOWED_DB or most - min(above) < ALIKE_DB else slow
        held = [min(level, low + min(rise, up)) for level, low, up in zip(levels, held, above, strict=True)]
        followed[:, frame] = held
    return followed


def _lost_rise(bands_db: npt.NDArray[np.float32], is_even: npt.NDArray[np.bool_]) -> Track:
    """Rise (dB per frame) that all bands share, where even noise rises in parallel; else 0."""
    rise = np.zeros_like(bands_db)
    rise[:, PARALLEL_FRAMES:] = bands_db[:, PARALLEL_FRAMES:] - bands_db[:, :-PARALLEL_FRAMES]
    was_even = np.concatenate([np.zeros(PARALLEL_FRAMES, dtype=np.bool_), is_even])[: is_even.size]
    is_parallel = is_even & was_even & (np.ptp(rise, axis=0) < PARALLEL_DB)
    return np.asarray(np.where(is_parallel, rise.min(axis=0).clip(0) / PARALLEL_FRAMES, 0), dtype=np.float32)


def bands(measured: Features) -> list[Track]:
    """The three bands' levels (dB), freed of single clicks."""
    bands = (measured.low_db, measured.middle_db, measured.high_db)
    return [ndimage.median_filter(np.maximum(band, LOWEST_BACKGROUND_DB), 3, mode="nearest") for band in bands]


def unrest(measured: Features) -> Track:
    """Deviation (dB) of the level over a fifth of a second, in the least even band."""
    unrest = []
    for band in bands(measured):
        mean = ndimage.uniform_filter1d(band, 7, mode="nearest")
        square = ndimage.uniform_filter1d(band * band, 7, mode="nearest")
        unrest.append(np.sqrt(np.maximum(square - mean * mean, 0)))
    return np.asarray(np.max(unrest, axis=0), dtype=np.float32)
