"""What a crow is made of: its pitches, and how rough it is.

Conventions: mono samples, full scale 1.0; cents from equal temperament at the
maker's A4. Nothing here judges a crow: makers and books disagree about what
it should be (``EXPECTED``), and microphone and room colour it.

Roughness is the modulation of the loudness of the strongest partial, measured
on the envelope of a band around it (analytic signal): ``depth`` is that of
``1 + depth sin(2 pi rate t)``, ``rate`` its frequency, 15-150 Hz, the span in
which the ear hears roughness rather than tremolo or separate tones (E. Zwicker
and H. Fastl, Psychoacoustics, chapter 11).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import fft

from annotate.listen import spectrum
from annotate.listen.pitch import finite, validate
from annotate.measure import tuning

LOWEST_RATE_HZ, HIGHEST_RATE_HZ = 15.0, 150.0
BAND_HALF_HZ = 175.0  # around the strongest partial: both its side tones at 150 Hz, with room for the slopes
BAND_SLOPE_HZ = 20.0
EDGE_MS = 40  # left out at both ends, where the breath sets in and stops
SHORTEST_MS = 250  # below this a modulation of 15 Hz has not turned often enough to be measured
LONGEST_S = 60  # of a longer crow (a drone, a kettle) the first minute says all, and hours would fill the memory
PITCH_RANGE_DB = 26.0  # partials this far below the strongest are no pitch of their own
HARMONIC_CENTS = 35.0  # how near a partial must be to a multiple of another to belong to it
MOST_PARTIALS = 8  # are kept
MOST_PEAKS = 60  # are looked at: each partial of a rough crow may have two side tones and more
SIDE_BELOW_DB = 5.0  # a side tone of a modulation of full depth lies 6 dB below its partial, of less depth further
SIDES_ALIKE_DB = (
    6.0  # modulation makes a side tone above and one below, equally strong; the body of the reed bends this
)
SIDE_MULTIPLES = 4  # a modulation that is no sine makes side tones at multiples of its rate
SIDE_OFF_HZ, SIDE_OFF_SHARE = (
    2.0,
    0.03,
)  # how far from its place a side tone may lie: a peak's accuracy, a rate's wander
ROUGH_DEPTH = 0.15  # deeper modulation is heard as rough; below, the crow is called clear


@dataclass(frozen=True)
class Partial:
    """One partial: ``hz``, nearest ``note`` and ``cents`` from it, ``level_db`` against the strongest (0)."""

    hz: float
    note: str
    cents: float
    level_db: float


@dataclass(frozen=True)
class Crow:
    """One crow.

    ``lowest``: the lowest of its strong partials; ``partials``: the strongest,
    strongest first, without the side tones that the roughness itself makes at
    its rate on both sides of each of them. ``roughness_depth`` 0..1 and
    ``roughness_rate_hz``: 0 if nothing beats, None if the crow is too short to
    tell. ``brightness_hz``: as of a note. ``level_dbfs``: root mean square.
    ``pitches``: ``one`` if every strong partial belongs to one tone and nothing
    beats, else ``several``.
    """

    start_ms: int
    end_ms: int
    lowest: Partial
    partials: tuple[Partial, ...]
    roughness_depth: float | None
    roughness_rate_hz: float | None
    brightness_hz: float
    level_dbfs: float
    pitches: str
    a4_hz: float


@dataclass(frozen=True)
class Expected:
    """A range of crow pitches that someone published, without an upper end where only "at least" is said.

    ``source`` names who and where.
    """

    instrument: str
    how: str
    low_hz: float
    high_hz: float | None
    source: str
    remark: str = ""


SOURCES_DISAGREE = "Sources disagree by a semitone and more; many makers go by their own habit of blowing."
EXPECTED = (
    Expected(
        "bassoon", "reed alone", 369.99, 440.0,
        "W. Jansen in Reed Lore, To the World's Bassoonists 1/2, International Double Reed Society",
        "Printed as between middle F♯ and A; read here as the octave of middle C.",
    ),
    Expected(
        "bassoon", "reed alone", 466.16, 466.16,
        "Band Encyclopedia, Inspecting Oboe and Bassoon Reeds with the Crowing Test",
        "A weak source; a semitone above the one before.",
    ),
    Expected(
        "bassoon", "reed on the bocal", 256.0, None,
        "L. Skinner in Reed Lore, To the World's Bassoonists 1/2, International Double Reed Society",
        "At least middle C, printed as 256 Hz; no upper end is given.",
    ),
    Expected(
        "bassoon", "reed on the bocal", 261.63, 277.18,
        "C. Millard, Brains and Membranes, chapter 16, Council of Canadian Bassoonists",
        "Measured on one reed, about 270 Hz, called quite typical.",
    ),
    Expected(
        "oboe", "reed alone", 523.25, 523.25,
        "Band Encyclopedia, Inspecting Oboe and Bassoon Reeds with the Crowing Test; Bloomingdale School of Music",
        "C, in octaves as the blend opens.",
    ),
)  # fmt: skip


def measure_crow(
    samples: npt.NDArray[np.floating], rate_hz: int, offset_ms: int = 0, a4_hz: float = tuning.A4_HZ
) -> Crow | None:
    """Measure one stretch of crow; None if nothing in it can be named a partial.

    Parameters
    ----------
    samples
        Mono, of one *crow* sound; only its first minute is measured.
    offset_ms
        Where it starts in the recording.
    """
    validate(samples, rate_hz)
    tuning.check_a4(a4_hz)
    edge = rate_hz * EDGE_MS // 1000
    held = finite((samples[edge:-edge] if samples.size > 6 * edge else samples)[: LONGEST_S * rate_hz])
    found = spectrum.peaks(held, rate_hz, MOST_PEAKS)
    if not found:
        return None
    depth, rate = roughness(held, rate_hz, found[0].hz) or (None, None)
    own = without_side_tones(found, rate or 0.0)[:MOST_PARTIALS]
    partials = tuple(_partial(peak, found[0].level_db, a4_hz) for peak in own)
    strong = [partial for partial in partials if partial.level_db > -PITCH_RANGE_DB]
    lowest = min(strong, key=lambda partial: partial.hz)
    return Crow(
        start_ms=offset_ms,
        end_ms=offset_ms + round(samples.size * 1000 / rate_hz),
        lowest=lowest,
        partials=partials,
        roughness_depth=depth,
        roughness_rate_hz=rate,
        brightness_hz=spectrum.centroid_hz(held, rate_hz),
        level_dbfs=float(10 * np.log10(np.mean(np.asarray(held, dtype=np.float64) ** 2) + 1e-12)),
        pitches="one" if (depth or 0.0) < ROUGH_DEPTH and _is_one_tone(strong) else "several",
        a4_hz=a4_hz,
    )


def _partial(peak: spectrum.Peak, strongest_db: float, a4_hz: float) -> Partial:
    place = tuning.place(peak.hz, a4_hz)
    return Partial(peak.hz, place.name, place.cents, peak.level_db - strongest_db)


def without_side_tones(peaks: Sequence[spectrum.Peak], rate_hz: float) -> tuple[spectrum.Peak, ...]:
    """The peaks, strongest first, that are not side tones of a stronger one modulated at ``rate_hz`` (0: none is).

    ``(1 + d sin(2 pi r t)) sin(2 pi f t)`` is a tone at ``f`` and one of ``d/2`` at
    each of ``f - r`` and ``f + r``. Two tones that beat make the same rate, but
    have no third one on the other side.
    """
    if rate_hz <= 0:
        return tuple(peaks)
    return tuple(peak for at, peak in enumerate(peaks) if not _is_side_tone(peak, peaks[:at], peaks, rate_hz))


def _is_side_tone(
    peak: spectrum.Peak, stronger: Sequence[spectrum.Peak], peaks: Sequence[spectrum.Peak], rate_hz: float
) -> bool:
    off_hz = max(SIDE_OFF_HZ, SIDE_OFF_SHARE * rate_hz)
    if abs(peak.hz - rate_hz) < SIDE_OFF_HZ:
        return False  # the tone whose own partials lie a rate apart
    for middle in stronger:
        apart = abs(peak.hz - middle.hz)
        multiple = round(apart / rate_hz)
        if not 1 <= multiple <= SIDE_MULTIPLES or abs(apart - multiple * rate_hz) > off_hz:
            continue
        mirror_hz = 2 * middle.hz - peak.hz
        mirrors = (one for one in peaks if abs(one.hz - mirror_hz) <= 2 * off_hz)
        is_pair = any(abs(one.level_db - peak.level_db) <= SIDES_ALIKE_DB for one in mirrors)
        if is_pair and middle.level_db - peak.level_db >= SIDE_BELOW_DB:
            return True
    return False


def _is_one_tone(partials: list[Partial]) -> bool:
    """Whether every partial is a multiple of the lowest."""
    lowest = min(partial.hz for partial in partials)
    ratios = [partial.hz / lowest for partial in partials]
    return all(abs(1200 * np.log2(ratio / round(ratio))) < HARMONIC_CENTS for ratio in ratios)


def envelope(samples: npt.NDArray[np.floating], rate_hz: int, centre_hz: float) -> npt.NDArray[np.float64]:
    """Amplitude of the band of 175 Hz on either side of ``centre_hz``, sample by sample.

    The magnitude of the analytic signal: the band's positive frequencies only,
    doubled. The slopes are raised cosines of 20 Hz.
    """
    size = fft.next_fast_len(samples.size)
    found = fft.fft(np.asarray(samples, dtype=np.float64), size)
    off = np.abs(fft.fftfreq(size, 1 / rate_hz) - centre_hz)
    slope = np.clip((BAND_HALF_HZ + BAND_SLOPE_HZ - off) / BAND_SLOPE_HZ, 0, 1)
    weight = np.where(fft.fftfreq(size, 1 / rate_hz) > 0, 0.5 - 0.5 * np.cos(np.pi * slope), 0)
    return np.asarray(np.abs(fft.ifft(2 * found * weight))[: samples.size])


def roughness(samples: npt.NDArray[np.floating], rate_hz: int, centre_hz: float) -> tuple[float, float] | None:
    """Depth (0..1) and rate (Hz) of the strongest modulation at 15-150 Hz of the band around ``centre_hz``.

    Read off a parabola through the spectrum of the envelope under a Hann
    window; (0, 0) if nothing beats, None if the sound is shorter than a quarter of a second.
    """
    if samples.size < rate_hz * SHORTEST_MS / 1000:
        return None
    step = max(rate_hz // 2000, 1)
    values = envelope(samples, rate_hz, centre_hz)
    edge = int(rate_hz / BAND_SLOPE_HZ / 2)
    values = values[edge:-edge:step]
    fine_hz = rate_hz / step
    window = np.hanning(values.size + 2)[1:-1]
    mean = float((values * window).sum() / window.sum())
    if mean <= 0:
        return 0.0, 0.0
    size = 1 << int(np.ceil(np.log2(values.size * 4)))
    found = np.abs(fft.rfft((values - mean) * window, size))
    hz = fft.rfftfreq(size, 1 / fine_hz)
    inside = np.nonzero((hz >= LOWEST_RATE_HZ) & (hz <= HIGHEST_RATE_HZ))[0]
    best = int(inside[found[inside].argmax()])
    if not found[best - 1] < found[best] > found[best + 1]:
        return 0.0, 0.0  # only the slope of something slower
    before, at, after = np.log(found[best - 1 : best + 2] + 1e-15)
    shift = 0.5 * (before - after) / (before - 2 * at + after)
    height = float(np.exp(at - 0.25 * (before - after) * shift))
    depth = 2 * height / (mean * float(window.sum()))
    return min(depth, 1.0), float(hz[best] + shift * hz[1])


def expected_for(instrument: str) -> tuple[Expected, ...]:
    """What has been published for an instrument, in the order of the sources."""
    return tuple(one for one in EXPECTED if one.instrument == instrument)
